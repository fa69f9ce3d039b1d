"""The spreadsheets that we write, as openpyxl, which had no part in writing them, reads them."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook

from pantrymeals.book.sheets import as_xlsx, xlsx_rows
from pantrymeals.book.trouble import BookTrouble

HEADING = [f"column {n}" for n in range(1, 30)]
ODD = ["=1+1", " kept apart ", "a <b> & 'c' \"d\"", "two\nlines", "back\r\nand on", "tab\there", "00012", "é 梅 🫙"]


def test_every_text_comes_back_letter_by_letter(tmp_path: Path) -> None:
    rows = [[*ODD, *[""] * 20, "the last"], [""] * 29, ["x", *[""] * 28]]
    file = tmp_path / "odd.xlsx"
    file.write_bytes(as_xlsx([("book", HEADING, rows)]))
    assert xlsx_rows(file) == [(1, HEADING), (2, rows[0]), (3, rows[1]), (4, rows[2])]


def test_no_text_is_a_formula_and_the_heading_stays_in_sight() -> None:
    book = load_workbook(BytesIO(as_xlsx([("one & two", ["a"], [["=1+1"]]), ("next", ["b"], [["x"]])])))
    assert book.sheetnames == ["one & two", "next"]
    assert [book["one & two"]["A2"].data_type, book["one & two"]["A2"].value] == ["s", "=1+1"]
    assert [sheet.freeze_panes for sheet in book.worksheets] == ["A2", "A2"]
    assert book["next"]["A2"].value == "x"


@pytest.mark.parametrize("text", ["a bell \a", "cut \x00 off", "\ufffe", "x" * 32_768])
def test_what_no_cell_can_hold_is_refused_in_plain_words(text: str) -> None:
    with pytest.raises(BookTrouble, match=r"does not go into a spreadsheet's cell; write a \.csv instead"):
        as_xlsx([("book", ["a"], [[text]])])
    as_xlsx([("book", ["a"], [["x" * 32_767]])])
