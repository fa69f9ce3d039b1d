"""Amounts in a cook's words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.book.counts import from_parts, to_parts
from pantrymeals.reports import words
from tests.kitchens.tiny import jar, loose, qty


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
        (Fraction(3), "piece", "3 pieces"),
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
        (Fraction(3, 10), "lb", "about 5 oz"),  # 4.8 oz
        (Fraction(1, 1000), "lb", "about 1/2 oz"),  # never nothing
        (Fraction(1, 8), "gal", "1 pt"),
        (Fraction(3, 8), "gal", "1 1/2 qt"),
        (Fraction(1, 5), "qt", "about 3/4 cup and 1 tbsp"),  # 12.8 tbsp
        (Fraction(1, 10), "qt", "about 6 tbsp"),  # 6.4 tbsp
        (Fraction(1, 20), "qt", "about 3 tbsp"),  # 3.2 tbsp
        (Fraction(1, 2), "half-gal", "1 qt"),
        (Fraction(1, 8), "qt", "1/2 cup"),
        (Fraction(1, 10), "kg", "100 g"),
        (Fraction(1, 4), "kg", "250 g"),
        (Fraction(1, 2), "l", "500 ml"),
        (Fraction(3, 2), "kg", "1.5 kg"),
        (Fraction(59, 20), "lb", "2.95 lb"),
        (Fraction(5, 2), "gal", "2 1/2 gal"),
        (Fraction(0), "qt", "0 qt"),
    ],
)
def test_small_parts_are_said_in_measures_a_kitchen_has(count: Fraction, unit: str, said: str) -> None:
    assert words.spooned(count, unit) == said


@pytest.mark.parametrize(
    ("count", "size", "said"),
    [
        (Fraction(59, 20), "lb", "about 3 lb"),
        (Fraction(11, 4), "lb", "2 3/4 lb"),
        (Fraction(17, 100), "hp tub", "about 1/6 of a hp tub"),
        (Fraction(1, 6), "hp tub", "1/6 of a hp tub"),
        (Fraction(27, 20), "loaf", "about 1 1/3 loaves"),
        (Fraction(1, 40), "loaf", "1/40 loaf"),
        (Fraction(59, 20), "kg", "2.95 kg"),
        (Fraction(337, 10), "lb", "about 34 lb"),
        (Fraction(9, 8), "head", "1 1/8 heads"),
        (Fraction(3, 10), "lb", "about 5 oz"),
    ],
)
def test_what_no_hand_can_take_is_said_in_what_it_can_and_as_about(count: Fraction, size: str, said: str) -> None:
    assert words.by_hand(count, size) == said


@pytest.mark.parametrize(
    ("count", "unit", "said"),
    [
        (Fraction(13, 10), "lb", "about 1 1/3 lb"),
        (Fraction(5, 4), "lb", "1 1/4 lb"),
        (Fraction(9, 16), "kg", "about 562 g"),
        (Fraction(1, 3), "kg", "about 333 g"),
        (Fraction(37, 25), "kg", "1.48 kg"),
        (Fraction(5, 2), "ml", "2.5 ml"),
    ],
)
def test_a_column_to_fetch_is_in_fractions_or_in_decimals_as_its_kitchen_measures(
    count: Fraction, unit: str, said: str
) -> None:
    """A cup has parts and a scale has tenths: '1.1 lb' stood over '1 1/4 lb', '187 1/2 g' over '1.77 kg'."""
    assert words.sized_name(count, unit, "Flour") == f"{said} Flour"


@pytest.mark.parametrize(
    ("count", "size", "said"),
    [(Fraction(7, 2), "lb", "3.5 lb"), (Fraction(59, 20), "lb", "2.95 lb"), (Fraction(3), "bird", "3 birds"),
     (Fraction(6), "each", "6"), (Fraction(3), "500 ml jar", "3 x 500 ml jar")],
)  # fmt: skip
def test_what_is_there_is_said_as_scales_have_it(count: Fraction, size: str, said: str) -> None:
    assert words.kept(count, size) == said


def test_what_is_rounded_in_the_book_says_about_and_what_is_exact_does_not() -> None:
    assert words.sized(Fraction(1, 7), "head") == "about 0.14 head"
    assert words.sized(Fraction(295, 100), "lb") == "2.95 lb"
    assert words.sized(Fraction(20, 7), "lb") == "about 2.86 lb"


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


def test_eleven_elevenths_of_a_pound_leave_a_number_without_about() -> None:
    """The book counts 5,040,000 parts to a pound, in which 1/11 is rounded eleven times."""
    taken = sum(from_parts(to_parts(Fraction(1, 11))) for _ in range(11))
    assert taken != 1
    assert words.sized(Fraction(241, 2) - taken, "lb") == "119.5 lb"
    assert words.sized(Fraction(241, 2) - taken - Fraction(1, 11), "lb").startswith("about ")
