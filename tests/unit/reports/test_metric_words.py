"""Amounts of metric packs and jars, prices with another sign, and jars of any size."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.reports.words import sized
from pantrymeals.units import litres
from pantrymeals.words import priced


@pytest.mark.parametrize(
    ("count", "size", "words"),
    [
        (Fraction(1, 2), "500 ml jar", "half a 500 ml jar"),
        (Fraction(3, 4), "500 ml jar", "3/4 of a 500 ml jar"),
        (Fraction(29, 100), "500 g block", "145 g"),
        (Fraction(1, 25), "500 g block", "20 g"),
        (Fraction(3), "500 ml jar", "3 x 500 ml jar"),
        (Fraction(1, 2), "hp tub", "1/2 of a hp tub"),
    ],
)
def test_a_part_of_a_metric_container(count: Fraction, size: str, words: str) -> None:
    assert sized(count, size) == words


@pytest.mark.parametrize(
    ("amount", "money", "words"),
    [(Fraction(33), "$", "$33"), (Fraction(13, 2), "£", "£6.50"), (Fraction(13, 2), "NZD", "NZD 6.50")],
)
def test_a_price_has_the_households_sign(amount: Fraction, money: str, words: str) -> None:
    assert priced(amount, money) == words


def test_a_price_in_whole_money() -> None:
    assert priced(Fraction(12345, 10), "EUR", whole=True) == "EUR 1,234"


def test_a_jar_is_named_by_what_it_holds() -> None:
    assert [litres(Fraction(ml)) for ml in (250, 500, 1000, 1500)] == ["250 ml", "500 ml", "1 l", "1.5 l"]
