"""Prints reports to files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pantrymeals.on_disk import write_safely

if TYPE_CHECKING:
    from pantrymeals.book.book import Book
    from pantrymeals.reports.sheet import MenuSheet

__all__ = ["export", "print_menu", "write_safely"]


def print_menu(sheet: MenuSheet, path: Path) -> None:
    """Write the menu and its pull list as PDF. Raises PantryError when the file cannot be written."""
    from pantrymeals.reports.pages.menu import menu_pdf

    write_safely(path, menu_pdf(sheet))


def export(book: Book, path: Path) -> None:
    """Write every line of the book as one table: a spreadsheet where the name ends so, else CSV. Raises PantryError."""
    from pantrymeals.book.connect import TWIN_FILE
    from pantrymeals.book.twin import as_csv, as_sheet

    as_bytes = as_sheet if path.suffix.casefold() == ".xlsx" else as_csv
    write_safely(path, as_bytes(book), may_make=TWIN_FILE)
