"""A southern, metric household: its book year, hours over the new year, jars of any size, and Celsius first."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.cautions import CAUTIONS, in_own_measures
from pantrymeals.larder.book_history import book_year_of, opens
from pantrymeals.plans.season import SpanOf
from pantrymeals.records import year_opens_at
from pantrymeals.reports.season_words import range_words, weight_words
from pantrymeals.reports.words import spooned
from pantrymeals.season.asked import next_window
from pantrymeals.season.limits import hours_in_week
from pantrymeals.season.yields import quarts_in
from pantrymeals.season_facts import Harvest, Hours
from pantrymeals.units import jar_among


@pytest.mark.parametrize(
    ("latitude", "last_frost", "first"),
    [
        ("44", None, (5, 1)),
        ("-38", None, (11, 1)),
        (None, (5, 25), (5, 1)),
        (None, (10, 20), (11, 1)),
        (None, None, (5, 1)),
    ],
)
def test_a_book_year_opens_before_anything_is_put_up(
    latitude: str | None, last_frost: tuple[int, int] | None, first: tuple[int, int]
) -> None:
    assert year_opens_at(Fraction(latitude) if latitude else None, last_frost) == first


def test_february_and_april_are_one_season_in_the_south() -> None:
    south = (11, 1)
    assert {book_year_of(date(2027, month, 10), south) for month in (1, 2, 4, 10)} == {2026}
    assert book_year_of(date(2026, 11, 1), south) == 2026
    assert book_year_of(date(2026, 10, 31), south) == 2025
    assert opens(2026, south) == date(2026, 11, 1)
    assert book_year_of(date(2027, 4, 30)) == 2026
    assert book_year_of(date(2027, 5, 1)) == 2027


@pytest.mark.parametrize(
    ("today", "first"),
    [
        ("2026-11-27", "2027-02-01"),
        ("2026-06-15", "2027-02-01"),
        ("2027-01-10", "2027-02-01"),
        ("2027-04-02", "2028-02-01"),
    ],
)
def test_the_list_of_the_south_looks_to_the_next_tomatoes(today: str, first: str) -> None:
    tomatoes = Harvest("tomatoes", (2, 1), (3, 31), ("Tomatoes",))
    assert next_window(date.fromisoformat(today), tomatoes, (11, 1))[0] == date.fromisoformat(first)


def test_kitchen_hours_may_run_over_the_new_year() -> None:
    summer = (Hours((12, 1), (4, 30), Fraction(10)),)
    weeks = {"2026-12-07": 10, "2027-01-04": 10, "2027-05-03": 0, "2026-11-16": 0}
    for monday, hours in weeks.items():
        assert hours_in_week(summer, date.fromisoformat(monday)) == hours
    # from Monday 26 April five days to the 30th
    assert hours_in_week(summer, date(2027, 4, 26)) == Fraction(50, 7)


@pytest.mark.parametrize(
    ("said", "size"),
    [("500ml", "500 ml jar"), ("500 ml", "500 ml jar"), ("1 l jars", "1 l jar"), ("pints", "pt"), ("qt", "qt"),
     ("700 ml", None), ("wide", None)],
)  # fmt: skip
def test_a_jar_is_known_by_what_it_holds(said: str, size: str | None) -> None:
    assert jar_among(said, ("1 l jar", "500 ml jar", "qt", "pt")) == size


def test_pounds_to_the_jar_go_by_what_it_holds() -> None:
    assert quarts_in("pt") == Fraction(1, 2)
    assert quarts_in("500 ml jar") == 500 / Fraction("946.352946")  # a quart, NIST Handbook 44
    assert quarts_in("bird") is None


def test_field_and_garden_in_kilos_and_metres() -> None:
    span = SpanOf(Fraction(100), Fraction(200), "lb", "a table")
    assert (range_words(span), range_words(span, metric=True)) == ("100 to 200 lb", "45 to 91 kg")
    rows = SpanOf(Fraction(50), Fraction(50), "ft of row", "a table")
    assert range_words(rows, metric=True) == "15 m of row"
    assert weight_words(Fraction(60), metric=True) == "27 kg"


def test_celsius_stands_first_in_a_metric_kitchen_alone() -> None:
    words = CAUTIONS["C16"].words
    assert in_own_measures(words, metric=False) == words
    told = in_own_measures(words, metric=True)
    assert "4 C (40 F) or below" in told
    assert "above 4 C (40 F) for more than 2 hours" in told
    assert "10 to 21 C, 50 to 70 F" in in_own_measures(CAUTIONS["C9"].words, metric=True)
    assert "-18 C (0 F)" in in_own_measures(CAUTIONS["C18"].words, metric=True)


@pytest.mark.parametrize(
    ("count", "unit", "said"),
    [("9/4", "kg", "2.25 kg"), ("1375/3", "g", "about 458 g"), ("45/2", "g", "about 22 g"),
     ("15/8", "l", "about 1.88 l"), ("2", "kg", "2 kg"), ("100", "g", "100 g"),
     ("1/3", "g", "about 0.3 g")],
)  # fmt: skip
def test_a_scale_shows_no_quarters(count: str, unit: str, said: str) -> None:
    assert spooned(Fraction(count), unit) == said
