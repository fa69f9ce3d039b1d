"""A pin that cannot be kept says why, and what would let it."""

from __future__ import annotations

from datetime import date

import pytest

from pantrymeals.menu.clash.clashing import what_clashes
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.records import Household
from tests.kitchens.tiny import arrival, day, dish, jar, kitchen, lot, meal_roles


def said(home: Household, name: str, number: int = 0, days: int = 2) -> str:
    request = MenuRequest(home.today, days, pinned=(Pin(day(number, home.today), name),))
    return what_clashes(home, request, fill=False, seconds=20).said


def _home(**changes: object) -> Household:
    return kitchen(
        products=[jar("Beans"), jar("Rhubarb", eaten_in=frozenset({3, 4, 5})), jar("Plums")],
        lots=[lot("Beans", 9), lot("Rhubarb", 9)],
        **changes,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"season": {10, 11, 12, 2, 3}}, "it is eaten only in February, March, October, November and December"),
        ({"season": {6, 7, 8}}, "it is eaten only from June to August (its 'season' says so)"),
        ({"season": {11, 12}}, "it is eaten only from November to December"),
        ({"season": {5}}, "it is eaten only in May"),
        ({"weekdays": ["Tue"]}, "it stands only on Tue (its 'weekdays' say so); it could stand on Tuesday 6 January"),
        ({"only_for": "feast"}, "it is kept for a feast day; an occasion of that kind in calendar.yaml would let it"),
        ({"role": "sweet"}, "no meal of that day has a sweet"),
    ],
)
def test_what_keeps_a_dish_from_its_day(changes: dict, why: str) -> None:
    book = [dish("Pot", ["1 qt Beans"], **changes), dish("Soup", ["1/2 qt Beans"])]
    home = _home(dishes=book)
    assert said(home, "Pot").startswith(f"You asked for Pot on Monday 5 January, but {why}")


@pytest.mark.parametrize(
    ("takes", "why"),
    [
        ("1 qt Rhubarb", "Rhubarb is eaten only from March to May (its 'eaten_in' says so)"),
        ("1 qt Plums", "there is no Plums on the shelf"),
    ],
)
def test_what_it_takes_that_may_not_be_taken(takes: str, why: str) -> None:
    coming = (arrival("Plums", "2 qt", day(1)),)
    home = _home(dishes=[dish("Pot", [takes]), dish("Soup", ["1/2 qt Beans"])], arrivals=coming)
    assert f"but {why}" in said(home, "Pot")


def test_what_was_eaten_lately_says_when_it_may_come_again() -> None:
    book = [dish("Pot", ["1 qt Beans"], days_between=3), dish("Soup", ["1/2 qt Beans"])]
    home = _home(dishes=book, recent=((date(2026, 1, 4), "Pot"),), meals=[meal_roles()])
    assert "waits 3 days before it comes again (it was on Sunday 4 January)" in said(home, "Pot", days=4)
