"""Prints reports to files."""

from __future__ import annotations

from pathlib import Path

from pantrymeals.on_disk import write_safely
from pantrymeals.reports.sheet import MenuSheet

__all__ = ["print_menu", "write_safely"]


def print_menu(sheet: MenuSheet, path: Path) -> None:
    """Write the menu and its pull list as PDF. Raises PantryError when the file cannot be written."""
    from pantrymeals.reports.pages.menu import menu_pdf

    write_safely(path, menu_pdf(sheet))
