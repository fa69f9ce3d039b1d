"""Rules 7 and 9 beyond the last day: what an occasion will have as its own dish, and what a fixed night will want."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from pantrymeals.checking.could_stand import fits_the_day, is_stocked, uses_there
from pantrymeals.checking.limits import why_not_planned
from pantrymeals.checking.table import fixed_night, occasions_of, roles_of
from pantrymeals.checking.variety import days_between
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household

NIGHTS = 7


def occasion_after(household: Household, plan: MenuPlan, dish: Dish, day: date) -> date | None:
    """A day beyond the plan's last that has this dish as its own, and comes too soon after ``day`` to have it again."""
    end = plan.first + timedelta(days=plan.days)
    for number in range((day - end).days, days_between(household, dish)):
        then = day + timedelta(days=number)
        for occasion in occasions_of(household, then) if then >= end else ():
            laid = any(dish.role in roles_of(household, meal, then) for meal in occasion.meals)
            if occasion.dish == dish.name and laid:
                return then
    return None


def keeps_a_promise(household: Household, meal: PlannedMeal, planned: PlannedDish) -> bool:
    """Whether a dish was asked for, is an occasion's own, or is what its fixed night wants."""
    named = [o.dish for o in occasions_of(household, meal.day) if o.dish]
    night = fixed_night(household, meal.meal, meal.day)
    return planned.pinned or planned.dish in named or night in household.dishes[planned.dish].tags


def occasions_after_keep_their_dish(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No dish stands within its days before an occasion beyond the last day that has it as its own.

    Unless it was asked for, or is an occasion's of the menu itself.
    """
    for meal, planned in planned_dishes(plan):
        own = any(o.dish == planned.dish for o in occasions_of(household, meal.day))
        then = occasion_after(household, plan, household.dishes[planned.dish], meal.day)
        if then is not None and not own and not planned.pinned:
            yield f"{at(meal, planned)}: is to be the dish of {day_words(then)}, too soon after to have it again"


def _could_keep(household: Household, plan: MenuPlan, tag: str, night: date) -> dict[str, int]:
    """The mains of a tag that could stand at a supper beyond the last day, each with its days between."""
    out = {}
    away = frozenset(
        name for name, product in household.products.items()
        if not is_stocked(household, plan, name) or why_not_planned(household, product, night)
    )  # fmt: skip
    for dish in household.dishes.values():
        if dish.role != "main" or tag not in dish.tags or dish.needs_left:
            continue
        gap = days_between(household, dish)
        lately = any(name == dish.name and (night - day).days < gap for day, name in household.recent)
        fits = not lately and fits_the_day(household, dish, "supper", night)
        if fits and uses_there(household, dish, "supper", night, away) is not None:
            out[dish.name] = gap
    return out


def fixed_nights_after_can_be_kept(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A fixed night of the seven days after the last is left a dish: the last that could keep it is not spent."""
    for number in range(plan.days, plan.days + NIGHTS):
        night = plan.first + timedelta(days=number)
        tag = fixed_night(household, "supper", night)
        if not tag or "main" not in roles_of(household, "supper", night):
            continue
        gaps = _could_keep(household, plan, tag, night)
        near = [(m, p) for m, p in planned_dishes(plan) if (night - m.day).days < gaps.get(p.dish, 0)]
        spent = [(m, p) for m, p in near if not keeps_a_promise(household, m, p)]
        if spent and {p.dish for _, p in near} == gaps.keys():
            yield f"{at(*spent[-1])}: then no dish is left for '{tag}' on {day_words(night)}"


RULES = (occasions_after_keep_their_dish, fixed_nights_after_can_be_kept)
