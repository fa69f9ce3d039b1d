"""The demo's summer, canning weeks and Christmas as they are stored in demo/year, judged as a cook would read them.

The documents are made by demo/make_year.py: each part as it is reckoned from January's count, and the same weeks again
with a book as of the first day of each. What is asked of them is worked out here from the stored meals and the demo's
own files; of the program the readers of dishes and household are used, nothing of the planner or the checker.
"""

from __future__ import annotations

import csv
import json
import re
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from msgspec import Struct

from pantrymeals.files.household import read_household
from pantrymeals.records import WEEKDAYS, Dish, Household

DEMO = Path(__file__).parents[2] / "demo"
if not (DEMO / "year").exists():
    pytest.skip("demo/year is not made yet: python demo/make_year.py", allow_module_level=True)
RECKONED = {
    "summer": (date(2026, 7, 1), 8), "canning": (date(2026, 8, 20), 4), "christmas": (date(2026, 12, 10), 4),
}  # fmt: skip
PARTS = RECKONED | {f"{part}-by-the-book": weeks for part, weeks in RECKONED.items()}
SUMMERS = [part for part in PARTS if "christmas" not in part]
CHRISTMASES = [part for part in PARTS if "christmas" in part]
CANNING_DAYS = ("Tue", "Thu", "Sat")


class Eaten(Struct, frozen=True):
    """One dish on one day."""

    day: date
    meal: str
    role: str
    dish: Dish
    uses: dict[str, Fraction]
    portions: Fraction
    notes: tuple[str, ...]


@cache
def home() -> Household:
    return read_household(DEMO)


