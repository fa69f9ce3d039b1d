"""Every packaged table is judged by a source other than its own, and a changed figure is seen."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest

from tests.outside.columns import IS_A_FIGURE, SAID, SEEN, WORDS, changed
from tests.outside.judged import SAME_PUBLICATION, Judged, put_down
from tests.outside.judges import PUBLISHED, WITHIN, Judge
from tests.outside.second_sources import DATA, Packaged, Row, packaged, second, source_of

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
            "plans": ("family",), "patterns": ("group", "kcal"), "row": ("crop",), "cellar": ("item",),
            "persons": ("crop",), "bushel": ("product",)}[name]  # fmt: skip
    words = ours["source"].split(" ")
    typed_from = words[2] if words[0] == "University" else words[0]
    return all(theirs[key] == ours[key] for key in keys) and theirs.get("source_has", typed_from) == typed_from


@pytest.mark.parametrize(
    ("name", "table"),
    [("quart", "canning_yields"), ("container", "canning_yields"), ("row", "garden_yields"),
     ("loads", "lids_and_loads"), ("plans", "put_up_plans"), ("patterns", "food_pattern"),
     ("cellar", "keeping"), ("persons", "garden_yields"), ("bushel", "canning_yields")],
)  # fmt: skip
def test_no_figure_is_judged_by_the_publication_that_it_was_typed_from(name: str, table: str) -> None:
    """Another copy of the same publication shows a slip of the pen alone: such figures are counted apart."""
    met = [(their, our) for their in second(name) for our in TABLES[table] if _same_row(name, their, our)]
    assert len(met) >= 5
    same = [source_of(x) for x, our in met if publisher(source_of(x)) == publisher(our["source"])]
    assert [source for source in same if SAME_PUBLICATION not in source] == []


class Asked(dict[str, str]):
    """A row that puts down which of its columns are asked for."""

    def __init__(self, row: Row, number: int, asked: set[tuple[str, int]]) -> None:
        super().__init__(row)
        self.number, self.asked = number, asked

    def __getitem__(self, column: str) -> str:
        self.asked.add((column, self.number))
        return super().__getitem__(column)


@cache
def readers(table: str) -> dict[str, tuple[list[Judge], set[int]]]:
    """Those judges that look at each column of a table, and the rows in which any of them does."""
    out: dict[str, tuple[list[Judge], set[int]]] = {}
    for judge in (*PUBLISHED, *WITHIN):
        asked: set[tuple[str, int]] = set()
        list(judge({**TABLES, table: [Asked(row, number, asked) for number, row in enumerate(TABLES[table])]}))
        for column in {column for column, _ in asked}:
            out.setdefault(column, ([], set()))[0].append(judge)
        for column, number in asked:
            out[column][1].add(number)
    return out


def faults(judges: Iterable[Judge], tables: Packaged, *, copies: bool) -> bool:
    """Whether any of these judges objects, or the program cannot read the rows at all. copies: count another copy."""
    try:
        found = (judged for judge in judges for judged in judge(tables))
        return not all(each.holds() or (not copies and SAME_PUBLICATION in each.source) for each in found)
    except (AssertionError, KeyError, StopIteration, ValueError, IndexError):
        return True


def test_every_column_of_every_packaged_table_is_judged_or_said() -> None:
    """A table or column that is added stands in one list; whatever room of the program the table lies in."""
    assert {path.stem for path in (DATA.parent).rglob("*.csv")} == TABLES.keys()
    for table, rows in TABLES.items():
        listed = [*SEEN.get(table, {}), *SAID.get(table, {}), *WORDS.get(table, "").split()]
        assert sorted(listed) == sorted(rows[0]), table
    assert {*SEEN, *SAID, *WORDS} <= TABLES.keys()
    for columns in SEEN.values():
        assert all(seen.elsewhere or seen.why for seen in columns.values())
    assert all(why for columns in SAID.values() for why in columns.values())


@pytest.mark.parametrize("table", TABLES)
def test_what_is_called_words_holds_no_figure(table: str) -> None:
    for column in WORDS[table].split():
        figures = [row[column] for row in TABLES[table] if IS_A_FIGURE.fullmatch(row[column])]
        assert figures == [], column


@pytest.mark.parametrize(("table", "column"), [(table, column) for table, of in SEEN.items() for column in of])
def test_a_changed_row_fails_its_check(table: str, column: str) -> None:
    """Each row's cell is changed in turn, and so many of the changes must make a judge object; by another publication
    alone, not a rule nor another copy of the same, as many as are said."""
    seen = SEEN[table][column]
    judges, looked_at = readers(table).get(column, ([], set()))
    others = [judge for judge in judges if judge in PUBLISHED]
    by_any = elsewhere = 0
    for number in sorted(looked_at):  # in another row a change cannot be seen
        row = TABLES[table][number]
        ways = list(changed(row, column, seen)) if row[column] else []
        tables = [{**TABLES, table: [*TABLES[table][:number], way, *TABLES[table][number + 1 :]]} for way in ways]
        if tables and all(faults(others, each, copies=False) for each in tables):
            elsewhere += 1
            by_any += 1
        elif tables and by_any < seen.at_least:
            by_any += all(faults(judges, each, copies=True) for each in tables)
        if by_any >= seen.at_least and elsewhere >= seen.elsewhere:
            return
    assert by_any >= seen.at_least, f"{by_any} of {len(TABLES[table])} changes of {column} were seen"
    assert elsewhere >= seen.elsewhere, f"{elsewhere} by another publication"


def test_an_unchanged_table_is_objected_to_by_nobody() -> None:
    """So that each objection above is to the change."""
    assert not faults((*PUBLISHED, *WITHIN), TABLES, copies=True)
