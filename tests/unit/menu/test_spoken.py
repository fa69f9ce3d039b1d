"""Products named as in a sentence, and counted as a cook counts."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.records import Product, Size
from pantrymeals.words import counted, short_date, spoken, verb


def product(name: str, size: str = "qt") -> Product:
    return Product(name=name, family="", kind="jar", measure="each", sizes=(Size(size, Fraction(1)),))


@pytest.mark.parametrize(
    ("name", "size", "said"),
    [
        ("Cabbage", "head", "cabbage"),
        ("Potatoes, early red", "lb", "early red potatoes"),
        ("Carrots, in sand", "lb", "carrots in sand"),
        ("Basil paste, no nuts", "hp tub", "basil paste, no nuts"),
        ("Bread, loaves", "loaf", "bread"),
        ("Apples, long keepers", "lb", "long keeper apples"),
    ],
)
def test_a_turned_name_is_turned_back(name: str, size: str, said: str) -> None:
    assert spoken(product(name, size)) == said


@pytest.mark.parametrize(
    ("name", "size", "number", "said"),
    [
        ("Cabbage", "head", 18, "18 heads of cabbage"),
        ("Cabbage", "head", 1, "1 head of cabbage"),
        ("Eggs, beaten", "2-egg tub", 19, "19 tubs of beaten eggs"),
        ("Green beans", "qt", 54, "54 quarts of green beans"),
        ("Pork chops", "pack of 6", 3, "3 packs of pork chops"),
        ("Squash, buttercup", "each", 9, "9 buttercup squash"),
        ("Whole chicken", "bird", 4, "4 whole chickens"),
        ("Bread, loaves", "loaf", 2, "2 loaves of bread"),
    ],
)
def test_containers_are_counted_in_whole_words(name: str, size: str, number: int, said: str) -> None:
    assert counted(product(name, size), number) == said


@pytest.mark.parametrize(
    ("name", "said"),
    [("cabbage", "keeps"), ("leeks", "keep"), ("watercress", "keeps"), ("carrots in sand", "keep")],
)
def test_many_keep_and_one_keeps(name: str, said: str) -> None:
    assert verb(name, "keep") == said


def test_months_are_our_own_whatever_the_machine_speaks() -> None:
    assert [short_date(date(2026, month, 1)) for month in (1, 5, 12)] == ["1 Jan", "1 May", "1 Dec"]
