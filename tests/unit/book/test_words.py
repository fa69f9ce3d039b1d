"""A few words find the product, the amount and the place; two that fit are asked about."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.book.words import (
    NotInThatSize,
    NotUnderstood,
    SeveralFit,
    place_meant,
    put_up_meant,
    split_at,
    understand,
)
from pantrymeals.book.names import meant, nearest, words_of
from pantrymeals.files.amounts import KnownProducts
from tests.unit.book.kitchen import PRODUCTS, pantry, product

HERE = pantry()
WIDER = replace(
    HERE,
    known=KnownProducts.of(
        (
            *PRODUCTS,
            product("Raspberry jam", "hp"),
            product("Peaches", "500 ml; 1 l"),
            product("Plums", "500 ml jar = 500 ml"),
            product("Eggs, fresh", "each", kind="fridge", whole=False, also_called=("eggs",)),
            product("Peas", "qt bag = 1 qt", kind="freezer"),
            product("Pork chops", "pack of 6 = 6 each", kind="freezer"),
            product("Cup cakes", "each", kind="dry"),
        )
    ),
)
"""The same household with a metric shelf, eggs by the piece and packs."""


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
        ("2 pt small green beans", "Green beans, small", "pt", "2"),
        ("tomatos crushd", "Tomatoes, crushed", "qt", "1"),
        ("2 qt bag rhubarb", "Rhubarb, cut", "qt bag", "2"),
        ("3 2-egg tubs eggs", "Eggs, beaten", "2-egg tub", "3"),
        ("2 birds chicken", "Whole chicken", "bird", "2"),
        ("8 oz butter", "Butter", "lb", "1/2"),
        ("2 lb sweet butter", "Butter", "lb", "2"),
        ("1/2 qt applesauce", "Applesauce", "qt", "1/2"),
        ("8,5 lb flour", "Bread flour", "lb", "17/2"),
    ],
)
def test_what_is_said_is_understood(words: str, product: str, size: str, count: str) -> None:
    said = understand(HERE, words)
    assert (said.product.name, said.size.name, said.count) == (product, size, Fraction(count))


@pytest.mark.parametrize(
    ("words", "product", "size", "count"),
    [
        ("9 x 500 ml jar peaches", "Peaches", "500 ml", "9"),
        ("9 500 ml peaches", "Peaches", "500 ml", "9"),
        ("9x500ml jars of plums", "Plums", "500 ml jar", "9"),
        ("9 × 500 ml plums", "Plums", "500 ml jar", "9"),
        ("500 ml plums", "Plums", "500 ml jar", "1"),
        ("9 jars of raspberry jam", "Raspberry jam", "hp", "9"),
        ("a jar of raspberry jam", "Raspberry jam", "hp", "1"),
        ("two half pints raspberry jam", "Raspberry jam", "hp", "2"),
        ("a dozen eggs", "Eggs, fresh", "each", "12"),
        ("half a dozen eggs", "Eggs, fresh", "each", "6"),
        ("2 dozen eggs", "Eggs, fresh", "each", "24"),
        ("2 1-qt bags peas", "Peas", "qt bag", "2"),
        ("2 qt peas", "Peas", "qt bag", "2"),
        ("2 packs pork chops", "Pork chops", "pack of 6", "2"),
        ("3 cup cakes", "Cup cakes", "each", "3"),
    ],
)
def test_what_people_say_is_understood(words: str, product: str, size: str, count: str) -> None:
    said = understand(WIDER, words)
    assert (said.product.name, said.size.name, said.count) == (product, size, Fraction(count))


@pytest.mark.parametrize(
    ("words", "wrong", "instead"),
    [
        ("5 lb green beans", "Green beans comes in qt, not in 'lb'", None),
        ("3 oz raspberry jam", "Raspberry jam comes in hp, not in 'oz'", None),
        ("7 qt raspberry jam", "Raspberry jam comes in hp, not in 'qt'", "28 hp Raspberry jam"),
        ("2 half-gal applesauce", "Applesauce comes in qt, not in 'half-gal'", "4 qt Applesauce"),
        ("1 pt applesauce", "Applesauce comes in qt, not in 'pt'", "1/2 qt Applesauce"),
        ("2 pt applesauce", "Applesauce comes in qt, not in 'pt'", "1 qt Applesauce"),
        ("2 bushels applesauce", "Applesauce comes in qt, not in 'bushels'", None),
        ("1 c raspberry jam", "Raspberry jam comes in hp, not in 'c'", None),
        ("2 qt jars peas", "Peas comes in qt bag, not in 'qt jars'", None),
        ("12 pork chops", "can be 12 x pack of 6 Pork chops or as much as 2 x pack of 6", "2 x pack of 6 Pork chops"),
    ],
)
def test_no_unit_is_dropped_or_turned_into_another(words: str, wrong: str, instead: str | None) -> None:
    with pytest.raises(NotInThatSize) as caught:
        understand(WIDER, words)
    assert wrong in str(caught.value)
    assert "nothing was entered" in str(caught.value)
    assert (None if caught.value.instead is None else str(caught.value.instead)) == instead


def test_the_line_that_would_add_a_size_or_a_loose_product(tmp_path: Path) -> None:
    text = 'product,kind,sizes,loose,also_called\nApplesauce,jar,qt,,\n"Green beans",jar,"qt; pt",,beans\n'
    (tmp_path / "products.csv").write_text(text)
    here = replace(HERE, folder=tmp_path)
    with pytest.raises(NotInThatSize, match=r"under 'sizes' in products\.csv: qt; half-gal$"):
        understand(here, "2 half-gallons applesauce")
    with pytest.raises(NotInThatSize, match=r'put its kind right\):\n  "Green beans, fresh",cellar,lb,yes$'):
        understand(here, "5 lb green beans")


def test_jars_of_two_sizes_and_a_name_that_comes_in_another_size_are_asked_about() -> None:
    with pytest.raises(SeveralFit, match="can be more than one size") as caught:
        understand(WIDER, "9 jars of peaches")
    assert caught.value.choices == ("500 ml", "1 l")
    assert str(understand(WIDER, "9 jars of peaches", size="1 l")) == "9 x 1 l Peaches"
    # green beans come in quarts here, small green beans in pints: whichever is entered in silence may be the wrong one
    with pytest.raises(SeveralFit) as caught:
        understand(WIDER, "2 pt green beans")
    assert caught.value.choices == ("Green beans, small", "Green beans")


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
    for wrong in ("2025-02-30", "0000", "9999", "1899-12-31", "2101-01-01", "２０２４"):
        with pytest.raises(NotUnderstood, match="not a day"):
            put_up_meant(wrong)
    assert (put_up_meant("1900"), put_up_meant("2100-12-31")) == ("1900", "2100-12-31")


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
    assert [meant("bens", {"Beneath": ()}, surely=sure) for sure in (False, True)] == [("Beneath",), ()]


@pytest.mark.parametrize(("words", "told"), [
    ("2 butter", "Butter is kept in lb, and '2 butter' does not say in what; nothing was entered. "
                 "If it is 2 lb: '2 lb Butter'"),
    ("a dozen butter", "does not say in what"), ("1/2 flour", "If it is 1/2 lb: '1/2 lb Bread flour'"),
    ("3 milk", "Milk is kept in gal"),
])  # fmt: skip
def test_a_number_alone_of_what_is_weighed_or_poured_is_asked_about(words: str, told: str) -> None:
    """'2 potatoes' was entered as two pounds of them, two milk as two gallons."""
    with pytest.raises(NotInThatSize) as caught:
        understand(HERE, words)
    assert told in str(caught.value)
    assert caught.value.instead == understand(HERE, str(caught.value.instead))


@pytest.mark.parametrize("words", ["2 lb butter", "butter", "2 green beans", "half a lb butter"])
def test_what_says_its_container_or_no_number_is_understood(words: str) -> None:
    assert understand(HERE, words).count > 0
