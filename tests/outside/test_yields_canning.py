"""Pounds to the load and quarts to the bushel, against the USDA Complete Guide to Home Canning.

Source: tests/outside/handbook/canning_yields.csv (AIB 539, Guides 2, 3, 4 and 6, with second opinions), each
row with its own source; rows marked 'read' are checked one by one.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.season_tables import season_tables
from pantrymeals.season import yields
from pantrymeals.season.yields import CropName, Tables, canning_yields, containers_for, figures, raw_pounds

HERE = Path(__file__).parent / "handbook"
ROWS = list(csv.DictReader((HERE / "canning_yields.csv").open(encoding="utf-8")))
READ = [(i, r) for i, r in enumerate(ROWS) if r["how_obtained"] == "read"]
OURS = Path(__file__).parents[2] / "pantrymeals" / "data"


def alone(row):
    """That one row as the whole table, and the name that finds it."""
    return Tables(canning=canning_yields([row])), CropName("it", row["product"], row["form"], "", "")


def names(pairs):
    return [f"{r['product']}, {r['form']}-{i}" for i, r in pairs]


@pytest.mark.parametrize(("number", "row"), READ, ids=names(READ))
def test_pounds_for_a_load_span_the_printed_figures(number, row):
    tables, name = alone(row)
    printed = [lb / 7 for lb in figures(row["lb_per_7qt_load"])]
    printed += [lb * 2 / 9 for lb in figures(row["lb_per_9pt_load"])]
    printed += list(figures(row["lb_per_quart"]))
    load = raw_pounds(tables, name, 7, "qt")
    if printed:
        assert (load.low, load.high) == (min(printed) * 7, max(printed) * 7)
        assert raw_pounds(tables, name, 9, "pt").low == min(printed) * Fraction(9, 2)
    elif not row["container_weight_lb"]:
        assert load is None
    assert number >= 0


WITH_BUSHEL = [(i, r) for i, r in READ if r["quarts_per_container_low"]]


@pytest.mark.parametrize(("number", "row"), WITH_BUSHEL, ids=names(WITH_BUSHEL))
def test_quarts_to_the_container_come_back_as_one_container(number, row):
    tables, name = alone(row)
    high, low = (
        int(row["quarts_per_container_high"] or row["quarts_per_container_low"]),
        int(row["quarts_per_container_low"]),
    )
    assert containers_for(tables, name, high, "qt").low == 1
    assert containers_for(tables, name, low, "qt").high == 1
    assert containers_for(tables, name, 2 * low, "pt").high == 1
    assert number >= 0


def test_loads_agree_with_the_printed_pounds_a_quart():
    """AIB 539 within itself: a load over seven is the printed pounds a quart within 5 percent, crushed
    tomatoes apart (22/7 = 3.14 against 2.75); a nine-pint load within 5 percent, thin sauce (4.67 against
    5) apart too."""
    checked = 0
    for _, row in READ:
        quart = figures(row["lb_per_quart"])
        if len(quart) != 1 or row["product"] == "tomatoes, crushed":
            continue
        for load, jars in ((row["lb_per_7qt_load"], Fraction(7)), (row["lb_per_9pt_load"], Fraction(9, 2))):
            if load and not (row["product"] == "tomato sauce, thin" and jars != 7):
                assert abs(Fraction(load) / jars / quart[0] - 1) <= Fraction(5, 100), row["product"]
                checked += 1
    assert checked > 30


def test_the_packaged_table_has_the_same_figures():
    """The program carries the handbook's table, its notes shortened, five figures worked out of notes."""
    packaged = list(csv.DictReader((OURS / "canning_yields.csv").open(encoding="utf-8")))
    assert len(packaged) == len(ROWS)
    same = ("product", "form", "lb_per_7qt_load", "lb_per_9pt_load", "container", "container_weight_lb",
            "quarts_per_container_low", "quarts_per_container_high", "source", "how_obtained")  # fmt: skip
    worked_out = 0
    for ours, theirs in zip(packaged, ROWS, strict=True):
        assert [ours[k] for k in same] == [theirs[k] for k in same]
        if ours["lb_per_quart"] != theirs["lb_per_quart"]:
            assert ours["note"].startswith("computed: ")
            worked_out += 1
    assert worked_out == 5


@pytest.mark.parametrize(("product", "low", "high"), [
    ("Ketchup", Fraction(24 * 2, 7), Fraction(24 * 2, 6)),
    ("Apple butter", Fraction(8 * 2, 9), Fraction(8 * 2, 8)),
    ("Dill cucumbers", Fraction(8 * 2, 9), Fraction(8 * 2, 7)),
    ("Beets, pickled", Fraction(7 * 2, 8), Fraction(7 * 2, 8)),
    ("Bread-and-butter cucumbers", Fraction(6 * 2, 8), Fraction(6 * 2, 8)),
])  # fmt: skip
def test_figures_worked_out_of_notes(product, low, high):
    """AIB 539 Guides 2, 3 and 6 as noted in the handbook: 24 lb to 6-7 pints and so on, to two decimals."""
    tables = season_tables()
    found = raw_pounds(tables, tables.name_of(product), 1, "qt")
    assert abs(found.low - low) < Fraction(1, 100)
    assert abs(found.high - high) < Fraction(1, 100)


def test_tested_sizes_are_those_of_the_handbook():
    """handbook/canning_limits.csv: jar sizes by product; of its processes nothing is carried."""
    tables = season_tables()
    limits = list(csv.DictReader((HERE / "canning_limits.csv").open(encoding="utf-8")))
    for product, (acid, sizes) in tables.tested.items():
        theirs = [r for r in limits if r["product"] == product and r["method"] != "rule"]
        assert set(sizes) == {s for r in theirs for s in r["jar_size"].split(" or ")}
        assert {acid} == {r["acidity_class"] for r in theirs}
    assert len(tables.tested) > 35
    assert yields.tested_sizes(tables, tables.name_of("Apple juice")) == ("half-gal", "qt", "pt")
    assert yields.tested_sizes(tables, tables.name_of("Salsa")) == ("pt",)


def test_only_apple_and_grape_juice_in_half_gallons():
    """Penn State and Iowa State Extension (2019), after USDA and NCHFP: nothing else in half-gallons."""
    assert {p for p, (_, s) in season_tables().tested.items() if "half-gallon" in s} == {"apple juice", "grape juice"}
