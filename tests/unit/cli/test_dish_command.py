"""`dish NAME`: amounts for the next table, what to fetch, method, cautions, leavings; counted by hand and from YAML."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import Any

import pytest
import yaml

from pantrymeals.actions.dish import dish_answer
from pantrymeals.actions.larder import load_larder
from pantrymeals.errors import NotUnderstood
from pantrymeals.records import Household

ROOT = Path(__file__).resolve().parents[3]
WRITTEN = {
    d["name"]: d
    for folder in ("demo/recipes", "recipes")
    for p in sorted((ROOT / folder).glob("*.yaml"))
    if not (d := yaml.safe_load(p.read_text(encoding="utf-8"))).get("batch")
}
TABLE = {"Sat": Fraction("5.4"), "Sun": Fraction("6.4"), "tins": Fraction("3.6")}
"""Portions of the six Tarrows; with uncle Bram; of the three tins."""


@pytest.fixture(scope="module")
def tarrows() -> Household:
    return load_larder(ROOT / "demo", None, date(2026, 1, 17))


def told(household: Household, name: str, on: str = "") -> dict[str, Any]:
    answer = dish_answer(household, name, on)
    assert answer.json is not None
    found: dict[str, Any] = json.loads(answer.json())
    return found


def text(household: Household, name: str, on: str = "") -> str:
    return " ".join(dish_answer(household, name, on).text(colour=False).split())


@pytest.mark.parametrize("name", sorted(WRITTEN))
def test_every_dish_has_its_sheet_in_80_columns(tarrows: Household, name: str) -> None:
    sheet, written = dish_answer(tarrows, name).text(colour=False), WRITTEN[name]
    assert max(map(len, sheet.splitlines())) <= 80
    flat = " ".join(sheet.split())
    assert all(f"{n}. {step}" in flat for n, step in enumerate(written["method"], 1))
    assert written.get("note", "")[1:] in flat


@pytest.mark.parametrize(
    ("name", "on", "portions"),
    [
        ("Chicken and dumplings", "", "Sat"),
        ("Bean spread and oatcakes", "", "Sat"),
        ("Bean spread and oatcakes", "Mon", "tins"),
        ("Venison and root stew", "Sun", "Sun"),
        ("Baked apples", "Sun", "Sun"),
    ],
)
def test_batches_are_whole_and_amounts_follow(tarrows: Household, name: str, on: str, portions: str) -> None:
    found, serves = told(tarrows, name, on), WRITTEN[name]["serves"]
    assert found["portions"] == float(TABLE[portions])
    assert found["batches"] == ceil(TABLE[portions] / (serves * Fraction(5, 4)))
    once = WRITTEN[name]["uses"][0].split(" or ")[0]
    number, rest = once.split(" ", 1)
    if number.isdigit():
        assert found["uses"][0][0]["said"] == f"{int(number) * found['batches']} {rest}"


def test_whole_jars_are_fetched_and_a_part_jar_is_taken_first(tarrows: Household) -> None:
    """Half a pint of pork stands in the fridge, opened on the fifteenth and good for four days."""
    rows = [r for r in told(tarrows, "Pork and parsnip stew with apples")["pull"] if r["product"] == "Pork in broth"]
    assert [(r["count"], r["eat_by"]) for r in rows if r["kind"] == "part jar"] == [(0.5, "2026-01-18")]
    assert sum(r["count"] for r in rows if r["kind"] == "jar") == 2


def test_fresh_eggs_are_taken_where_frozen_ones_are_not_thawed(tarrows: Household) -> None:
    """Frozen tubs stand first in the recipe and take a night; the hens' eggs are in the fridge."""
    tonight = {row["product"] for row in told(tarrows, "Chicken and dumplings")["taken"]}
    on_monday = {row["product"] for row in told(tarrows, "Chicken and dumplings", "Mon")["taken"]}
    assert "Eggs, fresh" in tonight
    assert "Eggs, beaten" in on_monday


