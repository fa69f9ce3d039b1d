"""What a pull reads of a menu's JSON: the same meals and openings as the whole file gives, and its mistakes named."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pantrymeals.errors import PantryError
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from pantrymeals.reports.json.plan_pull import menu_to_pull

STORED = (Path(__file__).parents[2] / "golden" / "demo_week.json").read_text(encoding="utf-8")


def test_it_reads_what_the_whole_file_says() -> None:
    whole, pulled = plan_in(read_menu_file(STORED)), menu_to_pull(STORED)
    assert (pulled.first, pulled.days, pulled.last) == (whole.first, whole.days, date(2026, 1, 23))
    assert pulled.openings == whole.openings
    assert pulled.meals == whole.meals
    assert len([dish for meal in pulled.meals for dish in meal.dishes]) > 20


def _set(*way: str | int, to: object) -> Callable[[Any], None]:
    def change(file: Any) -> None:
        for step in way[:-1]:
            file = file[step]
        file[way[-1]] = to

    return change


def _drop(*way: str | int) -> Callable[[Any], None]:
    def change(file: Any) -> None:
        for step in way[:-1]:
            file = file[step]
        del file[way[-1]]

    return change


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_set("format", to="pantrymeals menu two"), 'format: "pantrymeals menu two" is not pantrymeals menu 3'),
        (_drop("format"), "format: this is missing"),
        (_drop("meals"), "meals: this is missing"),
        (_set("meals", to={}), "meals: a list should stand here"),
        (_set("meals", 1, to=7), "meals.1: names and values in braces should stand here"),
        (_set("days", to=0), "days: 0 is not a whole number from 1 to 100000"),
        (_set("days", to=True), "days: true is not a whole number from 1 to 100000"),
        (_set("days", to=10**9), "days: 1000000000 is not a whole number from 1 to 100000"),
        (_set("first", to="9999-12-31"), "days: 7 is more than the calendar holds"),
        (_set("first", to="2026-02-30"), 'first: "2026-02-30" is not a day'),
        (_set("meals", 0, "day", to=5), "meals.0.day: 5 is not a day"),
        (_set("meals", 0, "meal", to="tea"), 'meals.0.meal: "tea" is not breakfast or lunch or supper'),
        (_set("meals", 0, "portions", to="-1"), 'meals.0.portions: "-1" is not an exact amount, such as 3/4'),
        (_set("meals", 0, "dishes", 0, "dish", to=" "), 'meals.0.dishes.0.dish: " " is not a name'),
        (
            _set("meals", 0, "dishes", 0, "uses", 0, "exact", to="1/0"),
            'meals.0.dishes.0.uses.0.exact: "1/0" is not an exact amount, such as 3/4',
        ),
        (
            _set("meals", 0, "dishes", 0, "uses", 0, "exact", to="1e9"),
            'meals.0.dishes.0.uses.0.exact: "1e9" is not an exact amount, such as 3/4',
        ),
        (_drop("openings", 0, "size"), "openings.0.size: this is missing"),
        (_set("openings", 0, "count", to=1.5), "openings.0.count: 1.5 is not a whole number from 1 to 100000"),
    ],
)
def test_the_first_mistake_is_named_with_the_way_to_it(change: Callable[[Any], None], said: str) -> None:
    file = json.loads(STORED)
    change(file)
    with pytest.raises(PantryError) as caught:
        menu_to_pull(json.dumps(file))
    assert str(caught.value) == f"this is not a menu made by `menu --json`: {said}"


@pytest.mark.parametrize("text", ["", "[1, 2]", STORED[:-200], "[" * 100_000])
def test_what_is_no_menu_at_all_is_said_in_a_line(text: str) -> None:
    with pytest.raises(PantryError, match=r"^this is not a menu made by `menu --json`: the file: [^\n]+$"):
        menu_to_pull(text)
