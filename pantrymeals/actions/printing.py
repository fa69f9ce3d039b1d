"""Writes reports to files: whole, or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from pantrymeals.errors import PantryError
from pantrymeals.reports.sheet import MenuSheet


def write_safely(path: Path, content: bytes) -> None:
    """Put ``content`` at ``path`` in one step: a reader sees the old file or the new one, never half.

    Raises PantryError when the folder is missing, full or read-only; the old file is then untouched.
    """
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    except OSError as error:
        raise PantryError(f"{path}: cannot be written: {error.strerror}") from None
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        # mkstemp keeps a file to its owner; a printed menu is for the whole house.
        part.chmod(0o644)
        part.replace(path)
    except OSError as error:
        raise PantryError(f"{path}: cannot be written: {error.strerror}") from None
    finally:
        with suppress(FileNotFoundError):
            part.unlink()


def print_menu(sheet: MenuSheet, path: Path) -> None:
    """Write the menu and its pull list as PDF. Raises PantryError when the file cannot be written."""
    from pantrymeals.reports.pages.menu import menu_pdf

    write_safely(path, menu_pdf(sheet))
