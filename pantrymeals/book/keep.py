"""Copies of the book, and looking it over: backup, restore, integrity check."""

from __future__ import annotations

import os
import shutil
import sqlite3
import uuid
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

from pantrymeals.book.book import Book
from pantrymeals.book.connect import connect, may_write, recognise
from pantrymeals.book.counts import from_parts
from pantrymeals.book.trouble import BookTrouble, damaged, in_plain_words, is_damaged
from pantrymeals.on_disk import put_in_place
from pantrymeals.units import as_words


def backup(book: Book, copy: Path) -> None:
    """A whole copy of the book as it stands, others writing or not (SQLite's own backup).

    Raises PantryError when something is there already, the disk fails, or the book is damaged: no copy is made then.
    """
    refuse_a_damaged(book)
    try:
        with put_in_place(copy, over=False) as fresh, closing(sqlite3.connect(fresh)) as out:
            book.db.backup(out)
            # one plain file, that can be carried about without its write-ahead file
            out.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise in_plain_words(copy, error) from error


def refuse_a_damaged(book: Book) -> None:
    """Raise BookTrouble for a book that would be written out with what its damage made of it."""
    if is_damaged(book.db):
        raise BookTrouble(f"Nothing was written. {damaged(book.path)}")


def restore(copy: Path, path: Path, look_over: Callable[[Book], None] = lambda _: None) -> Path | None:
    """Put a copy in the book's place. What was there is set aside under another name, never lost.

    The copy is made and looked over first, beside the book; only then does it take the place, in one step: at no
    moment is there no book. look_over: raises where this copy is not to be restored here. Returns where the former
    file is, or None when there was none. Raises BookTrouble when the copy is no whole book, is the book itself, or the
    disk fails; the book is then as it was.
    """
    if path.exists() and copy.exists() and copy.samefile(path):
        raise BookTrouble(f"{copy}: this is the book itself, so there is nothing to restore; it was left as it is")
    recognise(copy)
    fresh = path.with_name(f".{path.name}.{uuid.uuid4().hex}.new")
    try:
        with closing(connect(copy, reading=True)) as db, closing(sqlite3.connect(fresh)) as out:
            db.backup(out)
            wrong = what_is_wrong(Book(out, copy))
            out.execute("PRAGMA journal_mode = WAL")
        if wrong:
            raise BookTrouble(f"{copy}: this copy is damaged, so nothing was changed: {wrong[0]}")
        with closing(sqlite3.connect(fresh)) as db:
            look_over(Book(db, copy))
        with fresh.open("rb+") as file:
            os.fsync(file.fileno())
        aside = _kept_aside(path)
        fresh.replace(path)
    except (sqlite3.Error, OSError) as error:
        why = error if may_write(path) else "this folder may be read but not written"
        left = "the book is as it was" if path.exists() else "there is no book here, as before"
        raise BookTrouble(f"{path}: the copy could not be put in place ({why}); {left}") from None
    finally:
        for tail in ("", "-journal", "-wal", "-shm"):
            with suppress(OSError):
                fresh.with_name(fresh.name + tail).unlink()
    return aside


def _kept_aside(path: Path) -> Path | None:
    """The book under a second name as well, with what waits in its write-ahead file. Raises OSError."""
    if not path.exists():
        return None
    number = 1
    while (aside := path.with_name(f"{path.stem}.aside-{number}{path.suffix}")).exists():
        number += 1
    # Closing a sound book copies its waiting lines home, so that one file is all there is to keep.
    with suppress(BookTrouble), closing(connect(path)) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    try:
        try:
            os.link(path, aside)
        except OSError:  # a file system without links (some memory sticks)
            shutil.copyfile(path, aside)
        for tail in ("-wal", "-shm"):
            beside = path.with_name(path.name + tail)
            if beside.exists():
                beside.rename(aside.with_name(aside.name + tail))
    except OSError:
        aside.unlink(missing_ok=True)
        raise
    return aside


def what_is_wrong(book: Book) -> tuple[str, ...]:
    """Everything wrong with the book, in plain sentences; empty when all is well.

    Asks SQLite to read every page, then whether every line belongs to an entry and a lot, and
    whether no shelf and no part jar holds less than nothing.
    """
    try:
        wrong = [
            f"the file is damaged: {line}" for (line,) in book.db.execute("PRAGMA integrity_check") if line != "ok"
        ]
        wrong += [
            f"a line of table {table} belongs to nothing" for table, *_ in book.db.execute("PRAGMA foreign_key_check")
        ]
        wrong += [
            f"{product}, lot {lot} at {place or 'no place'}: {as_words(from_parts(parts))} {size}"
            for lot, product, size, place, parts in book.db.execute(
                "SELECT lot, product, size, place, parts FROM stock WHERE parts < 0"
            )
        ]
        wrong += [
            f"part jar of {product}: less than nothing"
            for (product,) in book.db.execute("SELECT product FROM part_jars WHERE parts < 0")
        ]
    except sqlite3.DatabaseError as error:
        return (str(in_plain_words(book.path, error)),)
    except UnicodeDecodeError:
        return (str(damaged(book.path)),)
    return tuple(wrong)
