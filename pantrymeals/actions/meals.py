"""The announced meals as a table is told of them: by day, for whom, each dish with what it takes and why."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.records import Household, MealName, Role
from pantrymeals.reports.sheet import MenuSheet as MenuSheet
from pantrymeals.reports.terminal.menu import from_words, in_order, times_words
from pantrymeals.words import long_day, sentence


class Plate(Struct, frozen=True):
    """One dish of a meal; an open role has no dish. place: as `another` takes it: '2026-01-20 supper main'."""

    label: str
    role: Role
    place: str
    dish: str = ""
    times: str = ""
    takes: str = ""
    beside: tuple[str, ...] = ()
    why: str = ""
    minutes: int = 0
    hands_on: int = 0
    pinned: bool = False


class Meal(Struct, frozen=True):
    """A meal of the menu with its plates, the main first."""

    meal: MealName
    plates: tuple[Plate, ...]


class DayOfMeals(Struct, frozen=True):
    """A day of the menu. at_table: '6 at table, company for 1: uncle Bram'. past: it is behind."""

    day: date
    words: str
    at_table: str
    meals: tuple[Meal, ...]
    past: bool


def days_of(sheet: MenuSheet) -> tuple[DayOfMeals, ...]:
    """Every day of a menu."""
    days = (sheet.plan.first + timedelta(days=n) for n in range(sheet.plan.days))
    return tuple(_day(sheet, day) for day in days)


def _day(sheet: MenuSheet, day: date) -> DayOfMeals:
    meals = (meal for meal in sheet.plan.meals if meal.day == day and (meal.dishes or meal.open_roles))
    return DayOfMeals(
        day,
        long_day(day),
        sheet.at_table.get(day, ""),
        tuple(Meal(m.meal, tuple(_plates(sheet.household, m))) for m in meals),
        day < sheet.household.today,
    )


def _plates(household: Household, meal: PlannedMeal) -> list[Plate]:
    plates = []
    for label, planned in in_order(meal):
        if not isinstance(planned, PlannedDish):
            plates.append(Plate(label, planned, f"{meal.day} {meal.meal} {planned}"))
            continue
        dish = household.dishes.get(planned.dish)
        plates.append(
            Plate(
                label=label,
                role=planned.role,
                place=f"{meal.day} {meal.meal} {planned.role}",
                dish=planned.dish,
                times=times_words(planned.batches),
                takes=from_words(household, planned) if planned.uses else "",
                beside=planned.instead,
                why=sentence(planned.why) if planned.why else "",
                minutes=dish.minutes if dish else 0,
                hands_on=dish.hands_on_minutes if dish else 0,
                pinned=planned.pinned,
            )
        )
    return plates
