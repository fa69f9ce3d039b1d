"""Reads spreadsheets that come back: an export of the book, and count sheets filled in."""

from __future__ import annotations

from pathlib import Path

from pantrymeals.book.trouble import BookTrouble
from pantrymeals.cells import read_cell


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
        (number, [unescape(read_cell(value)) for value in row])
        for number, row in enumerate(book.worksheets[0].iter_rows(values_only=True), start=1)
    ]
    book.close()
    # blanks at the end of a row are not stored; a row is as wide as its heading
    width = len(rows[0][1]) if rows else 0
    return [(number, cells + [""] * (width - len(cells))) for number, cells in rows]