@pytest.mark.parametrize(
    ("name", "due", "not_due"),
    [
        (
            "Bean spread and oatcakes",
            ("heated through before anybody tastes", "lid tight and dipped"),
            "boil them hard in",
        ),
        ("Slow beans in apple juice", ("Dried beans of the kidney kind", "soak the beans"), "heated through before"),
        ("Cabbage in butter", ("before the first birthday",), "heated through before"),
        ("Pan trout", ("Thaw in the fridge",), "Dried beans"),
    ],
)
def test_cautions_stand_where_they_are_due(tarrows: Household, name: str, due: tuple[str, ...], not_due: str) -> None:
    sheet = text(tarrows, name)
    assert all(words in sheet for words in due)
    assert not_due not in sheet.split("THE PULL LIST")[1]


def test_a_bird_in_the_freezer_is_not_for_tonight(tarrows: Household) -> None:
    """One is thawed for Sunday; a second would be ready on Monday."""
    assert told(tarrows, "Sunday roast chicken")["day"] == "2026-01-18"
    assert told(tarrows, "Sunday roast chicken", "Sat")["too_late"] == [
        {"product": "Whole chicken", "ready": "2026-01-19"}
    ]


def test_what_its_leavings_become_and_what_it_is_made_from(tarrows: Household) -> None:
    roast = text(tarrows, "Sunday roast chicken")
    assert "Cold chicken, 3 portions" in roast
    assert "Second-day chicken pie" in roast.split("WHAT IS LEFT")[1]
    pie = told(tarrows, "Second-day chicken pie")
    assert pie["left_by"] == [
        "Birthday roast chickens",
        "Cool-of-the-morning chicken",
        "Pot-roast chicken with leeks",
        "Roast chicken on chard",
        "Sunday roast chicken",
    ]


def test_honey_is_not_for_a_baby_until_his_birthday(tarrows: Household) -> None:
    assert told(tarrows, "Honey oat bars")["barred"] == [{"person": "Odo", "mark": "honey"}]
    grown = load_larder(ROOT / "demo", date(2026, 4, 20), date(2026, 4, 20))
    assert told(grown, "Honey oat bars")["barred"] == []


def test_who_has_something_else_and_what_stands_in(tarrows: Household) -> None:
    assert "for Edda: plain cabbage" in text(tarrows, "Warm kraut")
    flat_bread = text(tarrows, "Flat-bread supper")
    assert "or 1 x hp tub Basil paste, no nuts, a stand-in: spread thin in place of the sauce" in flat_bread


def test_part_of_a_name_does_where_one_dish_alone_can_be_meant(tarrows: Household) -> None:
    assert told(tarrows, "dumplings chicken")["dish"] == "Chicken and dumplings"
    with pytest.raises(NotUnderstood, match="can be more than one dish"):
        dish_answer(tarrows, "sunday")


@pytest.mark.parametrize("name", ["Baked beans on toast", "Sunday roast chicken", "Corn cakes and relish"])
def test_portions_beyond_the_table_are_said_with_their_last_day(tarrows: Household, name: str) -> None:
    """Serves times batches, less the table of that day, in whole portions; three days from then."""
    found = told(tarrows, name)
    table = Fraction(str(found["portions"]))
    over = int(WRITTEN[name]["serves"] * found["batches"] - table)
    if over < 1:
        assert found["over"] is None
        assert "portions over" not in text(tarrows, name)
    else:
        assert found["over"]["portions"] == over
        assert (
            date.fromisoformat(found["over"]["keeps_to"]).toordinal() - date.fromisoformat(found["day"]).toordinal()
            == 3
        )
        assert f"It feeds {WRITTEN[name]['serves'] * found['batches']}: " in text(tarrows, name)


def test_only_jars_of_the_dish_come_back_empty(tarrows: Household) -> None:
    """What stands open beside it and goes over that day is not this dish's."""
    assert "Comes back as empties" not in text(tarrows, "Sunday roast chicken")
    assert "Comes back as empties: 3 pt" in text(tarrows, "Baked beans on toast")
