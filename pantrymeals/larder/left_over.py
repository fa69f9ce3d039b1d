"""What of a menu's cooking is not eaten at its meal: leavings, with the dish they become, and portions over."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from msgspec import Struct

from pantrymeals.plans.left_over import LeftOver
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household

COOKED_KEEPS_DAYS = 3
"""Days that what is cooked keeps in the fridge: of 3 to 4 for leftovers the fewer (USDA FSIS; from memory)."""


class _Made(Struct, frozen=True):
    """A dish that is made from a leaving: its day, its name, of what, and for how many."""

    day: date
    dish: str
    of: str
    portions: Fraction


def left_over(household: Household, plan: MenuPlan) -> tuple[LeftOver, ...]:
    """What each dish leaves, in order: its own leaving, and whole portions that it feeds beyond its table.

    A leaving is used by the first dish after it, within its days, that is made from it and has not used another; of
    what is over that dish takes what its table eats, and the rest is over still.
    """
    planned = [
        (meal, p, household.dishes[p.dish]) for meal in plan.meals for p in meal.dishes if p.dish in household.dishes
    ]
    made = [_Made(meal.day, dish.name, dish.needs_left, meal.portions) for meal, _, dish in planned if dish.needs_left]
    return tuple(left for meal, p, dish in planned for left in _left(meal, p, dish, made))


def _left(meal: PlannedMeal, planned: PlannedDish, dish: Dish, made: list[_Made]) -> Iterator[LeftOver]:
    """What one dish leaves; what is made of it is taken off ``made``."""
    over, leaves = dish.serves * planned.batches - meal.portions, dish.leaves
    good = meal.day + timedelta(days=leaves.days if leaves and leaves.over else COOKED_KEEPS_DAYS)
    if leaves is not None:
        last = meal.day + timedelta(days=leaves.days)
        use = next((m for m in made if m.of == leaves.name and meal.day < m.day <= last), None)
        if use is not None:
            made.remove(use)
        becomes = (use.dish, use.day) if use else None
        if not leaves.over:
            yield LeftOver(meal.day, dish.name, leaves.name, leaves.portions * planned.batches, last, becomes)
        elif use is not None:
            eaten = min(use.portions, over)
            over -= eaten
            yield LeftOver(meal.day, dish.name, "", eaten, last, becomes)
    if floor(over) >= 1 and dish.needs_left is None and dish.role not in ("bread", "fruit"):
        yield LeftOver(meal.day, dish.name, "", Fraction(floor(over)), good, None)
