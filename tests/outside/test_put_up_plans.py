"""How much to put up, against published planning worksheets.

Source of every row: tests/outside/handbook/put_up_plans.csv, whose own source column names the
publication (Annual Preserving Plan, from How-To Book: Canning, Freezing, Drying; Your Canning Budget, in
Modern Guide to Home Canning, National Pressure Cooker Co., 1940s; the war-time canning budget of USDA and
Pennsylvania State College, c. 1943; a 300-day chart of unknown origin). All rows were read.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.season.history import servings_to_quarts
from pantrymeals.season.loads import whole_loads
from tests.outside.judged import agrees

ROWS = list(csv.DictReader((Path(__file__).parent / "handbook" / "put_up_plans.csv").open(encoding="utf-8")))
PER_QUART = {"qt": 1, "pt": 2}


def ours(row):
    quarts = servings_to_quarts(
        Fraction(row["servings_per_week"]), Fraction(row["weeks"]), Fraction(row["serving_cups"]),
        Fraction(row["persons"]),
    )  # fmt: skip
    return float(quarts * PER_QUART[row["unit"]])


WITH_FORMULA = [r for r in ROWS if r["formula_cups"] and r["servings_per_week"]]


@pytest.mark.parametrize("row", WITH_FORMULA, ids=lambda r: f"{r['plan']}: {r['item']}")
def test_servings_give_the_tabulated_amount(row):
    assert ours(row) == pytest.approx(float(row["formula_amount"]), abs=0.01)


@pytest.mark.parametrize("row", [r for r in WITH_FORMULA if r["match"] == "exact"], ids=lambda r: r["item"])
def test_exact_rows_come_out_as_printed(row):
    agrees(f"{row['item']}, {row['unit']} a year", row["plan"], float(row["published_amount"]), ours(row),
           within=1e-9, how="read")  # fmt: skip
    if row["published_family_amount"] and row["persons"] == "1":
        family = ours(row) * int(row["family_size"])
        assert abs(family - float(row["published_family_amount"])) <= 0.5  # printed to the whole jar


@pytest.mark.parametrize("row", [r for r in WITH_FORMULA if r["match"] == "rounded"], ids=lambda r: r["item"])
def test_rounded_rows_lie_within_the_rounding(row):
    """Printed to the nearest half jar or so (handbook README)."""
    agrees(f"{row['item']}, {row['unit']} a year", row["plan"], float(row["published_amount"]), ours(row),
           within=0.5, how="read")  # fmt: skip


def test_enough_rows_were_checked():
    matches = [r["match"] for r in WITH_FORMULA]
    assert (matches.count("exact"), matches.count("rounded")) == (12, 7)


def test_worked_example_one():
    """Your Canning Budget, Modern Guide to Home Canning, 1940s (read): four people, half a cup of tomatoes
    three meals a week for 34 weeks is 51 quarts; 14 more for cooking make 65."""
    table = servings_to_quarts(Fraction(3), Fraction(34), Fraction(1, 2), Fraction(4))
    assert (table, table + 14) == (51, 65)


def test_worked_example_two():
    """War-time budget, USDA and Pennsylvania State College, c. 1943 (read): 22.5 worked out, 25 printed."""
    one = servings_to_quarts(Fraction(6), Fraction(30), Fraction(1, 2), Fraction(1))
    assert one == Fraction(45, 2)
    assert 0 < 25 - one < 3


def test_canning_budget_in_whole_loads():
    """65 quarts in sevens (AIB 539, Guide 1, as reissued by Michigan State 01600948): ten loads."""
    assert whole_loads(65, 7) == 10
