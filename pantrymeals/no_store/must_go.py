"""Suppers that must use something marked glut, sitter or eat first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from msgspec.structs import replace

from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.no_store import MustGoWeek
from pantrymeals.plans.outlook import Forecast
from pantrymeals.records import Dish, Household

MUST_GO: frozenset[str] = frozenset({"glut", "sitter", "eat first"})
TAG = "must go"
"""Carried by such mains while the menu is looked for; the household's own dishes stay as they are."""
WEEK = 7


def must_go_marks(forecast: Forecast) -> dict[str, str]:
    """Product -> mark of those that must go at either pace, the table's own first."""
    told = [row for row in forecast.rows if not row.untold()]
    found = ((row.product, mark) for row in told for mark in (row.as_planned.mark, row.leading().mark))
    return {name: mark for name, mark in found if mark in MUST_GO}


def surely_uses(dish: Dish, marked: Mapping[str, str]) -> bool:
    """Whether the dish takes something marked whichever products are chosen for it."""
    return any(all(o.product in marked for o in use.options) for use in dish.uses)


def with_must_go_rule(household: Household, marked: Mapping[str, str], suppers: int) -> Household:
    """The household with a rule: so many mains in each seven days take something marked for certain.

    The rule speaks of mains, so it asks a little more than the household does, whose suppers may
    also use it in a side.
    """
    dishes = {
        name: replace(dish, tags=dish.tags | {TAG}) if dish.role == "main" and surely_uses(dish, marked) else dish
        for name, dish in household.dishes.items()
    }
    rules = replace(household.rules, at_least={**household.rules.at_least, TAG: suppers})
    return replace(household, dishes=dishes, rules=rules)


def must_go_weeks(plan: MenuPlan, marked: Mapping[str, str]) -> tuple[MustGoWeek, ...]:
    """The suppers of each seven days (the last may be shorter) that use something marked."""
    weeks = []
    for start in range(0, plan.days, WEEK):
        first = plan.first + timedelta(days=start)
        length = min(WEEK, plan.days - start)
        end = first + timedelta(days=length)
        suppers = []
        for meal in plan.meals:
            if meal.meal == "supper" and first <= meal.day < end:
                used = [u.product for d in meal.dishes for u in d.uses if u.product in marked]
                if used:
                    suppers.append((meal.day, used[0]))
        weeks.append(MustGoWeek(first, length, tuple(suppers)))
    return tuple(weeks)


def kept(weeks: tuple[MustGoWeek, ...], suppers: int) -> bool:
    """Whether every full week has so many."""
    return all(len(w.suppers) >= suppers for w in weeks if w.days == WEEK)
