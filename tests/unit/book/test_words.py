"""A few words find the product, the amount and the place; two that fit are asked about."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.actions.book.words import (
    NotUnderstood,
    SeveralFit,
    place_meant,
    put_up_meant,
    split_at,
    understand,
)
from pantrymeals.book.names import meant, nearest, words_of
from tests.unit.book.kitchen import pantry

HERE = pantry()


@pytest.mark.parametrize(
    ("words", "product", "size", "count"),
    [
        ("2 qt crushed tom", "Tomatoes, crushed", "qt", "2"),
        ("2 pt crushed tom", "Tomatoes, crushed", "pt", "2"),
        ("3 quarts of applesauce", "Applesauce", "qt", "3"),
        ("applesauce", "Applesauce", "qt", "1"),
        ("aple sauce", "Applesauce", "qt", "1"),
        ("1½ qt APPLESAUCE", "Applesauce", "qt", "3/2"),
        ("2 green beans", "Green beans", "qt", "2"),
        ("2 pt green beans", "Green beans, small", "pt", "2"),
        ("tomatos crushd", "Tomatoes, crushed", "qt", "1"),
        ("2 qt bag rhubarb", "Rhubarb, cut", "qt bag", "2"),
        ("3 2-egg tubs eggs", "Eggs, beaten", "2-egg tub", "3"),
        ("2 birds chicken", "Whole chicken", "bird", "2"),
        ("8 oz butter", "Butter", "lb", "1/2"),
        ("2 lb sweet butter", "Butter", "lb", "2"),
        ("1 pt applesauce", "Applesauce", "qt", "1/2"),
        ("8,5 lb flour", "Bread flour", "lb", "17/2"),
    ],
)
def test_what_is_said_is_understood(words: str, product: str, size: str, count: str) -> None:
    said = understand(HERE, words)
    assert (said.product.name, said.size.name, said.count) == (product, size, Fraction(count))


def test_two_that_fit_are_asked_about() -> None:
    with pytest.raises(SeveralFit, match="'rhubarb' can be more than one product; say which") as caught:
        understand(HERE, "2 rhubarb")
    assert caught.value.choices == ("Rhubarb, stewed", "Rhubarb, cut")
    assert understand(HERE, "2 rhubarb", choose="Rhubarb, cut").product.name == "Rhubarb, cut"
    with pytest.raises(SeveralFit) as caught:
        understand(HERE, "tomato")
    assert caught.value.choices == ("Tomatoes, crushed", "Tomato sauce")


def test_none_that_fits_brings_a_list() -> None:
    with pytest.raises(NotUnderstood, match=r"the nearest are:\n  Rhubarb, cut \(qt bag\)"):
        understand(HERE, "rhubrab xyz cut")
    with pytest.raises(NotUnderstood) as caught:
        understand(HERE, "zzz")
    assert "Applesauce (qt)" in str(caught.value)
    assert "Milk (gal)" in str(caught.value)


@pytest.mark.parametrize("words", ["0 qt applesauce", "-2 qt applesauce", ""])
def test_no_amount_is_refused(words: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(HERE, words)


def test_places_by_code_and_by_name() -> None:
    assert place_meant(HERE, "n1") == "N1"
    assert place_meant(HERE, "kitchen press") == "K"
    assert place_meant(HERE, "south wall") == "S1"
    with pytest.raises(SeveralFit, match="more than one place"):
        place_meant(HERE, "shelf")
    with pytest.raises(NotUnderstood, match="K: kitchen press"):
        place_meant(HERE, "attic")


def test_sentences_part_at_their_last_hinge() -> None:
    assert split_at("3 qt applesauce to K", "to") == ("3 qt applesauce", "K")
    assert split_at("2 hp jam to go to Nell", "to") == ("2 hp jam to go", "Nell")
    assert split_at("2 hp jam", "to") == ("2 hp jam", "")


def test_labels() -> None:
    assert put_up_meant(" 2024 ") == "2024"
    assert put_up_meant("2025-10-06") == "2025-10-06"
    with pytest.raises(NotUnderstood, match="not a day"):
        put_up_meant("2025-02-30")


def test_words_lose_case_commas_and_plurals() -> None:
    assert words_of("Tomatoes, crushed") == ("tomato", "crushed")
    assert words_of("Berries") == ("berry",)
    assert words_of("Great-aunt's glass") == ("great", "aunt", "glass")


def test_the_surest_likeness_wins() -> None:
    names: dict[str, tuple[str, ...]] = {"Beans": (), "Beans, green": (), "Bean soup": ("pottage",)}
    assert meant("beans", names) == ("Beans",)
    assert meant("green beans", names) == ("Beans, green",)
    assert meant("bean s", names) == ("Bean soup",)
    assert meant("pottage", names) == ("Bean soup",)
    assert meant("gren beans", names) == ("Beans, green",)
    assert meant("walnut", names) == ()
    assert meant(" ", names) == ()
    assert nearest("soop", names) == ("Bean soup",)
