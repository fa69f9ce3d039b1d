"""What a feast leaves over, said with what is made of it: read off the finished menu, so that it is true of it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from pantrymeals.larder.left_over import left_over
from pantrymeals.larder.table import occasions_on
from pantrymeals.plans.left_over import LeftOver
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household
from pantrymeals.units import as_words
from pantrymeals.words import capital, listed, short_day


def with_leavings_named(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with a note for each dish of a feast that leaves something."""
    return replace(plan, notes=(*plan.notes, *_notes(household, plan)))


def _notes(household: Household, plan: MenuPlan) -> Iterator[str]:
    feasts = {
        (meal.day, planned.dish): occasion.name
        for meal in plan.meals
        for occasion in reversed(occasions_on(household, meal.day))  # the first of several has it
        if occasion.kind == "feast" and meal.meal in occasion.meals
        for planned in meal.dishes
    }
    for left in left_over(household, plan) if feasts else ():
        feast = feasts.get((left.day, left.dish))
        if feast is not None and left.name:
            head = f"{capital(left.name)} for {as_words(left.portions)} is left of {feast}"
            yield f"{head}, good to {short_day(left.keeps_to)}: {_made_of_it(household, left)}."


def _made_of_it(household: Household, left: LeftOver) -> str:
    """What the menu makes of it; where it makes nothing, what could be."""
    if left.becomes is not None:
        dish, day = left.becomes
        return f"{dish} on {short_day(day)}"
    makes = [name for name, dish in household.dishes.items() if dish.needs_left == left.name]
    return f"{listed(makes, 3)} can be made of it" if makes else "no dish here is made of it"
