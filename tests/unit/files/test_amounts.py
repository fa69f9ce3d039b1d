"""Amounts of products: the longest name that ends a text, and a unit or container before it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pantrymeals.files.amounts import KnownProducts, Lacking, amount_of, read_option, read_options
from pantrymeals.files.gathering import Wrong
from pantrymeals.files.products import sizes_and_measure
from pantrymeals.records import Product
from pantrymeals.units import parse_amount, summed


def product(name: str, sizes: str, *also: str) -> Product:
    found, measure = sizes_and_measure(sizes)
    return Product(name, "", "jar", measure, found, also_called=also)


KNOWN = KnownProducts.of(
    [
        product("Green beans", "qt; pt", "string beans"),
        product("Beans", "pt"),
        product("Stock or broth", "qt"),
        product("Eggs, beaten", "2-egg tub = 2 each"),
        product("Pork chops", "pack of 6 = 6 each"),
        product("Bread, loaves", "loaf"),
        product("Potatoes, main crop", "lb"),
        product("Kale", "qt bag = 1 qt"),
        product("Leeks", "each"),
    ]
)
QT = parse_amount("1 qt").quantity
LB = parse_amount("1 lb").quantity


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("1 1/2-2 lb Potatoes, main crop", [3 * LB / 2, 2 * LB]),
        ("½ – 1 lb Potatoes, main crop", [LB / 2, LB]),
        ("2-3 qt bag Kale", [2 * QT, 3 * QT]),
        ("1-2 2-egg tub Eggs, beaten", [Fraction(2), Fraction(4)]),
        ("3-4 Leeks or 1-1 1/2 lb Potatoes, main crop", [Fraction(3), Fraction(4), LB, 3 * LB / 2]),
        ("1 2-egg tub Eggs, beaten", [Fraction(2)]),
    ],
)
def test_a_range_is_its_least_or_its_most(text: str, amounts: list[Fraction]) -> None:
    options, wrongs = read_options(text, KNOWN)
    assert [option.amount for option in options] == amounts
    assert wrongs == ()
    assert all("-" not in option.as_written.split(" lb")[0] for option in options if "lb" in option.as_written)


@pytest.mark.parametrize(
    "text", ["2-1 lb Potatoes, main crop", "2-2 lb Potatoes, main crop", "1-x lb Kale", "1- lb Kale"]
)
def test_what_is_no_range_is_said(text: str) -> None:
    options, wrongs = read_options(text, KNOWN)
    assert options == ()
    assert len(wrongs) == 1


@pytest.mark.parametrize(
    ("text", "name", "amount"),
    [
        ("1 qt Green beans", "Green beans", QT),
        ("1 1/2 qt green  BEANS", "Green beans", QT * 3 / 2),
        ("½ pt String beans", "Green beans", QT / 4),
        ("2 quarts of Green beans", "Green beans", QT * 2),
        ("1 pt Beans", "Beans", QT / 2),
        ("1 2-egg tub Eggs, beaten", "Eggs, beaten", Fraction(2)),
        ("3 each Eggs, beaten", "Eggs, beaten", Fraction(3)),
        ("2 packs of 6 Pork chops", "Pork chops", Fraction(12)),
        ("2 1/2 loaves Bread, loaves", "Bread, loaves", Fraction(5, 2)),
        ("1/2lb Potatoes, main crop", "Potatoes, main crop", LB / 2),
        ("8 oz Potatoes, main crop", "Potatoes, main crop", LB / 2),
        ("2 qt bag Kale", "Kale", QT * 2),
        ("1 cup Kale", "Kale", QT / 4),
        ("6 Leeks", "Leeks", Fraction(6)),
        ("1 qt Stock or broth", "Stock or broth", QT),
    ],
)
def test_an_amount_and_its_product(text: str, name: str, amount: Fraction) -> None:
    option = read_option(text, KNOWN)
    assert (option.product, option.amount) == (name, amount)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("1 qt Green beans or 3/4 lb Potatoes, main crop", ["Green beans", "Potatoes, main crop"]),
        ("1 qt Stock or broth or 1 pt Beans or 2 each Leeks", ["Stock or broth", "Beans", "Leeks"]),
        ("1 pt Beans OR ½ qt Stock or broth", ["Beans", "Stock or broth"]),
    ],
)
def test_options_are_parted_at_or_but_not_within_a_name(text: str, names: list[str]) -> None:
    options, wrongs = read_options(text, KNOWN)
    assert not wrongs
    assert [o.product for o in options] == names


def test_a_name_that_holds_or_and_a_number_is_found_whole() -> None:
    known = KnownProducts.of([product("Ham or 2 hocks", "piece"), product("Beans", "pt")])
    options, wrongs = read_options("1 piece Ham or 2 hocks or 1 pt Beans", known)
    assert not wrongs
    assert [o.product for o in options] == ["Ham or 2 hocks", "Beans"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1 lb Green beans", "Green beans is kept in qt, pt, not in lb; write an amount such as 1 qt"),
        ("1 Green beans", "Green beans is kept in qt, pt; write an amount such as 1 qt"),
        ("1 bucket Green beans", "Green beans is kept in qt, pt, not in bucket; write an amount such as 1 qt"),
        ("0 qt Green beans", "'0 qt Green beans' is nothing; write an amount more than 0"),
        ("-1 qt Green beans", "'-1 qt Green beans' is less than nothing; write an amount more than 0"),
        (
            "Green beans",
            "'Green beans' does not begin with an amount; "
            "write it such as 1 qt Green beans; a name with a comma goes in quotes",
        ),
        ("2 lb", "'lb' names no product; write it such as 1 qt Green beans"),
        ("1 qt Gravy", "'Gravy' is not in products.csv; "),
        ("1 qt bag Small green beans", "'Small green beans' is not in products.csv; "),
        ("1 pt Beans or Leeks", "'Beans or Leeks' is not in products.csv; write an amount after 'or', too"),
    ],
)
def test_what_is_said_of_a_wrong_use(text: str, message: str) -> None:
    with pytest.raises(Wrong) as caught:
        read_option(text, KNOWN)
    assert f"{caught.value.wrong}; {caught.value.right}" == message


def test_a_wrong_measure_counts_as_lacking_and_a_missing_amount_does_not() -> None:
    with pytest.raises(Lacking) as caught:
        read_option("2 lb Kale", KNOWN)
    assert caught.value.product == "Kale in lb"
    with pytest.raises(Wrong) as plain:
        read_option("some Kale", KNOWN)
    assert not isinstance(plain.value, Lacking)


def test_an_amount_of_a_known_product() -> None:
    beans = KNOWN.by_name["Green beans"]
    assert amount_of(beans, "1/2 qt") == QT / 2
    with pytest.raises(Wrong) as caught:
        amount_of(beans, "2 lb")
    assert (caught.value.wrong, caught.value.right) == (
        "Green beans is kept in qt, pt, not in lb",
        "write an amount such as 1 qt",
    )


@given(st.lists(st.fractions(max_denominator=5_040_000)))
def test_a_sum_by_denominators_is_the_sum(amounts: list[Fraction]) -> None:
    assert summed(amounts) == sum(amounts, Fraction(0))
