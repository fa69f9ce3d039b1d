"""Rule 1: in halves and thirds, where a cook would; counted by hand, and three readings of the rule agree."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.checking.portions import batches_feed_the_table, batches_for
from pantrymeals.files.household import read_household
from pantrymeals.larder.table import batches
from pantrymeals.records import Dish, Household, Leaving
from pantrymeals.reports.terminal.changes import batches_words
from pantrymeals.reports.terminal.menu import times_words
from tests.kitchens.own_rules import batches_of
from tests.kitchens.tiny import cooked, day, dish, jar, kitchen, loose, menu, qty, supper

ROOT = Path(__file__).resolve().parents[3]
F = Fraction


def home(*uses: str, serves: int = 6, **changes: object) -> tuple[Household, Dish]:
    one = dish("Pot", uses, serves=serves, **{"whole_batches": False, **changes})
    goods = [
        jar("Beans", sizes=["pt"]),
        jar("Corn", sizes=["qt", "pt"]),
        loose("Flour", "lb"),
        loose("Eggs", "each"),
        jar("Mince", sizes=["lb"], thaw_days=1),
    ]
    return kitchen(products=goods, dishes=[one]), one


@pytest.mark.parametrize(
    ("uses", "portions", "right"),
    [
        (["1 lb Flour"], "2", F(1, 2)),  # nothing to be cut: thirds are for what comes in pieces
        (["1 lb Flour"], "15/4", F(1, 2)),  # three, stretched by a quarter
        (["1 lb Flour"], "4", F(1)),
        (["1 lb Flour"], "8", F(3, 2)),
        (["1 lb Flour"], "12", F(2)),
        (["1 lb Flour"], "29/2", F(2)),
        (["1 lb Flour"], "16", F(5, 2)),
        (["3 pt Beans"], "2", F(1, 3)),  # two eaters cook no three pints for six
        (["3 pt Beans"], "5", F(2, 3)),
        (["3 pt Beans"], "8", F(2)),  # four pints and a half: none is opened for half
        (["2 pt Beans"], "2", F(1, 2)),
        (["1 pt Beans"], "2", F(1)),
        (["1 qt Corn"], "2", F(1, 2)),  # it comes in pints too
        (["1 qt Corn", "1 pt Beans"], "2", F(1)),
        (["1/2 pt Beans"], "2", F(1, 2)),  # a quarter of a pint
        (["1/4 pt Beans"], "2", F(1)),  # no eighth
        (["1/2 pt Beans"], "8", F(3, 2)),
        (["3 each Eggs"], "2", F(1, 3)),
        (["4 each Eggs"], "2", F(1, 2)),
        (["3 each Eggs", "1 lb Flour"], "8", F(2)),  # no half egg
        (["1/2 lb Mince"], "2", F(1)),  # a thawed pack is cut no finer than the recipe cuts it
        (["2 lb Mince"], "2", F(1, 2)),
        (["3 pt Beans or 1 lb Mince"], "2", F(1)),  # each of its choices, since either may be taken
    ],
)
def test_halves_and_thirds_where_a_cook_would(uses: list[str], portions: str, right: Fraction) -> None:
    household, one = home(*uses)
    assert batches(household, one, F(portions)) == right
    assert batches_for(household, one, F(portions)) == right
    assert batches_of(household, one, F(portions)) == right


@pytest.mark.parametrize("changes", [{"whole_batches": True}, {"leaves": Leaving("cold pot", F(3), 2)}])
def test_whole_where_it_says_so_or_leaves_something(changes: dict[str, object]) -> None:
    household, one = home("1 lb Flour", **changes)
    for portions, right in (("1", 1), ("7", 1), ("8", 2), ("16", 3)):
        assert {f(household, one, F(portions)) for f in (batches, batches_for, batches_of)} == {F(right)}


def test_three_readings_agree_on_every_dish_of_the_demo() -> None:
    tarrows = read_household(ROOT / "demo")
    parted = set()
    for one in tarrows.dishes.values():
        for fifths in range(2, 70, 3):
            found = {f(tarrows, one, F(fifths, 5)) for f in (batches, batches_for, batches_of)}
            assert len(found) == 1, (one.name, fifths, found)
            (many,) = found
            assert one.serves * many * F(5, 4) >= F(fifths, 5)
            parted |= {one.name} if many.denominator > 1 else set()
    assert len(parted) > 30


def test_the_checker_names_a_dish_made_too_often_or_too_seldom() -> None:
    household, _ = home("3 pt Beans", "3/4 lb Flour")
    for many in (F(1, 3), F(1, 2), F(1)):
        made = menu(household, [supper(day(0), cooked(household, "Pot", many), portions="2")])
        said = list(batches_feed_the_table(household, made))
        assert (said == []) == (many == F(1, 3))
        assert said == [] or "2 portions need 1/3 (it serves 6)" in said[0]
        assert cooked(household, "Pot", many).uses[0].amount == 3 * many * qty("1 pt")


def test_the_words_of_a_part_and_of_more() -> None:
    said = [times_words(F(*of)) for of in ((1, 3), (1, 2), (2, 3), (1, 1), (3, 2), (2, 1), (5, 2))]
    assert said == [
        "a third of the recipe", "half the recipe", "two thirds of the recipe", "", "1 1/2 times the recipe",
        "made double", "2 1/2 times the recipe",
    ]  # fmt: skip
    assert batches_words(F(1), F(2)) == "make it double"
    assert batches_words(F(1), F(1, 2)) == "make 1/2 of a batch instead of 1"
    assert batches_words(F(3), F(2)) == "make 2 batches instead of 3"
    assert batches_words(F(1), F(3, 2)) == "make 1 1/2 batches instead of 1"
