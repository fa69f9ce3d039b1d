"""Feet of row and plants, against published garden tables.

Source: tests/outside/handbook/garden_yields.csv (University of Kentucky ID-128, Kansas State MF-315,
University of Maine planting chart, Michigan State 01701369), each row with its own source.
"""

from __future__ import annotations

import csv
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.season_tables import season_tables
from pantrymeals.plans.season import SpanOf
from pantrymeals.reports.season_words import range_words
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.yields import Tables, garden_yields, plants_for, pounds_a_foot, pounds_a_plant, row_feet
from tests.kitchens.seasons import open_season

ROWS = list(csv.DictReader((Path(__file__).parent / "handbook" / "garden_yields.csv").open(encoding="utf-8")))
STATED = [r for r in ROWS if "origin of table not stated" not in r["source"] and r["yield_unit"] == "lb"]
BY_ROW = [r for r in STATED if r["row_ft_basis"].isdigit()]
BY_PLANT = [r for r in STATED if r["row_ft_basis"] == "per plant"]


def label(row):
    return f"{row['crop']}, {row['source'][:22]}"


def pounds(low, high):
    return SpanOf(Fraction(low), Fraction(high), "lb", "here")


@pytest.mark.parametrize("row", BY_ROW, ids=label)
def test_a_published_row_feeds_itself(row):
    """So many feet give what the table prints for so many feet."""
    tables = Tables(garden=garden_yields([row]))
    feet = row_feet(tables, row["crop"], pounds(row["yield_low"], row["yield_high"]))
    basis = int(row["row_ft_basis"])
    assert feet.low <= basis <= feet.high
    if row["yield_low"] == row["yield_high"]:
        assert feet.low == feet.high == basis
    assert feet.source == row["source"]


@pytest.mark.parametrize("row", BY_PLANT, ids=label)
def test_a_published_plant_feeds_itself(row):
    tables = Tables(garden=garden_yields([row]))
    plants = plants_for(tables, row["crop"], pounds(row["yield_low"], row["yield_high"]))
    assert plants.low <= 1 <= plants.high


def test_enough_rows_were_checked():
    assert len(BY_ROW) > 45
    assert len(BY_PLANT) == 4


def test_several_publications_make_a_range():
    """Beets: 150 lb to 100 ft (Kentucky, Kansas), 10 lb to 10 ft (Maine, Michigan)."""
    each = pounds_a_foot(season_tables(), "Beets")
    assert (each.low, each.high) == (1, Fraction(3, 2))
    assert "Kentucky" in each.source
    assert "Maine" in each.source
    assert not each.from_memory


def test_the_table_without_origin_is_left_out():
    """Tomatoes at 380 lb to 100 ft stand only in the community table; Kentucky's 100 lb is from memory."""
    each = pounds_a_foot(season_tables(), "Tomatoes")
    assert (each.low, each.high, each.from_memory) == (1, 1, True)
    assert pounds_a_plant(season_tables(), "Tomatoes").low == 8  # University of Maine, read


def test_beans_for_a_family_of_five():
    """Garden to jar, a Georgia newspaper column on the USDA per-person table, 2016 (read): 8 to 15 lb of snap
    beans a person needs about 12 ft of row; a family of five 60 ft."""
    tables = season_tables()
    one = row_feet(tables, "Beans, snap bush", pounds(8, 15))
    assert one.low < 12 < one.high
    five = row_feet(tables, "Beans, snap bush", pounds(40, 75))
    assert five.low < 60 < five.high


def test_the_packaged_table_is_the_handbooks():
    ours = Path(__file__).parents[2] / "pantrymeals" / "data" / "garden_yields.csv"
    assert list(csv.DictReader(ours.open(encoding="utf-8"))) == ROWS


def test_a_plant_that_was_read_stands_before_a_row_that_was_recalled():
    """Maine's chart (read): 8 lb a plant, 18 to 36 in apart. A recalled pound a foot made eight feet of one plant."""

    asked = open_season(Path(__file__).parents[2] / "demo", date(2026, 1, 17), date(2026, 1, 17))
    by_name = {line.product: line for line in put_up_list(asked).lines}
    crushed = by_name["Tomatoes, crushed"]
    assert crushed.row_ft is None
    assert crushed.raw_lb.low / 8 <= crushed.plants.low < crushed.raw_lb.low / 8 + 1
    assert range_words(crushed.plants) == "27 to 31 plants"
    assert range_words(by_name["Onions"].row_ft) == "95 ft of row"
