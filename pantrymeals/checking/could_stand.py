"""Which dishes could stand at a meal, whatever else is cooked: rules 2, 3, 10 and 11.

What the shelf can give by then, fixed nights, repeats and tags are not asked here.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from datetime import date, timedelta
from fractions import Fraction
from functools import cache

from msgspec import Struct

from pantrymeals.checking.limits import why_not_planned, why_not_then
from pantrymeals.checking.marks import marks_of, marks_of_dish
from pantrymeals.checking.portions import batches_for
from pantrymeals.checking.shelf import on_the_shelf, part_jars
from pantrymeals.checking.table import barring_marks, eaters_of, is_for, marks_against, portions_of, roles_of
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, MealName, Role, Use

Choice = tuple[tuple[str, Fraction], ...]
"""The products that one use may take, each with how much (base measure)."""


class CouldStand(Struct, frozen=True):
    """A dish that could stand at a meal, and what each of its uses may take there."""

    dish: Dish
    uses: tuple[Choice, ...]


class MealCould(Struct, frozen=True):
    """A meal of the plan's days with its roles, and all that could stand there."""

    day: date
    meal: MealName
    roles: tuple[Role, ...]
    dishes: tuple[CouldStand, ...]


def fits_the_day(household: Household, dish: Dish, meal: MealName, day: date) -> bool:
    """Whether a dish may stand at a meal of a day, and no mark of its own or of what it is made from bars it."""
    if any(why_not_then(household, dish, meal, day)):
        return False
    own = marks_of_dish(household, dish).keys()
    return not own or not own & barring_marks(household, dish, meal, day).keys()


def is_stocked(household: Household, plan: MenuPlan, name: str) -> bool:
    """Whether something of a product is on the shelf or open, or comes in within the plan's days."""
    end = plan.first + timedelta(days=plan.days)
    return (
        on_the_shelf(household, household.products[name]) > 0
        or bool(part_jars(household, plan, household.products[name]))
        or any(a.product == name and plan.first <= a.day < end for a in household.arrivals)
    )


_LAST: list[tuple[Household, MenuPlan, tuple[MealCould, ...]]] = []
"""The plan last asked of, for several rules of the checker ask the same of one plan in turn."""


def places(household: Household, plan: MenuPlan) -> tuple[MealCould, ...]:
    """Every meal of the plan's days, with all that could stand there."""
    for whose, its, found in _LAST:
        if whose is household and its is plan:
            return found
    found = tuple(_places(household, plan))
    _LAST[:] = [(household, plan, found)]
    return found


def _places(household: Household, plan: MenuPlan) -> Iterator[MealCould]:
    stocked = {name for name in household.products if is_stocked(household, plan, name)}
    not_on = cache(lambda day: {n for n, p in household.products.items() if why_not_planned(household, p, day)})
    known: dict[tuple[object, ...], tuple[Choice, ...] | None] = {}
    for number in range(plan.days):
        day = plan.first + timedelta(days=number)
        away = frozenset(household.products.keys() - (stocked - not_on(day)))
        for laid in household.meals:
            roles = tuple(roles_of(household, laid.meal, day))
            table = eaters_of(household, laid.meal, day)
            alike = (
                portions_of(household, laid.meal, day),
                away,
                tuple((p.name, *marks_against(p, day)) for p in table),
            )
            found = []
            for dish in household.dishes.values() if roles else ():
                if dish.role in roles and fits_the_day(household, dish, laid.meal, day):
                    key = (dish.name, laid.meal, *alike)
                    if key not in known:
                        known[key] = uses_there(household, dish, laid.meal, day, away)
                    uses = known[key]
                    if uses is not None:
                        found.append(CouldStand(dish, uses))
            if roles:
                yield MealCould(day, laid.meal, roles, tuple(found))


def uses_there(
    household: Household, dish: Dish, meal: MealName, day: date, away: AbstractSet[str]
) -> tuple[Choice, ...] | None:
    """What each use, and each use of an alternative that is served, may take; None where one finds nothing."""
    times = batches_for(household, dish, portions_of(household, meal, day))
    barred = frozenset(barring_marks(household, dish, meal, day))
    asked: list[tuple[Use, Fraction, frozenset[str]]] = [(use, times, barred) for use in dish.uses]
    for note in dish.instead:
        theirs = [p for p in eaters_of(household, meal, day) if is_for(note, p, day)]
        marks = frozenset(mark for p in theirs for mark in marks_against(p, day))
        asked += [(use, Fraction(1), marks) for use in note.uses if theirs]
    out = []
    for use, batches, marks in asked:
        choice = tuple(
            (o.product, o.amount * batches)
            for o in use.options
            if o.product not in away and not marks & marks_of(household.products[o.product])
        )
        if not choice:
            return None
        out.append(choice)
    return tuple(out)
