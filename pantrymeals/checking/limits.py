"""Rules 3, 10, 12 and 13: what may be planned when, minutes, pairing, and dishes made from leavings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import combinations

from pantrymeals.checking.table import kinds_of, portions_of, weekday_of, who_eats
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import WEEKDAYS, Dish, Household, Product
from pantrymeals.units import as_words
from pantrymeals.words import month_name, weekday_name


def why_not_planned(household: Household, product: Product, day: date) -> str:
    """Why a product may not stand on a menu that day; '' when it may.

    A product that 'keeps to' a day may be planned after it only from what has come in on it or since.
    """
    if not product.on_menus:
        return "is kept off all menus"
    if product.eaten_in and day.month not in product.eaten_in:
        return f"is not eaten in {month_name(day)}"
    if product.deadline_kind == "keeps to" and product.must_last_to and day > product.must_last_to:
        since = (a.day for a in household.arrivals if a.product == product.name)
        if not any(product.must_last_to <= came <= day for came in since):
            return f"keeps to {day_words(product.must_last_to)}"
    return ""


def products_are_in_their_time(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No product off the menus, out of its months, or past the day it keeps to."""
    for meal, planned in planned_dishes(plan):
        for name in sorted({use.product for use in planned.uses}):
            reason = why_not_planned(household, household.products[name], meal.day)
            if reason:
                yield f"{at(meal, planned)}: {name} {reason}"


def dishes_are_in_season(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish stands only in its own months."""
    for meal, planned in planned_dishes(plan):
        season = household.dishes[planned.dish].season
        if season and meal.day.month not in season:
            yield f"{at(meal, planned)}: not a dish for {month_name(meal.day)}"


def dishes_have_their_weekday(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish of certain weekdays stands on those only."""
    for meal, planned in planned_dishes(plan):
        days = household.dishes[planned.dish].weekdays
        if days and weekday_of(meal.day) not in days:
            named = ", ".join(name for name in WEEKDAYS if name in days)
            yield f"{at(meal, planned)}: a dish for {named} only"


def tins_can_be_carried(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A meal that goes out in tins has no dish that cannot be carried."""
    for meal, planned in planned_dishes(plan):
        carried = who_eats(household, meal.meal, meal.day) == "tins"
        if carried and "tins" in household.dishes[planned.dish].not_for:
            yield f"{at(meal, planned)}: goes out in lunch tins, and cannot be carried"


def feast_and_crew_dishes_wait(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish kept for feasts or crews stands on such a day only."""
    for meal, planned in planned_dishes(plan):
        kept_for = household.dishes[planned.dish].only_for
        if kept_for and kept_for not in kinds_of(household, meal.day):
            yield f"{at(meal, planned)}: kept for a {kept_for} day, which this is not"


def hands_have_the_minutes(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The hands-on minutes of a day's dishes fit the weekday's, but for feast and crew days."""
    minutes: dict[date, int] = {}
    for meal, planned in planned_dishes(plan):
        minutes[meal.day] = minutes.get(meal.day, 0) + household.dishes[planned.dish].hands_on_minutes
    for day, total in minutes.items():
        most = household.rules.hands_on_minutes.get(weekday_of(day))
        if most is not None and total > most and not kinds_of(household, day):
            yield f"{day_words(day)}: {total} minutes of hands-on work, {most} are there"


def no_dish_takes_too_long(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each dish fits the weekday's longest, but for feast and crew days."""
    for meal, planned in planned_dishes(plan):
        minutes = household.dishes[planned.dish].minutes
        most = household.rules.longest_minutes.get(weekday_of(meal.day))
        if most is not None and minutes > most and not kinds_of(household, meal.day):
            day = weekday_name(meal.day)
            yield f"{at(meal, planned)}: takes {minutes} minutes, the longest for {day}s is {most}"


def unhappy_beside(one: Dish, other: Dish) -> bool:
    """Whether one's ``not_with`` names the other or one of its tags."""
    refused = {word.casefold() for word in one.not_with}
    return bool(refused & {other.name.casefold(), *(tag.casefold() for tag in other.tags)})


def dishes_go_together(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No two dishes of a meal of which one is not to stand with the other."""
    for meal in plan.meals:
        dishes = [household.dishes[planned.dish] for planned in meal.dishes]
        for one, other in combinations(dishes, 2):
            if unhappy_beside(one, other) or unhappy_beside(other, one):
                yield f"{at(meal)}: {one.name} and {other.name} are not to stand together"


@dataclass(slots=True)
class _LeavingCooked:
    """One cooking of a dish that leaves something: how many it feeds, and whether it is used up."""

    day: date
    name: str
    feeds: Fraction
    days: int
    dish: str
    used: bool = False


def _leavings(household: Household, plan: MenuPlan) -> list[_LeavingCooked]:
    stretch = 1 + household.rules.stretch
    lately = [(day, name, 1) for day, name in household.recent if day < plan.first]
    planned = [(meal.day, dish.dish, dish.batches) for meal, dish in planned_dishes(plan)]
    cooked = []
    for day, name, batches in sorted(lately + planned):
        dish = household.dishes.get(name)
        if dish is not None and dish.leaves is not None:
            left = dish.leaves
            cooked.append(_LeavingCooked(day, left.name, left.portions * batches * stretch, left.days, name))
    return cooked


def leavings_are_there(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish made from a leaving stands 1 to so many days after a cooking that leaves enough.

    Each cooking's leaving is used once, the oldest that is enough first; what was lately
    eaten left one batch.
    """
    cooked = _leavings(household, plan)
    for meal, planned in planned_dishes(plan):
        needed = household.dishes[planned.dish].needs_left
        if needed is None:
            continue
        portions = portions_of(household, meal.meal, meal.day)
        in_time = [c for c in cooked if c.name == needed and 1 <= (meal.day - c.day).days <= c.days]
        free = [c for c in in_time if not c.used]
        enough = [c for c in free if c.feeds >= portions]
        if enough:
            enough[0].used = True
        elif free:
            most = as_words(max(c.feeds for c in free))
            yield f"{at(meal, planned)}: {as_words(portions)} portions, {needed} is left for {most}"
        elif in_time:
            yield f"{at(meal, planned)}: the {needed} of {in_time[-1].dish} is used already"
        else:
            yield f"{at(meal, planned)}: no {needed} is left from the days before"


RULES = (
    products_are_in_their_time,
    dishes_are_in_season,
    dishes_have_their_weekday,
    tins_can_be_carried,
    feast_and_crew_dishes_wait,
    hands_have_the_minutes,
    no_dish_takes_too_long,
    dishes_go_together,
    leavings_are_there,
)
