"""Rules 3, 10, 12 and 13: what may be planned when, minutes, pairing, and dishes made from leavings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import combinations

from msgspec import Struct

from pantrymeals.checking.table import (
    is_feast,
    kinds_of,
    longest_minutes,
    minutes_of_hands,
    portions_of,
    rows_of,
    weekday_of,
    who_eats,
)
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import WEEKDAYS, Dish, Household, MealName, Product
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


def why_not_then(household: Household, dish: Dish, meal: MealName, day: date) -> Iterator[str]:
    """Why a dish may not stand at a meal of a day, whatever else is cooked then.

    It stands in its own months and on its own weekdays only, at no meal that goes out in tins where it cannot be
    carried, on feast or crew days only where it is kept for them, and within the weekday's longest minutes (not asked
    on feast and crew days).
    """
    name, kinds = weekday_of(day), kinds_of(household, day)
    most = longest_minutes(household, day)
    if dish.season and day.month not in dish.season:
        yield f"not a dish for {month_name(day)}"
    tags = {tag.casefold() for tag in dish.tags}
    if any(tags & {tag.casefold() for tag in row.without} for row in rows_of(household, day)):
        yield "has a tag that the house does without then"
    if dish.weekdays and name not in dish.weekdays:
        yield f"a dish for {', '.join(each for each in WEEKDAYS if each in dish.weekdays)} only"
    if "tins" in dish.not_for and who_eats(household, meal, day) == "tins":
        yield "goes out in lunch tins, and cannot be carried"
    if "feast" in dish.not_for and is_feast(household, meal, day):
        yield "no dish for a feast"
    if dish.only_for and dish.only_for not in kinds:
        yield f"kept for a {dish.only_for} day, which this is not"
    if most is not None and dish.minutes > most and not kinds:
        yield f"takes {dish.minutes} minutes, the longest for {weekday_name(day)}s is {most}"


def dishes_fit_their_day(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No dish stands where it may not, whatever else is cooked."""
    for meal, planned in planned_dishes(plan):
        for why in why_not_then(household, household.dishes[planned.dish], meal.meal, meal.day):
            yield f"{at(meal, planned)}: {why}"


def hands_have_the_minutes(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The hands-on minutes of a day's dishes fit the weekday's, but for feast and crew days."""
    minutes: dict[date, int] = {}
    for meal, planned in planned_dishes(plan):
        minutes[meal.day] = minutes.get(meal.day, 0) + household.dishes[planned.dish].hands_on_minutes
    for day, total in minutes.items():
        most = minutes_of_hands(household, day)
        if most is not None and total > most and not kinds_of(household, day):
            yield f"{day_words(day)}: {total} minutes of hands-on work, {most} are there"


def meals_have_the_minutes(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The hands-on minutes of one meal's dishes fit what the house gives that meal, but for feast and crew days."""
    for meal in plan.meals:
        most = household.rules.meal_minutes.get(meal.meal, {}).get(weekday_of(meal.day))
        total = sum(household.dishes[planned.dish].hands_on_minutes for planned in meal.dishes)
        if most is not None and total > most and not kinds_of(household, meal.day):
            yield f"{day_words(meal.day)}, {meal.meal}: {total} minutes of hands-on work, {most} are there"


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


class _LeavingCooked(Struct, frozen=True):
    """One cooking of a dish that leaves something: how many it feeds, and how long it keeps."""

    day: date
    feeds: Fraction
    days: int

    def in_time(self, day: date) -> bool:
        """Whether it is there and good on a day."""
        return 1 <= (day - self.day).days <= self.days


def _leavings(household: Household, plan: MenuPlan, name: str) -> list[_LeavingCooked]:
    """What is left under that name, lately and in the plan; what was lately made from it took the oldest."""
    stretch = 1 + household.rules.stretch
    eaten = [
        (day, household.dishes[dish], Fraction(1), None) for day, dish in household.recent if dish in household.dishes
    ]
    planned = [
        (meal.day, household.dishes[p.dish], p.batches, portions_of(household, meal.meal, meal.day))
        for meal, p in planned_dishes(plan)
    ]
    cooked: list[_LeavingCooked] = []
    for day, dish, batches, table in sorted((e for e in eaten if e[0] < plan.first), key=lambda e: e[0]) + planned:
        if dish.needs_left == name and day < plan.first:
            spent = next((one for one in cooked if one.in_time(day)), None)
            cooked = [one for one in cooked if one is not spent]
        if dish.leaves is not None and dish.leaves.name == name:
            feeds = dish.leaves.portions * batches
            if dish.leaves.over and table is not None:
                feeds = dish.serves * batches - table
            cooked.append(_LeavingCooked(day, feeds * stretch, dish.leaves.days))
    return cooked


def _given(fitting: list[list[int]]) -> dict[int, int]:
    """By leaving, the dish made from it, so that as many dishes as can be have one of their own.

    fitting: by dish, the leavings that are enough for it. Source of the way: augmenting paths, C. Berge, 'Two theorems
    in graph theory', PNAS 43 (1957).
    """
    given: dict[int, int] = {}

    def finds(dish: int, seen: set[int]) -> bool:
        for leaving in fitting[dish]:
            if leaving not in seen:
                seen.add(leaving)
                if leaving not in given or finds(given[leaving], seen):
                    given[leaving] = dish
                    return True
        return False

    for dish in range(len(fitting)):
        finds(dish, set())
    return given


def leavings_are_there(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish made from a leaving stands 1 to so many days after a cooking that leaves enough for its meal.

    Each cooking's leaving is used once; what was lately eaten left one batch.
    """
    made_of: dict[str, list[tuple[PlannedMeal, PlannedDish]]] = {}
    for meal, planned in planned_dishes(plan):
        needed = household.dishes[planned.dish].needs_left
        if needed is not None:
            made_of.setdefault(needed, []).append((meal, planned))
    for needed, made in made_of.items():
        cooked = _leavings(household, plan, needed)
        portions = [portions_of(household, meal.meal, meal.day) for meal, _ in made]
        good = [[n for n, one in enumerate(cooked) if one.in_time(meal.day)] for meal, _ in made]
        enough = [[n for n in of if cooked[n].feeds >= eat] for of, eat in zip(good, portions, strict=True)]
        served = set(_given(enough).values())
        for number, (meal, planned) in enumerate(made):
            if number in served:
                continue
            if not good[number]:
                yield f"{at(meal, planned)}: no {needed} is left from the days before"
            elif not enough[number]:
                most = as_words(max(cooked[n].feeds for n in good[number]))
                yield f"{at(meal, planned)}: {as_words(portions[number])} portions, {needed} is left for {most}"
            else:
                yield f"{at(meal, planned)}: the {needed} is used already"


RULES = (
    products_are_in_their_time,
    dishes_fit_their_day,
    hands_have_the_minutes,
    meals_have_the_minutes,
    dishes_go_together,
    leavings_are_there,
)
