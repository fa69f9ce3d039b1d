"""A new crop that is in before its usual day moves the day to reach, and every command's marks, at once."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.season import question_of
from pantrymeals.actions.with_book import Larder
from pantrymeals.checking.menu import broken_rules
from pantrymeals.larder.evenness import deadline
from pantrymeals.larder.must_reach import with_crops_that_are_in
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Movement
from pantrymeals.season.asked import crop_days
from pantrymeals.season_facts import ExpectedCrop, SeasonFacts
from tests.kitchens.three_houses import with_crops
from tests.kitchens.tiny import arrival, dish, jar, kitchen, lot

DUE = date(2026, 8, 1)
TODAY = DUE - timedelta(days=5)


def house(put_up: date, *, kind: str = "new crop", state: str = "", arrivals=()):
    """Four old quarts of beans and fourteen of a given day; a quart a week goes."""
    return kitchen(
        today=TODAY,
        products=[jar("Beans", must_last_to=DUE, deadline_kind=kind)],
        lots=[lot("Beans", 4, put_up=date(2025, 8, 12)), lot("Beans", 14, put_up=put_up, state=state)],
        dishes=[dish("Bean soup", ["1 qt Beans"])],
        arrivals=arrivals,
    )


@pytest.mark.parametrize(
    ("put_up", "more", "due"),
    [
        (TODAY, {}, date(2027, 8, 1)),
        (DUE - timedelta(days=30), {}, date(2027, 8, 1)),
        (DUE - timedelta(days=31), {}, DUE),  # too long before to be of it
        (TODAY, {"state": "held"}, DUE),
        (TODAY, {"kind": "order"}, DUE),
    ],
)
def test_both_sides_of_a_crop_that_is_in(put_up, more, due):
    home = with_crops_that_are_in(house(put_up, **more))
    assert home.products["Beans"].must_last_to == due


def test_run_out_menu_and_season_ask_for_the_same_day():
    """Eighteen quarts at one a week: a glut five days before the crop, too few where the next is a year off."""
    weeks = [Movement(TODAY - timedelta(weeks=n), "Beans", "qt", F(-1), "eaten") for n in range(1, 53)]
    book = (Movement(TODAY - timedelta(weeks=53), "Beans", "qt", F(56), "put up"), *weeks)
    for put_up, due, mark in ((TODAY, date(2027, 8, 1), "short"), (date(2026, 5, 1), DUE, "glut")):
        home = with_crops_that_are_in(with_crops(house(put_up)))
        larder = Larder(home, book)
        (row,) = run_out(larder, Chance(paths=400)).rows
        assert row.as_eaten is not None
        assert (row.must_last_to, row.as_eaten.mark) == (due, mark)
        assert deadline(home.products["Beans"], TODAY) == due
        assert crop_days(home) == {"Beans": due}, "the list waits for the crop that run-out asks to reach"
        assert question_of(larder).at_crop()[0].products["Beans"].must_last_to == due


def test_what_is_in_is_not_expected_once_more():
    expected = (arrival("Beans", "10 qt", DUE), arrival("Beans", "10 qt", DUE + timedelta(days=7)))
    home = with_crops_that_are_in(house(TODAY, arrivals=expected))
    quart = home.products["Beans"].sizes[0].content
    assert [(a.day, a.amount / quart) for a in home.arrivals] == [(DUE + timedelta(days=7), 6)]


@pytest.mark.parametrize(
    ("put_up", "still"),
    [
        ({18: 20, 21: 25}, {3: 15}),  # 45 are in where twenty were to be: those of the 27th, and five more
        ({21: 12}, {27: 20, 3: 20}),  # a crop that is late: what is in is that of the 20th
        ({}, {27: 20, 3: 20}),
    ],
)
def test_what_was_put_up_since_the_list_was_accepted_is_off_what_it_still_expects(put_up, still):
    """Twenty quarts on 20 and 27 August and 3 September, looked at on the 22nd, three weeks after the beans' day."""
    days = [date(2026, 8, 20), date(2026, 8, 27), date(2026, 9, 3)]
    quart = jar("Beans").sizes[0].content
    home = kitchen(
        today=date(2026, 8, 22),
        products=[jar("Beans", must_last_to=DUE, deadline_kind="new crop")],
        lots=[lot("Beans", 4, put_up=date(2025, 8, 12)),
              *(lot("Beans", count, put_up=date(2026, 8, day)) for day, count in put_up.items())],
        arrivals=[arrival("Beans", "20 qt", day) for day in days[1:]],
    )  # fmt: skip
    home = replace(home, season=SeasonFacts(expected=tuple(ExpectedCrop("Beans", 20 * quart, day) for day in days)))
    home = with_crops_that_are_in(home)
    assert {a.day.day: a.amount / quart for a in home.arrivals} == still
    assert {e.day.day: e.amount / quart for e in home.season.expected if e.day > home.today} == still
    assert home.products["Beans"].must_last_to == DUE


@pytest.mark.parametrize(("put_up", "due"), [(DUE, date(2027, 8, 1)), (DUE - timedelta(days=1), DUE)])
def test_roots_dug_since_the_day_that_the_old_ones_kept_to_are_eaten(put_up: date, due: date) -> None:
    """In December: what came in on the day or since keeps till it comes round again, what was there before does not."""
    home = replace(house(put_up, kind="keeps to"), today=date(2026, 12, 7))
    home = with_crops_that_are_in(home)
    assert home.products["Beans"].must_last_to == due
    plan = plan_menu(home, MenuRequest(home.today, 1, seed=1, seconds=2))
    assert sum(len(meal.dishes) for meal in plan.meals) == (due > home.today)
    assert broken_rules(home, plan) == []
