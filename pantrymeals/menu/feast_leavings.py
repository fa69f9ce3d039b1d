"""What a feast leaves over, said with what is made of it: read off the finished menu, so that it is true of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from pantrymeals.larder.table import occasions_on
from pantrymeals.plans.menu import MenuPlan, PlannedMeal
from pantrymeals.records import Household, Leaving
from pantrymeals.units import as_words
from pantrymeals.words import capital, listed, short_day


def with_leavings_named(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with a note for each dish of a feast that leaves something."""
    return replace(plan, notes=(*plan.notes, *_notes(household, plan)))


def _notes(household: Household, plan: MenuPlan) -> Iterator[str]:
    for meal in plan.meals:
        feasts = [o.name for o in occasions_on(household, meal.day) if o.kind == "feast" and meal.meal in o.meals]
        for planned in meal.dishes if feasts else ():
            leaves = household.dishes[planned.dish].leaves
            if leaves is not None and not leaves.over:
                portions = as_words(leaves.portions * planned.batches)
                last = short_day(meal.day + timedelta(days=leaves.days))
                head = f"{capital(leaves.name)} for {portions} is left of {feasts[0]}, good to {last}"
                yield f"{head}: {_made_of_it(household, plan, meal, leaves)}."


def _made_of_it(household: Household, plan: MenuPlan, meal: PlannedMeal, leaves: Leaving) -> str:
    """What the menu makes of it; where it makes nothing, what could be."""
    makes = [name for name, dish in household.dishes.items() if dish.needs_left == leaves.name]
    planned = [
        f"{dish.dish} on {short_day(later.day)}"
        for later in plan.meals
        for dish in later.dishes
        if dish.dish in makes and 1 <= (later.day - meal.day).days <= leaves.days
    ]
    if planned:
        return listed(planned)
    return f"{listed(makes, 3)} can be made of it" if makes else "no dish here is made of it"
