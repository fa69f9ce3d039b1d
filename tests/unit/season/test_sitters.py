"""Who is a sitter, a hoard, the wrong one of two; and that a held lot has one end only."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.actions.season import sitter_cautions
from pantrymeals.records import Dish, HouseRules, Lot, Option, Person, Use
from pantrymeals.season.sitters import sitters
from pantrymeals.units import UNITS

F = Fraction
QT = UNITS["qt"][1]


def dish(name, product, quarts=1, role="main", **more):
    return Dish(name, role, F(4), (Use((Option(product, quarts * QT, "1 qt"),)),), **more)


def lot(product, count, state="", source="book p. 1", when=date(2024, 9, 1)):
    return Lot(product, "qt", F(count), when, tested_source=source, state=state)


def running(product, over, used, made=0):
    put_up = [{"day": "2025-09-01", "count": str(made)}] if made else []
    return {
        "product": product, "size": "qt", "carried_over": {"2024": str(over)}, "put_up": put_up,
        "given": "0", "lost": "0", "used": str(used),
    }  # fmt: skip


def rows_of(asked, a_household, products, lots, seasons, dishes=(), harvest=None, **more):
    names = [p.name for p in products]
    data = {
        "harvest": harvest or [{"crop": "x", "from": "09-01", "to": "09-10", "products": names}],
        "season_2025": seasons,
        **more.pop("data", {}),
    }
    home = a_household(*products, lots=tuple(lots), dishes=tuple(dishes), season=data, **more)
    return {row.product: row for row in sitters(asked(home))}


@pytest.mark.parametrize(("used", "made", "with_dish", "kind"), [
    (0, 0, False, "sitter"),
    (0, 0, True, "sitter"),
    (0, 5, True, "sitter"),
    (1, 0, False, "sitter"),
    (1, 0, True, "near-sitter"),
    (1, 5, False, "near-sitter"),
    (9, 0, False, None),
])  # fmt: skip
def test_a_sitter_is_not_used_or_once_and_by_no_dish_of_ours(
    asked, a_household, a_product, used, made, with_dish, kind
):
    dishes = [dish("Stew", "Beets")] if with_dish else []
    left = 12 + made - used
    rows = rows_of(
        asked, a_household, [a_product("Beets")], [lot("Beets", left)], [running("Beets", 12, used, made)], dishes
    )
    assert (rows["Beets"].kind if "Beets" in rows else None) == kind


def test_three_jars_in_a_corner_are_no_sitter(asked, a_household, a_product):
    assert not rows_of(asked, a_household, [a_product("Beets")], [lot("Beets", 3)], [running("Beets", 3, 0)])


def test_what_sits_and_is_held_is_held_and_may_only_be_held(asked, a_household, a_product):
    held = lot("Elderberry jelly", 9, "held", "old recipe, since withdrawn")
    rows = rows_of(
        asked, a_household, [a_product("Elderberry jelly")], [held], [running("Elderberry jelly", 9, 0)],
        [dish("Tarts", "Elderberry jelly")],
    )  # fmt: skip
    row = rows["Elderberry jelly"]
    assert row.kind == "held"
    assert [end.kind for end in row.ends] == ["hold", "not again"]
    assert "C30" in {c.number for c in sitter_cautions((row,))}


def test_a_held_gift_is_named_and_never_counted(asked, a_household, a_product):
    gift = a_product("Pumpkin butter", must_last_to=None)
    rows = rows_of(
        asked, a_household, [gift], [lot("Pumpkin butter", 6, "held", "")], [],
        harvest=[{"crop": "x", "from": "09-01", "to": "09-10", "products": []}],
    )  # fmt: skip
    assert rows["Pumpkin butter"].kind == "held"
    assert [end.kind for end in rows["Pumpkin butter"].ends] == ["hold"]


def test_only_lots_with_a_recorded_source_may_be_given(asked, a_household, a_product):
    def kinds(source):
        rows = rows_of(
            asked, a_household, [a_product("Beets")], [lot("Beets", 9, source=source)], [running("Beets", 9, 0)]
        )
        return {end.kind for end in rows["Beets"].ends}

    assert "give or barter" in kinds("book p. 1")
    assert "give or barter" not in kinds("")


@pytest.mark.parametrize(("more", "hens"), [
    ({"acid": "high"}, True),
    ({"acid": "low", "family": "beet"}, False),
    ({"acid": "", "family": "beet", "kind": "cellar"}, True),
    ({"acid": "low", "family": "trout"}, False),
    ({"acid": "low", "family": "beet", "contents": frozenset({"pork"})}, False),
    ({"acid": "acidified", "family": "beet"}, False),
])  # fmt: skip
def test_hens_get_high_acid_fruit_and_plain_vegetables_only(asked, a_household, a_product, more, hens):
    rows = rows_of(asked, a_household, [a_product("Beets", **more)], [lot("Beets", 9)], [running("Beets", 9, 0)])
    assert ("hens or compost" in {end.kind for end in rows["Beets"].ends}) == hens


def test_the_wrong_one_of_two_of_a_crop(asked, a_household, a_product):
    sweet, sour = a_product("Sweet pickles", acid="acidified"), a_product("Sour pickles", acid="acidified")
    rows = rows_of(
        asked, a_household, [sweet, sour],
        [lot("Sweet pickles", 30), lot("Sour pickles", 2)],
        [running("Sweet pickles", 40, 10), running("Sour pickles", 30, 28)],
    )  # fmt: skip
    assert rows["Sweet pickles"].kind == "wrong of two"
    assert "Sour pickles" in rows["Sweet pickles"].why
    assert "Sour pickles" in rows["Sweet pickles"].ends[-1].words


def test_a_favourite_left_over_by_half_each_year_is_a_hoard(asked, a_household, a_product, book_year):
    history = [book_year("Pears", 2023, 10, 20, 20), book_year("Pears", 2024, 10, 20, 20)]

    def kind(liking, history=history):
        rows = rows_of(
            asked, a_household, [a_product("Pears")], [lot("Pears", 22)], [running("Pears", 10, 8, 20)],
            [dish("Pear tart", "Pears", liking=liking)], data={"history": history},
        )  # fmt: skip
        return rows["Pears"].kind if "Pears" in rows else None

    assert kind(2) == "hoard"
    assert kind(0) is None
    glut = [book_year("Pears", 2023, 0, 30, 10), book_year("Pears", 2024, 20, 30, 10)]
    assert kind(2, glut) != "hoard", "made more than is eaten: a glut, not a hoard"


def test_who_will_not_eat_it_is_named(asked, a_household, a_product):
    corin = Person("Corin", None, F(2), will_not=frozenset({"plain beets"}))
    beets = a_product("Beets, plain")
    rows = rows_of(
        asked, a_household, [beets], [lot("Beets, plain", 9)], [running("Beets, plain", 9, 0)], people=(corin,)
    )
    assert "Corin will not" in rows["Beets, plain"].why


def test_the_cost_names_lids_and_shelf(asked, a_household, a_product):
    rows = rows_of(
        asked, a_household, [a_product("Beets")], [lot("Beets", 9)], [running("Beets", 9, 0)],
        data={"jar_width_mm": {"qt": "100"}},
    )  # fmt: skip
    assert "9 lids" in rows["Beets"].cost
    assert "0.9 m of shelf" in rows["Beets"].cost


def test_a_kitchen_that_eats_all_has_no_sitters(asked, a_household, a_product):
    rules = HouseRules()
    assert (
        rows_of(asked, a_household, [a_product("Beets")], [lot("Beets", 9)], [running("Beets", 40, 31)], rules=rules)
        == {}
    )
