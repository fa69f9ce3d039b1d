"""Counts are exact where a kitchen is exact, and rounded once where it is not."""

from fractions import Fraction

import pytest

from pantrymeals.book.counts import PARTS, from_parts, to_parts
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.cells import exact


@pytest.mark.parametrize(
    "count",
    [Fraction(1, 2), Fraction(1, 3), Fraction(2, 7), Fraction(17, 14), Fraction(3, 128), Fraction("8.125"),
     Fraction("0.001"), Fraction(5, 9), Fraction(-4, 3), Fraction(410)],
)  # fmt: skip
def test_kitchen_numbers_are_whole_parts(count: Fraction) -> None:
    assert from_parts(to_parts(count)) == count


def test_what_is_no_whole_part_is_rounded_to_the_nearest() -> None:
    pounds = Fraction(500) / Fraction("453.59237")
    assert abs(from_parts(to_parts(pounds)) - pounds) <= Fraction(1, 2 * PARTS)


def test_a_slip_of_the_pen_is_refused() -> None:
    assert to_parts(Fraction(1_000_000)) == 1_000_000 * PARTS
    with pytest.raises(BookTrouble, match="more than a million"):
        to_parts(Fraction(1_000_001))
    with pytest.raises(BookTrouble, match="too little"):
        to_parts(Fraction(1, 3 * PARTS))


@pytest.mark.parametrize(
    ("count", "text"),
    [("2", "2"), ("-3", "-3"), ("1/2", "0.5"), ("-1/8", "-0.125"), ("17/14", "17/14"), ("1/3", "1/3"),
     ("27/2", "13.5"), ("1/1000", "0.001")],
)  # fmt: skip
def test_counts_are_written_exactly(count: str, text: str) -> None:
    assert exact(from_parts(to_parts(Fraction(count)))) == text
    assert Fraction(text) == Fraction(count)
