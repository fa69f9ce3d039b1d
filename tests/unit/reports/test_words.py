"""Days, amounts and lists in a cook's words."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.reports import words
from tests.kitchens.tiny import jar, loose, qty


def test_days_are_named_in_full_and_short() -> None:
    saturday = date(2026, 1, 17)
    assert words.long_day(saturday) == "Saturday 17 January"
    assert words.short_day(saturday) == "Sat 17 Jan"


def test_a_day_of_another_year_says_its_year() -> None:
    today = date(2026, 1, 17)
    assert words.near_day(date(2026, 12, 31), today) == "31 Dec"
    assert words.near_day(date(2027, 1, 1), today) == "1 Jan 2027"


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2026, 1, 17), date(2026, 1, 17), "Saturday 17 January 2026"),
        (date(2026, 1, 17), date(2026, 1, 23), "Saturday 17 to Friday 23 January 2026"),
        (date(2026, 1, 31), date(2026, 2, 6), "Saturday 31 January to Friday 6 February 2026"),
        (date(2025, 12, 29), date(2026, 1, 4), "Monday 29 December 2025 to Sunday 4 January 2026"),
    ],
)
def test_a_span_names_month_and_year_once_where_shared(first: date, last: date, said: str) -> None:
    assert words.span(first, last) == said


@pytest.mark.parametrize(
    ("count", "size", "said"),
    [
        (Fraction(2), "qt", "2 qt"),
        (Fraction(1, 2), "lb", "1/2 lb"),
        (Fraction(6), "each", "6"),
        (Fraction(1), "head", "1 head"),
        (Fraction(3, 4), "head", "3/4 head"),
        (Fraction(18), "head", "18 heads"),
        (Fraction(3), "loaf", "3 loaves"),
        (Fraction(2), "bunch", "2 bunches"),
        (Fraction(2), "qt bag", "2 x qt bag"),
        (Fraction(1), "2-egg tub", "1 x 2-egg tub"),
        (Fraction(2), "pack of 6", "2 x pack of 6"),
        (Fraction(1, 3), "hp tub", "1/3 of a hp tub"),
    ],
)
def test_containers_are_counted_so_that_no_size_is_misread(count: Fraction, size: str, said: str) -> None:
    assert words.sized(count, size) == said


@pytest.mark.parametrize(
    ("count", "unit", "said"),
    [
        (Fraction(1, 3), "lb", "1/3 lb"),
        (Fraction(1, 8), "lb", "2 oz"),
        (Fraction(3, 8), "lb", "6 oz"),
        (Fraction(3, 10), "lb", "5 oz"),  # 4.8 oz
        (Fraction(1, 1000), "lb", "1/2 oz"),  # never nothing
        (Fraction(1, 8), "gal", "1 pt"),
        (Fraction(3, 8), "gal", "1 1/2 qt"),
        (Fraction(1, 5), "qt", "3/4 cup and 1 tbsp"),  # 12.8 tbsp
        (Fraction(1, 10), "qt", "6 tbsp"),  # 6.4 tbsp
        (Fraction(1, 20), "qt", "3 tbsp"),  # 3.2 tbsp
        (Fraction(1, 2), "half-gal", "1 qt"),
        (Fraction(1, 8), "qt", "1/2 cup"),
        (Fraction(1, 10), "kg", "100 g"),
        (Fraction(59, 20), "lb", "2.95 lb"),
        (Fraction(5, 2), "gal", "2 1/2 gal"),
        (Fraction(0), "qt", "0 qt"),
    ],
)
def test_small_parts_are_said_in_measures_a_kitchen_has(count: Fraction, unit: str, said: str) -> None:
    assert words.spooned(count, unit) == said


def test_an_amount_is_said_in_the_size_it_fills() -> None:
    two_sizes = jar("Beans", sizes=("qt", "pt"))
    assert words.amount_of(two_sizes, qty("2 qt")) == "2 qt"
    assert words.amount_of(two_sizes, qty("1 pt")) == "1 pt"
    assert words.amount_of(two_sizes, qty("1/4 qt")) == "1/4 qt"
    assert words.amount_of(loose("Carrots"), qty("1 1/2 lb")) == "1 1/2 lb"


@pytest.mark.parametrize(
    ("count", "size", "product", "said"),
    [
        (Fraction(2), "loaf", "Bread, loaves", "2 loaves Bread"),
        (Fraction(1, 2), "loaf", "Bread, loaves", "1/2 loaf Bread"),
        (Fraction(1), "each", "Eggs, fresh", "1 Egg, fresh"),
        (Fraction(4), "each", "Eggs, fresh", "4 Eggs, fresh"),
        (Fraction(1, 2), "each", "Squash, buttercup", "1/2 Squash, buttercup"),
        (Fraction(1), "each", "Watercress", "1 Watercress"),
        (Fraction(2), "qt", "Tomatoes, crushed", "2 qt Tomatoes, crushed"),
    ],
)
def test_a_name_does_not_repeat_its_size(count: Fraction, size: str, product: str, said: str) -> None:
    assert words.sized_name(count, size, product) == said


@pytest.mark.parametrize(
    ("names", "said"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_lists_end_with_and(names: list[str], said: str) -> None:
    assert words.listed(names) == said


def test_a_long_list_says_how_many_more() -> None:
    assert words.first_few("abcd", 4) == "a, b, c and d"
    assert words.first_few("abcde", 4) == "a, b, c, d and 1 more"


def test_a_sentence_has_a_capital_and_one_stop() -> None:
    assert words.sentence("moves the buckwheat") == "Moves the buckwheat."
    assert words.sentence("Done.") == "Done."
    assert words.sentence("  ") == ""