def weeks(part: str) -> list[dict[str, Any]]:
    return json.loads((DEMO / "year" / f"{part}.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def eaten(part: str) -> list[Eaten]:
    return [
        Eaten(
            date.fromisoformat(meal["day"]),
            meal["meal"],
            dish["role"],
            home().dishes[dish["dish"]],
            {name: Fraction(amount) for name, amount in dish["uses"].items()},
            Fraction(meal["portions"]),
            tuple(week["notes"]),
        )
        for week in weeks(part)
        for meal in week["meals"]
        for dish in meal["dishes"]
    ]


everything = pytest.mark.parametrize("part", PARTS)


@everything
def test_a_part_is_whole_and_its_text_is_of_the_same_menus(part: str) -> None:
    first, number = PARTS[part]
    stored = weeks(part)
    assert (date.fromisoformat(stored[0]["first"]), len(stored)) == (first, number)
    assert [week["broken"] for week in stored] == [[]] * number
    text = (DEMO / "year" / f"{part}.md").read_text(encoding="utf-8")
    lacking = {one.dish.name for one in eaten(part) if one.dish.name not in text}
    assert lacking == set()


@everything
def test_no_supper_or_lunch_is_without_its_main(part: str) -> None:
    lacking = [
        (meal["day"], meal["meal"])
        for week in weeks(part)
        for meal in week["meals"]
        if {"main", "lunch"} & set(meal["open"])
    ]
    assert lacking == []


@cache
def fresh_on() -> dict[str, frozenset[date]]:
    """By fresh thing the days of 2026 on which it is there: from each coming, for the days that it is good."""
    with (DEMO / "products.csv").open(encoding="utf-8") as file:
        good = {row["product"]: int(row["fresh_days"]) for row in csv.DictReader(file) if row["fresh_days"]}
    days: dict[str, set[date]] = {name: set() for name in good}
    calendar = yaml.safe_load((DEMO / "calendar.yaml").read_text(encoding="utf-8"))
    for line in calendar["coming_in"]:
        if line["product"] in good and "every" in line:
            day, last = (date.fromisoformat(f"2026-{line[key]}") for key in ("from", "to"))
            while day <= last:
                if WEEKDAYS[day.weekday()] in line["every"]:
                    days[line["product"]] |= {day + timedelta(days=n) for n in range(good[line["product"]])}
                day += timedelta(days=1)
    return {name: frozenset(found) for name, found in days.items()}


@cache
def waiting() -> dict[str, frozenset[str]]:
    """By fresh thing the jars, bags and bins that are to stay where they are while it is there."""
    with (DEMO / "products.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["fresh_days"]]
    return {r["product"]: frozenset(n.strip() for n in r["eaten_before"].split(";") if n.strip()) for r in rows}


@everything
def test_a_jar_opened_while_its_row_bears_has_its_reason_said(part: str) -> None:
    for one in eaten(part):
        for fresh, kept in waiting().items():
            for name in kept & set(one.uses) if one.day in fresh_on()[fresh] else ():
                said = next((note for note in one.notes if note.startswith(f"{name}, with ")), "")
                assert f"{one.dish.name} on {one.day.day} {one.day:%b} (" in said, (name, one.day, said)


def test_at_least_half_of_each_vegetables_servings_are_fresh_while_it_bears() -> None:
    for parts in (("summer", "canning"), ("summer-by-the-book", "canning-by-the-book")):
        dishes = [one for part in parts for one in eaten(part)]
        for fresh, kept in waiting().items():
            days = fresh_on()[fresh]
            own = sum(one.portions for one in dishes if one.day in days and fresh in one.uses)
            stored = sum(one.portions for one in dishes if one.day in days and kept & set(one.uses))
            assert own >= stored, (parts, fresh, own, stored)


@pytest.mark.parametrize("part", ["summer", "summer-by-the-book"])
def test_what_bears_for_weeks_is_eaten(part: str) -> None:
    """Of all that the garden gives for a fortnight or more, all but two come to table, and most of it often."""
    dishes = eaten(part)
    summer = {PARTS["summer"][0] + timedelta(days=n) for n in range(56)}
    bearing = {fresh for fresh, days in fresh_on().items() if len(days & summer) >= 14}
    meals = {fresh: sum(fresh in one.uses for one in dishes) for fresh in bearing}
    assert len(bearing) > 10
    assert sum(count == 0 for count in meals.values()) <= 2, meals
    assert sum(count >= 3 for count in meals.values()) * 2 > len(bearing), meals


@pytest.mark.parametrize("part", SUMMERS)
def test_no_winter_soup_and_no_porridge_stands_in_summer(part: str) -> None:
    wintry = [
        (one.day, one.dish.name)
        for one in eaten(part)
        if one.day < date(2026, 9, 1)
        and ("porridge" in one.dish.tags or ("soup" in one.dish.tags and "cold soup" not in one.dish.tags))
    ]
    assert wintry == []


@pytest.mark.parametrize("part", SUMMERS)
def test_a_canning_day_leaves_half_of_the_weekdays_minutes(part: str) -> None:
    first, last = date(2026, 7, 14), date(2026, 9, 26)
    work: dict[date, int] = {}
    for one in eaten(part):
        work[one.day] = work.get(one.day, 0) + one.dish.hands_on_minutes
    canning = {day: m for day, m in work.items() if first <= day <= last and WEEKDAYS[day.weekday()] in CANNING_DAYS}
    assert len(canning) >= 12
    for day, minutes in canning.items():
        assert minutes * 2 <= home().rules.hands_on_minutes[WEEKDAYS[day.weekday()]], (day, minutes)


@pytest.mark.parametrize("part", CHRISTMASES)
def test_a_feast_has_its_dish_its_side_its_sweet_and_what_it_leaves_is_said(part: str) -> None:
    feasts = [o for o in home().occasions if o.kind == "feast" and date(2026, 12, 10) <= o.first <= date(2027, 1, 6)]
    assert {o.first for o in feasts} == {date(2026, 12, 24), date(2026, 12, 25)}
    for feast in feasts:
        there = [one for one in eaten(part) if (one.day, one.meal) == (feast.first, "supper")]
        assert feast.dish in {one.dish.name for one in there}
        roles = {one.role for one in there} | {role for one in there for role in one.dish.covers}
        assert {"main", "side", "sweet"} <= roles
        assert not any("feast" in one.dish.not_for or "must-go" in one.dish.tags for one in there)
        for one in there:
            if one.dish.leaves:
                assert f"is left of {feast.name}, good to" in " ".join(one.notes)


@everything
def test_in_the_school_holidays_the_miller_alone_carries_a_tin(part: str) -> None:
    """From 20 June to 31 August, and over Christmas; the weekdays that are holidays of the whole house apart."""
    mill = next(p.portion for p in home().people if p.name == "Joss")
    for week in weeks(part):
        for meal in week["meals"]:
            day = date.fromisoformat(meal["day"])
            free = day <= date(2026, 8, 31) or date(2026, 12, 20) <= day <= date(2027, 1, 3)
            house_holiday = (day.month, day.day) in {(12, 25), (12, 26), (1, 1)}
            if meal["meal"] == "lunch" and free and day.weekday() < 5 and not house_holiday:
                assert Fraction(meal["portions"]) == mill, day


@pytest.mark.parametrize("part", CHRISTMASES)
def test_nothing_is_carried_on_a_holiday(part: str) -> None:
    holidays = {date(2026, 12, 25), date(2026, 12, 26), date(2027, 1, 1)}
    lunches = {
        meal["day"]: Fraction(meal["portions"]) for w in weeks(part) for meal in w["meals"] if meal["meal"] == "lunch"
    }
    at_table = sum((p.portion for p in home().people), Fraction(0))
    for day in holidays:
        assert lunches[day.isoformat()] >= at_table


def test_no_summer_week_has_three_mains_of_januarys_golden_week() -> None:
    golden = json.loads((Path(__file__).parent / "demo_week.json").read_text(encoding="utf-8"))
    january = {d["dish"] for meal in golden["meals"] for d in meal["dishes"] if d["role"] == "main"}
    for week in [*weeks("summer"), *weeks("summer-by-the-book")]:
        mains = {d["dish"] for meal in week["meals"] for d in meal["dishes"] if d["role"] == "main"}
        assert len(mains & january) < 3


@everything
def test_a_night_that_is_missed_has_not_its_dish_on_another_day_of_the_week(part: str) -> None:
    """'No flat bread on Friday' beside a flat bread on Wednesday is no cook's week."""
    for week in weeks(part):
        for tag, day in re.findall(r"No '([^']+)' (?:on|can be ready by) (\w+ \d+ \w+)", " ".join(week["notes"])):
            others = [
                (meal["day"], dish["dish"])
                for meal in week["meals"]
                for dish in meal["dishes"]
                if meal["meal"] == "supper" and tag in home().dishes[dish["dish"]].tags
            ]
            assert others == [], (tag, day)
