"""Tables as files: openpyxl, which had no part in writing the spreadsheets, reads them; csv reads the others."""

from __future__ import annotations

import csv
import re
from datetime import date, datetime
from fractions import Fraction
from io import BytesIO, StringIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.cells import csv_cell, from_csv
from pantrymeals.errors import PantryError
from pantrymeals.tables.shapes import PlainTable, Shape, frame_of, heads
from pantrymeals.tables.sheets import as_csv, as_xlsx, write_tables
from pantrymeals.tables.text_sheet import TextSheet

HEADING = [f"column {n}" for n in range(1, 30)]
ODD = ["=1+1", " kept apart ", "a <b> & 'c' \"d\"", "two\nlines", "back\r\nand on", "tab\there", "00012", "é 梅 🫙"]
MARKS = "=+-@\t\r"


def test_every_text_comes_back_letter_by_letter(tmp_path: Path) -> None:
    rows = [[*ODD, *[""] * 20, "the last"], [""] * 29, ["x", *[""] * 28], ["'=x", "''", *[""] * 27]]
    frame = frame_of("book", HEADING, rows)
    file = tmp_path / "odd.xlsx"
    file.write_bytes(as_xlsx([frame]))
    assert xlsx_rows(file) == [(1, HEADING), *enumerate(rows, start=2)]
    read = list(csv.reader(StringIO(as_csv(frame).decode("utf-8"), newline="")))
    assert [[from_csv(cell) for cell in row] for row in read] == [HEADING, *rows]


def parts_of(book: bytes) -> dict[str, str]:
    """The parts of a workbook, but when it was made and which columns a row spans, which programs may leave out."""
    with ZipFile(BytesIO(book)) as package:
        read = {name: package.read(name).decode("utf-8") for name in package.namelist()}
    del read["docProps/core.xml"]
    return {name: re.sub(' spans="[0-9:]+"', "", part) for name, part in read.items()}


@pytest.mark.parametrize("rows", [[[*ODD, "", "x" * 40], ["x", *[""] * 9], [""] * 10, ODD + ODD[:2], [""] * 10], []])
def test_a_table_of_texts_is_written_as_the_library_writes_it_cell_by_cell(rows: list[list[str]]) -> None:
    heading = HEADING[:10]
    whole = parts_of(as_xlsx([PlainTable("book", heading, rows), frame_of("next", ["b"], [["x"]])]))
    assert whole == parts_of(as_xlsx([frame_of("book", heading, rows), frame_of("next", ["b"], [["x"]])]))
    assert sum(part.count('t="s"') for part in whole.values()) == 12 + sum(cell != "" for row in rows for cell in row)


def test_a_table_of_texts_is_the_same_where_the_library_keeps_its_rows_in_another_way(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    table = PlainTable("book", HEADING[:3], [["a", "", "b"], ["b", "=a", ""]])
    known = parts_of(as_xlsx([table]))
    monkeypatch.setattr(TextSheet, "takes_rows", lambda _: False)
    monkeypatch.delattr(TextSheet, "take")
    assert parts_of(as_xlsx([table])) == known


def test_no_text_is_a_formula_and_the_heading_stays_in_sight() -> None:
    frames = [frame_of("one & two", ["a"], [["=1+1"]]), frame_of("next", ["b"], [["x"]])]
    book = load_workbook(BytesIO(as_xlsx(frames)))
    assert book.sheetnames == ["one & two", "next"]
    assert [book["one & two"]["A2"].data_type, book["one & two"]["A2"].value] == ["s", "=1+1"]
    assert [sheet.freeze_panes for sheet in book.worksheets] == ["A2", "A2"]
    assert book["next"]["A2"].value == "x"


@pytest.mark.parametrize("text", ["a bell \a", "cut \x00 off", "\ufffe", "x" * 32_768, "_x000D_"])
def test_what_no_cell_can_hold_is_refused_in_plain_words(text: str) -> None:
    with pytest.raises(PantryError, match=r"does not go into a spreadsheet's cell; write a \.csv instead"):
        as_xlsx([frame_of("book", ["a"], [[text]])])
    as_xlsx([frame_of("book", ["a"], [["x" * 32_767]])])


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+12 qt", "'+12 qt"),
        ("-cold store", "'-cold store"),
        ("@here", "'@here"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("'=x", "''=x"),
        ("'s", "'s"),
        ("a=b", "a=b"),
        ("-3", "-3"),
        ("+2.5", "+2.5"),
        ("-17/14", "-17/14"),
        (Fraction(-3), "-3"),
        (Fraction(-1, 8), "-0.125"),
        (Fraction(1, 3), "0.333333333333333"),
        (-2.5, "-2.5"),
        (date(2026, 1, 17), "2026-01-17"),
        (datetime(2026, 1, 17, 6, 30), "2026-01-17 06:30"),
        (None, ""),
        (float("nan"), ""),
        (True, "yes"),
        (False, ""),
        (("-a", "b"), "'-a; b"),
    ],
)
def test_a_cell_of_csv(value: object, cell: str) -> None:
    assert csv_cell(value) == cell


@given(st.text(alphabet="'=+-@\t\rab1/."))
def test_every_text_is_found_again_and_none_begins_a_formula(text: str) -> None:
    cell = csv_cell(text)
    assert from_csv(cell) == text
    if cell[:1] and cell[0] in MARKS:
        Fraction(text)  # a number, or this raises


def test_numbers_stay_numbers_and_days_days() -> None:
    frame = frame_of("x", {"a": "qt", "b": "", "c": ""}, [[Fraction(1, 2), date(2026, 1, 17), "0012"], [3, None, True]])
    rows = list(load_workbook(BytesIO(as_xlsx([frame])))["x"].iter_rows(values_only=True))
    assert rows == [("a (qt)", "b", "c"), (0.5, datetime(2026, 1, 17), "0012"), (3, None, "yes")]


def test_a_shape_makes_a_frame_with_exact_numbers_and_units_in_the_heads() -> None:
    shape: Shape[Fraction] = Shape("halves", "a number", "numerator, a_half (lb)", a_half=lambda n: n / 2)
    frame = shape.frame([Fraction(1, 3)])
    assert heads(frame) == ["numerator", "a half (lb)"]
    assert frame["a_half"].tolist() == [Fraction(1, 6)]
    assert (len(shape.frame([])), heads(shape.frame([]))) == (0, ["numerator", "a half (lb)"])


def test_further_tables_go_into_files_beside_the_first(tmp_path: Path) -> None:
    frames = [frame_of(name, {"a": ""}, [[name]]) for name in ("meals", "pull list")]
    written = write_tables(frames, tmp_path / "week.csv", tmp_path / "week.xlsx")
    assert [path.name for path in written] == ["week.csv", "week-pull-list.csv", "week.xlsx"]
    assert (tmp_path / "week-pull-list.csv").read_text() == "a\npull list\n"
    assert load_workbook(tmp_path / "week.xlsx").sheetnames == ["meals", "pull list"]
