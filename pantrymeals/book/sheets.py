"""Reads spreadsheets that come back: an export of the book, and count sheets filled in."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from pantrymeals.book.trouble import BookTrouble


def xlsx_rows(path: Path) -> list[tuple[int, list[str]]]:
    """(row number, cells as text) of the first sheet; the heading is the first. Raises BookTrouble."""
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.escape import unescape
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except (OSError, BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        raise BookTrouble(f"{path}: cannot be read as a spreadsheet ({error})") from None
    rows = [
        (number, [unescape(_as_text(value)) for value in row])
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
