"""Every packaged table is judged by a source other than its own, and a changed figure is seen."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.outside.judged import Judged, put_down
from tests.outside.judges import PUBLISHED, WITHIN, Judge
from tests.outside.second_sources import packaged

TABLES = packaged()
FIGURES = [judged for judge in PUBLISHED for judged in judge(TABLES)]


@pytest.mark.parametrize("judged", FIGURES, ids=lambda j: f"{j.figure} ({j.source[:28]})")
def test_a_published_figure_agrees_with_ours(judged: Judged) -> None:
    put_down(judged)


@pytest.mark.parametrize("judge", WITHIN, ids=lambda judge: judge.__name__)
def test_a_table_makes_sense_in_itself(judge: Judge) -> None:
    found = list(judge(TABLES))
    assert len(found) >= 29
    assert [f"{j.figure}: {j.printed}, ours {j.ours}" for j in found if not j.holds()] == []


class Opened(dict[str, list[dict[str, str]]]):
    """The packaged tables, which remember which of them were asked for."""

    def __init__(self) -> None:
        super().__init__(TABLES)
        self.asked: set[str] = set()

    def __getitem__(self, table: str) -> list[dict[str, str]]:
        self.asked.add(table)
        return super().__getitem__(table)


def judges_of(table: str) -> list[Judge]:
    """Those that look at this table."""
    out = []
    for judge in (*PUBLISHED, *WITHIN):
        opened = Opened()
        list(judge(opened))
        if table in opened.asked:
            out.append(judge)
    return out


def faults(judges: list[Judge], tables: dict[str, list[dict[str, str]]]) -> bool:
    """Whether any of these judges objects, or the program cannot read the rows at all."""
    try:
        return not all(judged.holds() for judge in judges for judged in judge(tables))
    except (AssertionError, KeyError, StopIteration, ValueError):
        return True


Change = Callable[[dict[str, str]], dict[str, str]]


def times(factor: float, *columns: str) -> Change:
    """Every end of the figures in these columns, so many times over."""

    def change(row: dict[str, str]) -> dict[str, str]:
        out = dict(row)
        for column in columns:
            ends = [part for part in row[column].split("-") if part]
            out[column] = "-".join(f"{float(end) * factor:g}" for end in ends)
        return out

    return change


def other(column: str, word: str) -> Change:
    return lambda row: {**row, column: word}


def opposite(column: str) -> Change:
    """Low acid becomes high, and the other way round."""
    return lambda row: {**row, column: "high" if row[column].startswith("low") else "low"}


CHANGES: dict[str, tuple[Change, int]] = {
    # table -> what is changed in one row, and of how many rows that is seen, at least
    "canning_yields": (times(2, "lb_per_7qt_load", "lb_per_9pt_load", "lb_per_quart"), 30),
    "energy_need": (times(1.7, "value"), 50),
    "food_groups": (lambda row: {**row, "group": "none", "grams": "1"}, 20),
    "food_pattern": (times(1.7, "amount"), 44),
    "foods": (times(1.5, "kcal_100g"), 105),
    "garden_yields": (times(4.1, "yield_low", "yield_high"), 40),
    "keeping": (times(4.1, "life_low", "life_high"), 29),
    "lids_and_loads": (times(2, "value_low", "value_high"), 3),
    "put_up_crops": (other("garden_crop", "Mangoes"), 60),
    "put_up_plans": (times(8, "quarts_a_person"), 6),
    "tested_sizes": (other("tested_sizes", "half-gallon; gallon"), 38),
    "thing_sources": (other("code", "nobody"), 29),
    "things": (opposite("acid"), 40),
}


def test_every_packaged_table_is_here() -> None:
    assert CHANGES.keys() == TABLES.keys()


@pytest.mark.parametrize("table", CHANGES)
def test_a_changed_row_fails_its_check(table: str) -> None:
    """Each row of the table is changed in turn, and so many of the changes must make a judge object."""
    change, at_least = CHANGES[table]
    judges, seen = judges_of(table), 0
    for number, row in enumerate(TABLES[table]):
        rows = list(TABLES[table])
        rows[number] = change(row)
        seen += rows[number] != row and faults(judges, {**TABLES, table: rows})
    assert seen >= at_least, f"{seen} of {len(TABLES[table])} changes of {table} were seen"
