"""Canner loads, lids and the freezer's pace, against published figures.

Source: tests/outside/handbook/lids_and_loads.csv (Michigan State University Extension 01600948 after AIB 539
Guide 1; AIB 410), each row with its own source.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_season
from pantrymeals.season.jar_losses import JarLosses
from pantrymeals.season.loads import JARS_A_LOAD, chances_by_load, whole_loads
from tests.outside.judged import agrees

HERE = Path(__file__).parent / "handbook"
ROWS = list(csv.DictReader((HERE / "lids_and_loads.csv").open(encoding="utf-8")))
ORDINARY = "most boiling-water and pressure canners"
UNITS = {"quart jar": "qt", "pint jar": "pt"}


@pytest.mark.parametrize("row", [r for r in ROWS if r["condition"] == ORDINARY], ids=lambda r: r["unit"])
def test_an_ordinary_load_is_the_published_one(row):
    """Seven quarts, eight to nine pints (read)."""
    assert int(row["value_low"]) <= JARS_A_LOAD[UNITS[row["unit"]]] <= int(row["value_high"])


@pytest.mark.parametrize(
    ("wanted", "load", "loads"),
    [(76, 7, 11), (77, 7, 11), (78, 7, 12), (0, 7, 0), (1, 7, 1), (36, 9, 4), (28, 4, 7), (36, 18, 2)],
)
def test_whole_loads_at_the_published_sizes(wanted, load, loads):
    """Loads of 4, 7, 9 and 18 stand in the table; the division is ours."""
    assert whole_loads(wanted, load) == loads
    assert load in {int(r["value_high"]) for r in ROWS if r["item"] == "jars per load"}


def test_one_flat_a_jar():
    """Lids per jar: one, never used twice (AIB 539 Guide 1; from memory)."""
    row = next(r for r in ROWS if r["item"] == "lids per jar")
    assert JarLosses().lids_for(77) == 77 * int(row["value_low"])


def test_a_load_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one jar"):
        whole_loads(7, 0)


def test_the_last_part_load_counts_its_empty_places():
    assert chances_by_load([1.0, 1.0, 1.0], 2) == (1.0, 0.5)


def test_the_packaged_table_keeps_no_process():
    ours = list(
        csv.DictReader((Path(__file__).parents[2] / "pantrymeals/data/lids_and_loads.csv").open(encoding="utf-8"))
    )
    assert {r["item"] for r in ours} == {"jars per load", "lids per jar", "freezing rate"}
    assert [r for r in ROWS if r["item"] in {r["item"] for r in ours}] == ours


def test_hours_of_a_load_where_none_are_written(tmp_path: Path) -> None:
    """Worked example 11 (read): Michigan State 01600948 prints 70 to 115 minutes for a pressure load, 25 to 60 for one
    in boiling water; its parts sum to 55 to 100. Where a household writes no hours, ours cover the longest."""
    (tmp_path / "season.yaml").write_text("canners:\n  - {name: kettle, kind: pressure, holds: {qt: 7}}\n", "utf-8")
    facts, _ = read_season(tmp_path / "season.yaml", KnownProducts.of(()), (), Gathering())
    minutes = float(facts.canners[0].first_load_hours * 60)
    source = "Michigan State University Extension 01600948 (1997), after AIB 539 Guide 1"
    agrees("minutes of a pressure load, where none are written", source, 115, minutes, within=10, how="read")
    parts = [(12, 15), (10, 10), (5, 5), (8, 10), (20, 60)]
    assert (sum(low for low, _ in parts), sum(high for _, high in parts)) == (55, 100)
    assert minutes >= 115
