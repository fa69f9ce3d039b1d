"""What of a menu's cooking is not eaten at its meal: leavings, with the dish they become, and portions over."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import floor

from pantrymeals.plans.left_over import LeftOver
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household

COOKED_KEEPS_DAYS = 3
"""Days that what is cooked keeps in the fridge: of 3 to 4 for leftovers the fewer (USDA FSIS; from memory)."""


def left_over(household: Household, plan: MenuPlan) -> tuple[LeftOver, ...]:
    """What each dish leaves, in order: its own leaving, and whole portions that it feeds beyond its table.

    A leaving is used by the first dish after it, within its days, that is made from it and has not used another.
    """
    made = [
        (meal.day, planned.dish, dish.needs_left)
        for meal in plan.meals
        for planned in meal.dishes
        if (dish := household.dishes.get(planned.dish)) is not None and dish.needs_left is not None
    ]
    found = []
    for meal in plan.meals:
        for planned in meal.dishes:
            dish = household.dishes.get(planned.dish)
            if dish is None:
                continue
            if dish.leaves is not None:
                last = meal.day + timedelta(days=dish.leaves.days)
                use = next((m for m in made if m[2] == dish.leaves.name and meal.day < m[0] <= last), None)
                if use is not None:
                    made.remove(use)
                portions = dish.leaves.portions * planned.batches
                becomes = (use[1], use[0]) if use else None
                found.append(LeftOver(meal.day, dish.name, dish.leaves.name, portions, last, becomes))
            over = floor(dish.serves * planned.batches - meal.portions)
            if over >= 1 and dish.needs_left is None and dish.role not in ("bread", "fruit"):
                found.append(_over(meal.day, dish.name, Fraction(over)))
    return tuple(found)


def _over(day: date, dish: str, portions: Fraction) -> LeftOver:
    return LeftOver(day, dish, "", portions, day + timedelta(days=COOKED_KEEPS_DAYS), None)
