"""Rules 7 and 8: repeats and tags, with what was lately eaten counted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from msgspec import Struct

from pantrymeals.checking.table import occasions_of
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, MealName


class Eaten(Struct, frozen=True):
    """One dish on one day; planned: by this menu, not lately eaten."""

    day: date
    dish: Dish
    planned: bool


def all_eaten(household: Household, plan: MenuPlan) -> list[Eaten]:
    """What was eaten before the plan's first day and what is planned, in order of day."""
    lately = [
        Eaten(day, household.dishes[name], False)
        for day, name in household.recent
        if day < plan.first and name in household.dishes
    ]
    planned = [Eaten(meal.day, household.dishes[dish.dish], True) for meal, dish in planned_dishes(plan)]
    return sorted(lately + planned, key=lambda e: (e.day, e.dish.name))


def days_between(household: Household, dish: Dish) -> int:
    """Least days from one cooking of a dish to its next: its own, else the house's for its role, else 1.

    0 for bread and fruit of every day: they may stand at two meals of one day.
    """
    least = dish.days_between
    if least is None:
        least = household.rules.days_between.get(dish.role, 1)
    return 0 if dish.role in ("bread", "fruit") and least == 1 else least


def repeats_keep_their_distance(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Two cookings of one dish on different days are at least its days apart."""
    last: dict[str, date] = {}
    for eaten in all_eaten(household, plan):
        before, least = last.get(eaten.dish.name), days_between(household, eaten.dish)
        last[eaten.dish.name] = eaten.day
        if eaten.planned and before is not None and 0 < (eaten.day - before).days < least:
            yield (
                f"{day_words(eaten.day)}: {eaten.dish.name} again {(eaten.day - before).days} days after "
                f"{day_words(before)}; {least} are asked"
            )


def not_at_two_meals_of_a_day(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish stands at one meal of a day only, but for everyday bread and fruit."""
    meals: dict[tuple[date, str], set[MealName]] = defaultdict(set)
    for meal, planned in planned_dishes(plan):
        meals[meal.day, planned.dish].add(meal.meal)
    for (day, name), where in meals.items():
        if len(where) > 1 and days_between(household, household.dishes[name]):
            yield f"{day_words(day)}: {name} twice on one day, at {' and '.join(sorted(where))}"


def _own_of_its_day(household: Household, eaten: Eaten) -> bool:
    """Whether an occasion of the day asks for that very dish."""
    return eaten.dish.name in {occasion.dish for occasion in occasions_of(household, eaten.day)}


def at_most_in_seven_days(household: Household, plan: MenuPlan) -> Iterator[str]:
    """In any seven days running that hold a planned dish of the tag, no more carry it, occasions' own not counted."""
    eaten = all_eaten(household, plan)
    for tag, most in sorted(household.rules.at_most.items()):
        carrying = [e for e in eaten if tag in e.dish.tags and not _own_of_its_day(household, e)]
        for number, last in enumerate(carrying):
            week = [e for e in carrying[: number + 1] if (last.day - e.day).days < 7]
            if last.planned and len(week) > most:
                names = ", ".join(f"{e.dish.name} on {day_words(e.day)}" for e in week)
                yield f"'{tag}' {len(week)} times in seven days, at most {most} asked: {names}"


def not_on_days_running(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The mains of two days running do not share such a tag; an occasion's own dish on its day is not counted."""
    mains: dict[date, list[Eaten]] = defaultdict(list)
    for eaten in all_eaten(household, plan):
        if eaten.dish.role == "main" and not _own_of_its_day(household, eaten):
            mains[eaten.day].append(eaten)
    for day in sorted(mains):
        for one in mains.get(day - timedelta(days=1), ()):
            for other in mains[day]:
                shared = one.dish.tags & other.dish.tags & household.rules.not_running
                if other.planned and shared:
                    tags = ", ".join(sorted(shared))
                    names = f"{other.dish.name} is {tags}, as was {one.dish.name}"
                    yield f"{day_words(day)}: {names} the day before"


def not_twice_in_a_meal(household: Household, plan: MenuPlan) -> Iterator[str]:
    """At most one dish of a meal carries such a tag."""
    for meal in plan.meals:
        for tag in sorted(household.rules.not_twice):
            carrying = [p.dish for p in meal.dishes if tag in household.dishes[p.dish].tags]
            if len(carrying) > 1:
                yield f"{at(meal)}: '{tag}' twice in one meal: {', '.join(carrying)}"


def not_twice_in_a_day(household: Household, plan: MenuPlan) -> Iterator[str]:
    """At most one dish of a day carries such a tag; what is made from a leaving does not count."""
    days: dict[date, list[Dish]] = defaultdict(list)
    for meal, planned in planned_dishes(plan):
        dish = household.dishes[planned.dish]
        if not dish.needs_left:
            days[meal.day].append(dish)
    for day, dishes in days.items():
        for tag in sorted(household.rules.not_twice_a_day):
            carrying = [dish.name for dish in dishes if tag in dish.tags]
            if len(carrying) > 1:
                yield f"{day_words(day)}: '{tag}' twice in one day: {', '.join(carrying)}"


RULES = (
    repeats_keep_their_distance,
    not_at_two_meals_of_a_day,
    at_most_in_seven_days,
    not_on_days_running,
    not_twice_in_a_meal,
    not_twice_in_a_day,
)
