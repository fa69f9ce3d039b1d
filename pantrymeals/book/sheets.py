"""Tables as spreadsheets, in and out: the export of the book, and count sheets that come back."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pantrymeals.book.trouble import BookTrouble

Cell = str | int | float | date | None


def as_xlsx(sheets: Iterable[tuple[str, Sequence[str], Iterable[Sequence[Cell]]]]) -> bytes:
    """A workbook of (name, heading, rows) sheets. Text stays text: '=...' is never a formula."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    for name, heading, rows in sheets:
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        sheet.append(list(heading))
        for row in rows:
            sheet.append([_kept_as_text(WriteOnlyCell, sheet, value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _kept_as_text(make_cell: Callable[..., Any], sheet: object, value: Cell) -> object:
    """The value itself, quick to write; a text that would be taken for a formula in a cell of its own."""
    if not isinstance(value, str) or not value.startswith("="):
        return value or None if isinstance(value, str) else value
    cell = make_cell(sheet, value=value)
    cell.data_type = "s"
    return cell


def xlsx_rows(path: Path) -> list[tuple[int, list[str]]]:
    """(row number, cells as text) of the first sheet; the heading is the first. Raises BookTrouble."""
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except (OSError, BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        raise BookTrouble(f"{path}: cannot be read as a spreadsheet ({error})") from None
    rows = [
        (number, [_as_text(value) for value in row])
        for number, row in enumerate(book.worksheets[0].iter_rows(values_only=True), start=1)
    ]
    book.close()
    # blanks at the end of a row are not stored; a row is as wide as its heading
    width = len(rows[0][1]) if rows else 0
    return [(number, cells + [""] * (width - len(cells))) for number, cells in rows]


def _as_text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
