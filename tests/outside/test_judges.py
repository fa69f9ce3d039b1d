"""Every packaged table is judged by a source other than its own, and a changed figure is seen."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.outside.judged import SAME_PUBLICATION, Judged, put_down
from tests.outside.judges import PUBLISHED, WITHIN, Judge
from tests.outside.second_sources import DATA, Row, packaged, second, source_of

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


def publisher(source: str) -> str:
    """The first three words of a source: 'university of georgia'."""
    return " ".join(source.replace(",", " ").split()[:3]).casefold()


def _same_row(name: str, theirs: Row, ours: Row) -> bool:
    """Whether a row of a second table speaks of a row of ours."""
    keys = {"quart": ("product", "form"), "container": ("product", "form"), "loads": ("item", "unit"),
            "plans": ("family",), "patterns": ("group", "kcal"), "row": ("crop",)}[name]  # fmt: skip
    words = ours["source"].split(" ")
    typed_from = words[2] if words[0] == "University" else words[0]
    return all(theirs[key] == ours[key] for key in keys) and theirs.get("source_has", typed_from) == typed_from


@pytest.mark.parametrize(
    ("name", "table"),
    [("quart", "canning_yields"), ("container", "canning_yields"), ("row", "garden_yields"),
     ("loads", "lids_and_loads"), ("plans", "put_up_plans"), ("patterns", "food_pattern")],
)  # fmt: skip
def test_no_figure_is_judged_by_the_publication_that_it_was_typed_from(name: str, table: str) -> None:
    """Another copy of the same publication shows a slip of the pen alone: such figures are counted apart."""
    met = [(their, our) for their in second(name) for our in TABLES[table] if _same_row(name, their, our)]
    assert len(met) >= 5
    same = [source_of(x) for x, our in met if publisher(source_of(x)) == publisher(our["source"])]
    assert [source for source in same if SAME_PUBLICATION not in source] == []


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
    # table, or a column of it -> what is changed in one row, and of how many rows that is seen, at least
    "canning_yields": (times(2, "lb_per_7qt_load", "lb_per_9pt_load", "lb_per_quart"), 30),
    "energy_need": (times(1.7, "value"), 50),
    "food_groups": (lambda row: {**row, "group": "none", "grams": "1"}, 20),
    "food_pattern": (times(1.7, "amount"), 42),  # two more only by the publication that they were typed from
    "foods": (times(1.5, "kcal_100g"), 105),
    "foods, protein": (times(4.1, "protein_g"), 95),
    "garden_yields": (times(4.1, "yield_low", "yield_high"), 40),
    "keeping": (times(4.1, "life_low", "life_high"), 29),
    "lids_and_loads": (times(2, "value_low", "value_high"), 3),
    "put_up_crops": (other("garden_crop", "Mangoes"), 60),
    "put_up_plans": (times(8, "quarts_a_person"), 6),
    "tested_sizes": (other("tested_sizes", "half-gallon; gallon"), 38),
    "thing_sources": (other("code", "nobody"), 29),
    "things": (opposite("acid"), 40),
    "things, grams of a cup": (times(4.1, "cup_g"), 12),
    "things, days once open": (times(4.1, "opened_days"), 12),
}


def test_every_packaged_table_is_here() -> None:
    """A table that is added has a judge, and changes that it sees; whatever room of the program it lies in."""
    assert {changed.split(",")[0] for changed in CHANGES} == TABLES.keys()
    assert {path.stem for path in (DATA.parent).rglob("*.csv")} == TABLES.keys()


@pytest.mark.parametrize("changed", CHANGES)
def test_a_changed_row_fails_its_check(changed: str) -> None:
    """Each row of the table is changed in turn, and so many of the changes must make a judge object."""
    change, at_least = CHANGES[changed]
    table = changed.split(",")[0]
    judges, seen = judges_of(table), 0
    for number, row in enumerate(TABLES[table]):
        rows = list(TABLES[table])
        rows[number] = change(row)
        seen += rows[number] != row and faults(judges, {**TABLES, table: rows})
    assert seen >= at_least, f"{seen} of {len(TABLES[table])} changes of {table} were seen"
