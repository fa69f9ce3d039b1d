"""What can go wrong with the book itself, in words that say what to do next."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from pantrymeals.errors import PantryError


class BookTrouble(PantryError):
    """The put-up book cannot be read or written, or what was asked does not fit what it holds."""


class NothingToUndo(BookTrouble):
    """There is no entry to take back, or none to do again."""


def is_busy(error: sqlite3.Error) -> bool:
    """True when someone else is writing just now, so that waiting helps."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def damaged(path: Path) -> BookTrouble:
    """What is said of a book whose pages are not what was written."""
    return BookTrouble(
        f"{path}: this file is damaged and has been left as it is. "
        "Put it aside and restore the last copy: 'book restore FILE'."
    )


def is_damaged(db: sqlite3.Connection) -> bool:
    """Whether SQLite, reading every page, finds one that is not as it was written."""
    try:
        return bool(db.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",))
    except (sqlite3.Error, UnicodeDecodeError):  # where names are damaged, its own complaint is no text
        return True


def in_plain_words(path: Path, error: sqlite3.Error) -> BookTrouble:
    """The same trouble as a household can mend it."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return BookTrouble(
            f"{path}: the disk is full, so nothing was entered; the book is as it was. Make room and say it again."
        )
    if code == sqlite3.SQLITE_IOERR:
        return BookTrouble(
            f"{path}: the disk would not take the line (it is full, gone or failing). What the book "
            "already held is untouched; look at 'book log' before saying it again."
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return BookTrouble(
            f"{path}: this folder may be read but not written, so nothing was entered; "
            "the book is as it was. Move the folder, or ask for leave to write in it."
        )
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(path)
    if is_busy(error):
        return BookTrouble(
            f"{path}: someone else has been writing in the book for a long while; "
            "nothing was entered. Say it again in a minute."
        )
    return BookTrouble(f"{path}: the book cannot be used ({error}); nothing was entered.")
