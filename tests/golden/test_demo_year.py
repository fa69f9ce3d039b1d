"""The demo's summer, canning weeks and Christmas as they are stored in demo/year, judged as a cook would read them.

The documents are made by demo/make_year.py. What is asked of them is worked out here from the stored meals and the
demo's own files; nothing of the planner or the checker is used.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pantrymeals.files.household import read_household
from pantrymeals.records import WEEKDAYS, Dish, Household

DEMO = Path(__file__).parents[2] / "demo"
if not (DEMO / "year").exists():
    pytest.skip("demo/year is not made yet: python demo/make_year.py", allow_module_level=True)
PARTS = {"summer": (date(2026, 7, 1), 8), "canning": (date(2026, 8, 20), 4), "christmas": (date(2026, 12, 10), 4)}
CANNING_DAYS = ("Tue", "Thu", "Sat")


@dataclass(frozen=True)
class Eaten:
    """One dish on one day."""

    day: date
    meal: str
    role: str
    dish: Dish
    uses: dict[str, Fraction]
    notes: str


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
            " ".join(week["notes"]),
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


@everything
def test_a_jar_opened_while_its_row_bears_has_its_reason_said(part: str) -> None:
    for one in eaten(part):
        for name in one.uses:
            if one.day in home().products[name].waits_on:
                day = f"{one.dish.name} on {one.day.day} {one.day:%b}"
                assert f"{name}, with " in one.notes, (name, day)
                assert day in one.notes


def test_at_least_half_of_each_vegetables_servings_are_fresh_while_it_bears() -> None:
    dishes = eaten("summer") + eaten("canning")
    for fresh in (p for p in home().products.values() if p.fresh_days and p.eaten_before):
        beside = [n for n in fresh.eaten_before if home().products[n].waits_on]
        own = sum(fresh.name in one.uses for one in dishes)
        kept = sum(
            bool(set(beside) & set(one.uses)) for one in dishes if one.day in home().products[beside[0]].waits_on
        )
        assert own >= kept, (fresh.name, own, kept)


def test_no_winter_soup_stands_in_july() -> None:
    soups = [one.dish.name for one in eaten("summer") if "soup" in one.dish.tags and "cold soup" not in one.dish.tags]
    assert soups == []


@pytest.mark.parametrize("part", ["summer", "canning"])
def test_a_canning_day_leaves_half_of_the_weekdays_minutes(part: str) -> None:
    first, last = date(2026, 7, 14), date(2026, 9, 26)
    work: dict[date, int] = {}
    for one in eaten(part):
        work[one.day] = work.get(one.day, 0) + one.dish.hands_on_minutes
    canning = {day: m for day, m in work.items() if first <= day <= last and WEEKDAYS[day.weekday()] in CANNING_DAYS}
    assert len(canning) > 5
    for day, minutes in canning.items():
        assert minutes * 2 <= home().rules.hands_on_minutes[WEEKDAYS[day.weekday()]], (day, minutes)


def test_a_feast_has_its_dish_its_side_its_sweet_and_what_it_leaves_is_said() -> None:
    feasts = [o for o in home().occasions if o.kind == "feast" and date(2026, 12, 10) <= o.first <= date(2027, 1, 6)]
    assert {o.first for o in feasts} == {date(2026, 12, 24), date(2026, 12, 25)}
    for feast in feasts:
        there = [one for one in eaten("christmas") if (one.day, one.meal) == (feast.first, "supper")]
        assert feast.dish in {one.dish.name for one in there}
        roles = {one.role for one in there} | {role for one in there for role in one.dish.covers}
        assert {"main", "side", "sweet"} <= roles
        assert not any("feast" in one.dish.not_for or "must-go" in one.dish.tags for one in there)
        for one in there:
            if one.dish.leaves:
                assert f"is left of {feast.name}, good to" in one.notes


def test_nothing_is_carried_on_a_holiday() -> None:
    holidays = {date(2026, 12, 25), date(2027, 1, 1)}
    lunches = {
        meal["day"]: Fraction(meal["portions"])
        for w in weeks("christmas")
        for meal in w["meals"]
        if meal["meal"] == "lunch"
    }
    at_table = sum((p.portion for p in home().people), Fraction(0))
    for day in holidays:
        assert lunches[day.isoformat()] >= at_table


def test_no_summer_week_has_three_mains_of_januarys_golden_week() -> None:
    golden = json.loads((Path(__file__).parent / "demo_week.json").read_text(encoding="utf-8"))
    january = {d["dish"] for meal in golden["meals"] for d in meal["dishes"] if d["role"] == "main"}
    for week in weeks("summer"):
        mains = {d["dish"] for meal in week["meals"] for d in meal["dishes"] if d["role"] == "main"}
        assert len(mains & january) < 3
