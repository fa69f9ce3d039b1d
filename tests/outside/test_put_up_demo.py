"""The invented household's own worked example, and its own load book.

Source: the Tarrow household's scenario (ours, invented): 'used in the two full book years 58 and 55; say 57;
less what will be carried over (0), plus one third for the crop that fails one year in three: 76, rounded
up to whole canner loads of seven: 77 quarts, 11 loads, 77 flats, a little over 200 lb of tomatoes (four
bushels)',
and for plain beets: 'used 3 and 1 and 0: none'. No published source.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
import yaml

from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.season import SeasonAsked, make_season
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.season.kitchen_work import load_of
from pantrymeals.season.loads import whole_loads
from pantrymeals.season.sitters import sitters
from tests.kitchens.seasons import open_season

DEMO = Path(__file__).parents[2] / "demo"
DAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def asked():
    return open_season(DEMO, DAY, DAY)


@pytest.fixture(scope="module")
def sheet(asked):
    return make_season(asked, SeasonAsked())


@pytest.fixture(scope="module")
def left_at_its_day():
    """By product, the day that run-out names and what it leaves then."""
    forecast = run_out(open_with_book(DEMO, DAY, DAY), Chance())
    return {row.product: (row.must_last_to, row.as_eaten.left) for row in forecast.rows}


@pytest.fixture(scope="module")
def rows(asked):
    return sitters(asked)


def line(sheet, name):
    return next(item for item in sheet.wanted.lines if item.product == name)


def test_crushed_tomatoes(sheet):
    tomatoes = line(sheet, "Tomatoes, crushed")
    assert (tomatoes.jars, tomatoes.loads, tomatoes.carried_over) == (77, 11, 0)
    assert tomatoes.flats == 78  # by the book 19 of 3,343 jars did not seal
    assert tomatoes.need.years == (58, 55)
    assert tomatoes.plain_sum == 76
    assert tomatoes.why == "57 used a year, none carried over, one year in three fails: 77 quarts, 11 loads"
    assert 200 < tomatoes.raw_lb.low < 220
    assert tomatoes.containers_in.low < 4 < tomatoes.containers_in.high
    assert tomatoes.containers_in.unit == "bushel"


def test_plain_beets_none(sheet):
    why = dict(sheet.wanted.none)["Beets, plain"]
    assert "3 and 1" in why


def test_the_seven_sitters_and_no_other(rows):
    """The scenario names seven; two of them, 'SITTER and held', may not be eaten, and stand under 'held' alone."""
    assert {r.product for r in rows if r.kind == "sitter"} == {
        "Pear butter", "Beets, plain", "Split pea soup", "Trout, canned", "Liver",
    }  # fmt: skip
    assert {r.product for r in rows if r.kind == "held" and "SITTER and held" in r.why} == {
        "Elderberry jelly", "Marrow and ginger jam",
    }  # fmt: skip


def test_elderberry_and_marrow_may_only_be_held(rows):
    for name in ("Elderberry jelly", "Marrow and ginger jam"):
        row = next(r for r in rows if r.product == name)
        assert row.kind == "held"
        assert {end.kind for end in row.ends} == {"hold", "not again"}


def test_the_wrong_pickle_of_two(rows):
    row = next(r for r in rows if r.kind == "wrong of two")
    assert row.product == "Bread-and-butter cucumbers"
    assert "Dill cucumbers" in row.why


def test_the_held_gifts_are_named(rows):
    held = {r.product for r in rows if r.kind == "held"}
    gifts = {"Pumpkin butter (gift)", "Tomato soup, half-gallon (gift)", "Unlabelled, amber"}
    assert held == gifts | {"Elderberry jelly", "Marrow and ginger jam"}


def test_walnuts_are_nobodys_sitter(rows):
    assert "Black walnuts, in shell" not in {r.product for r in rows}


def test_gluts_are_not_put_up_again(sheet):
    none = dict(sheet.wanted.none)
    for name in ("Apple butter", "Blackcurrant jelly", "Green tomato relish", "Kale",
                 "Bread-and-butter cucumbers", "Rhubarb, stewed", "Gooseberries"):  # fmt: skip
        assert name in none, name


def test_apple_chutney_is_put_up_for_what_is_given(sheet):
    """The scenario's flat reckoning calls it a glut: 15 pints at 0.2 a week, 34 weeks to go, leave 8.

    By the book some ten are left when the apples come, 8 1/2 are eaten in a year and four more are given away.
    """
    chutney = line(sheet, "Apple chutney")
    assert (chutney.need.given, chutney.need.years) == (4, (8, 9))
    assert 0 < chutney.wanted < 8


def test_what_is_carried_over_is_what_the_run_out_leaves(sheet, left_at_its_day):
    """Of products whose crop comes in on the very day they must last to, each to the container that is printed."""
    compared = 0
    for item in sheet.wanted.lines:
        if item.product in left_at_its_day and left_at_its_day[item.product][0] == item.first:
            assert item.carried_over == round(left_at_its_day[item.product][1]), item.product
            compared += 1
    assert compared >= 20


def test_what_was_short_is_put_up(sheet):
    for name in ("Pears in syrup", "Damsons in syrup", "Raspberry jam", "Tomato sauce", "Salsa", "Ketchup",
                 "Dill cucumbers", "Sweet peppers, diced", "Blueberries"):  # fmt: skip
        assert line(sheet, name).loads > 0


def test_the_calendar_fits_its_hours(sheet):
    assert sheet.fitted.hours_by_week
    for week, (taken, have) in sheet.fitted.hours_by_week.items():
        assert taken <= have, week
    by_name = {item.product: item for item in sheet.wanted.lines}
    for item in sheet.fitted.days:
        assert by_name[item.product].first <= item.day <= by_name[item.product].last
        if by_name[item.product].way == "canner":
            assert item.loads <= 4


def test_three_hundred_empties_missing_says_what_to_cut(asked, sheet):
    less = make_season(asked, SeasonAsked(without=("300 quart empties",)))
    cut = [c for c in less.fitted.cuts if "quart jars" in c.why]
    assert sum(c.jars for c in cut) > 200
    assert all(c.size == "qt" for c in cut)
    assert less.fitted.proven
    assert [c.chance for c in less.fitted.cuts] == sorted(c.chance for c in less.fitted.cuts)
    jars = next(item for item in less.fitted.one_more if item.what.startswith("a dozen more quarts"))
    assert jars.gain > 0
    with_them = sum(c.jars for c in sheet.fitted.cuts if "quart jars" in c.why)
    assert with_them <= 21, "with them, all but three loads of quarts fit"
    assert sum(c.jars for c in cut) > with_them + 200


def test_the_households_load_book(asked):
    """Jars that went in, in loads as the book has them, by what the canners hold."""
    checked = 0
    season = yaml.safe_load((DEMO / "season.yaml").read_text(encoding="utf-8"))
    for record in season["load_records"]:
        product = asked.household.products[record["product"]]
        if not product.acid:  # great-aunt's card: which canner it went in is not known
            continue
        loads = whole_loads(Fraction(record["jars_in"]), load_of(asked, product))
        assert loads <= record["loads"], record["product"]
        checked += 1
    assert checked >= 10
