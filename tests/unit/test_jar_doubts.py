"""What no process is tested for is known by what it is; what only looks like it is left alone."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.jar_doubts import half_gallon_wrong, untested_are_held, why_untested
from pantrymeals.records import Lot
from tests.unit.book.kitchen import product

UNTESTED = (
    "Mashed squash", "Squash, mashed", "Winter squash purée", "Pumpkin butter (gift)", "Sweet potato butter",
    "Mashed potatoes", "Refried beans", "Canned butter", "Butter, canned", "Ghee", "Buttered peas",
    "Cream of celery soup", "Creamy tomato soup", "Corn chowder", "Gravy", "Chicken noodle soup",
    "Chicken and rice soup", "Chicken and dumplings", "Brown bread", "Jar cheesecake", "Pickled eggs", "Garlic in oil",
    "Basil in olive oil", "Pesto", "Goat milk", "Feta", "Cheese sauce",
)  # fmt: skip
NOT_MEANT = (
    "Peanut butter", "Apple butter", "Pear butter", "Spiced apple butter", "Blackcurrant butter", "Butter beans",
    "Butter peas", "Buttercup squash, cubed", "Winter squash, cubed", "Butternut squash, cubed",
    "Cheese pumpkin, cubed", "Spaghetti squash, cubed", "Bread-and-butter cucumbers", "Bread and butter pickles",
    "Pasta sauce", "Spaghetti sauce", "Tomato purée", "Strawberries, mashed", "Applesauce", "Creamed corn",
    "Corn, cream style", "Lemon curd", "Damson cheese", "Eggplant, cubed", "Licorice syrup",
    "Chicken soup without noodles", "Trout in oil", "Marinated peppers", "Milk thistle", "Vegetable soup base",
)  # fmt: skip


@pytest.mark.parametrize("name", UNTESTED)
def test_a_jar_of_it_is_known(name: str) -> None:
    assert why_untested(product(name, acid="low"))


@pytest.mark.parametrize("name", ["Mashed squash", "Squash, mashed", "Winter squash purée", "Marrow pie filling"])
def test_squash_that_is_written_down_as_sour_is_known_all_the_same(name: str) -> None:
    assert why_untested(product(name, acid="high"))
    assert why_untested(product("Strawberries, mashed", acid="high")) == ""


@pytest.mark.parametrize("name", NOT_MEANT)
def test_what_only_looks_like_it_is_left_alone(name: str) -> None:
    assert why_untested(product(name, acid="low")) == ""


def test_it_is_known_by_its_marks_family_other_names_and_label_too() -> None:
    plain = product("Sunday jars", acid="low")
    assert why_untested(plain) == ""
    for mark in ("milk", "egg", "wheat"):
        assert why_untested(replace(plain, contents=frozenset({mark})))
    assert why_untested(replace(plain, contents=frozenset({"pork"}))) == ""
    assert why_untested(replace(plain, family="noodles"))
    assert why_untested(replace(plain, also_called=("chicken and rice",)))
    assert why_untested(plain, "with noodles in it")
    assert why_untested(plain, "serve over noodles") == "", "what it is eaten with is not in the jar"


@pytest.mark.parametrize("kind", ["freezer", "cellar", "dry", "fridge"])
def test_only_jars_are_spoken_of(kind: str) -> None:
    assert why_untested(product("Pumpkin, mashed", kind=kind)) == ""


def test_bought_tins_are_no_home_canning() -> None:
    assert why_untested(product("Evaporated milk", "12-oz tin = 12 fl oz")) == ""
    assert why_untested(product("Cream of celery soup", note="bought")) == ""
    assert why_untested(product("Cream of celery soup"), "bought at the fair") == ""
    assert why_untested(product("Cream of celery soup"))


def test_a_lot_on_the_shelf_is_held_and_its_neighbour_is_not() -> None:
    products = {p.name: p for p in (product("Canned butter", "pt"), product("Apple butter", "pt"))}
    lots = [Lot("Canned butter", "pt", Fraction(30)), Lot("Apple butter", "pt", Fraction(4))]
    assert [lot.state for lot in untested_are_held(lots, products)] == ["held", ""]


def test_half_a_gallon_is_known_by_what_it_holds() -> None:
    assert half_gallon_wrong(product("Tomato juice", "2 l jar = 2 l"), "2 l jar")
    assert half_gallon_wrong(product("Tomato juice", "half-gal"), "half-gal")
    assert not half_gallon_wrong(product("Tomato juice", "1 l jar = 1 l"), "1 l jar")
    assert not half_gallon_wrong(product("Apple juice", "2 l jar = 2 l"), "2 l jar")
