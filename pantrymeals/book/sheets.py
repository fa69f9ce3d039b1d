"""Reads spreadsheets that come back: an export of the book, and count sheets filled in."""

from __future__ import annotations

from pathlib import Path

from pantrymeals.cells import spreadsheet_rows


def xlsx_rows(path: Path) -> list[tuple[int, list[str]]]:
    """(row number, cells as text) of the first sheet; the heading is the first. Raises PantryError."""
    rows = spreadsheet_rows(path)
    # blanks at the end of a row are not stored; a row is as wide as its heading
    width = len(rows[0]) if rows else 0
    return [(number, cells + [""] * (width - len(cells))) for number, cells in enumerate(rows, start=1)]
