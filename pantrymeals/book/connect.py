"""Opening the book's file: recognised first, brought up to date, never overwritten."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import sqlite3
import time
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar
from urllib.parse import quote

from pantrymeals.book.schema import MARK, VERSION, grow, lay_out
from pantrymeals.book.trouble import BookTrouble, damaged, in_plain_words, is_busy

T = TypeVar("T")

BOOK_FILE = "put-up-book.sqlite"
TWIN_FILE = "put-up-book.csv"

_PATIENCE_SECONDS = 60.0
"""How long one command waits for others to finish writing. Eight writers at once need about a
second each; a minute means something is wrong."""


_SMALLEST_PAGE = 512
"""No database of SQLite is smaller than one page of this."""


def recognise(path: Path) -> None:
    """Make sure that a file is a whole put-up book, before SQLite may write in it.

    Its first page is read through SQLite: to open and close the file beside it would take from every connection of this
    process its locks (sqlite.org/howtocorrupt.html, 2.2), and another process would then take its lines away.
    Raises BookTrouble when it is empty, cut short, or something else; the file is left as it is.
    """
    left = "It has been left as it is. Put it aside, then restore a copy: 'book restore FILE'."
    try:
        size = path.stat().st_size
        if size < _SMALLEST_PAGE:  # nobody has it open as a book
            with path.open("rb") as file:
                begins = file.read(16)
    except OSError as error:
        raise BookTrouble(f"{path}: cannot be read ({error.strerror})") from None
    if not size:
        raise BookTrouble(f"{path}: this file is empty, so it is no put-up book. {left}")
    if size < _SMALLEST_PAGE:
        cut = b"SQLite format 3\0".startswith(begins)
        what = "put-up book has been cut short" if cut else "file is something other than a put-up book"
        raise BookTrouble(f"{path}: this {what}. {left}")
    mark = _mark(path)
    if mark is None:
        raise BookTrouble(f"{path}: this put-up book has been cut short. {left}")
    if mark != MARK:
        kind = "database" if mark >= 0 else "file"
        raise BookTrouble(f"{path}: this {kind} is something other than a put-up book. {left}")


def _mark(path: Path) -> int | None:
    """Whose database it says it is; -1: it is none; None: it is shorter than its own page count says.

    While another process copies its last lines into the file, the first page can be ahead of
    the length for a moment: with a write-ahead file there, or on a second look, we trust SQLite.
    """
    for _ in range(3):
        try:
            with contextlib.closing(_unlocked(path)) as db:
                mark, page = (int(db.execute(f"PRAGMA {of}").fetchone()[0]) for of in ("application_id", "page_size"))
            if path.stat().st_size % page == 0:
                return mark
        except sqlite3.Error as error:
            code = getattr(error, "sqlite_errorcode", 0) & 0xFF
            if code == sqlite3.SQLITE_NOTADB:
                return -1
            if code != sqlite3.SQLITE_CORRUPT:
                raise BookTrouble(f"{path}: cannot be read ({error})") from None
        if _has_lines_waiting(path):
            return MARK
        time.sleep(0.05)
    return None


def _unlocked(path: Path) -> sqlite3.Connection:
    """The file as it stands on the disk, without its write-ahead file: nothing is written and nobody waited for."""
    return sqlite3.connect(f"file:{quote(str(path))}?mode=ro&immutable=1", uri=True, isolation_level=None)


def _has_lines_waiting(path: Path) -> bool:
    """True when the write-ahead file beside the book holds anything."""
    waiting = path.with_name(path.name + "-wal")
    try:
        return waiting.stat().st_size > 0
    except OSError:
        return False


def patiently(path: Path, act: Callable[[], T]) -> T:
    """Do it, waiting while others write. Raises BookTrouble, in plain words, for what SQLite refuses."""
    until = time.monotonic() + _PATIENCE_SECONDS
    while True:
        try:
            return act()
        except sqlite3.Error as error:
            if not is_busy(error) or time.monotonic() > until:
                raise in_plain_words(path, error) from error
            time.sleep(0.01)
        except UnicodeDecodeError:  # SQLite's own complaint, with a name in it that is no text any more
            raise damaged(path) from None


def set_aside(folder: Path) -> list[Path]:
    """Books that `book restore`, or somebody by hand, put out of the way; the last one first."""
    stem, _, suffix = BOOK_FILE.partition(".")
    return sorted(folder.glob(f"{stem}.aside-*.{suffix}"), key=lambda path: (len(path.name), path.name), reverse=True)


def may_write(path: Path) -> bool:
    """True when this folder and this file may be written (SQLite needs both)."""
    return os.access(path.parent, os.W_OK) and (not path.exists() or os.access(path, os.W_OK))


def connect(path: Path, *, reading: bool = False) -> sqlite3.Connection:
    """Open a book that is there, and bring it up to the present version.

    reading: a folder that cannot be written will do; the connection then only reads.
    Raises BookTrouble.
    """
    recognise(path)
    if may_write(path):
        try:
            return patiently(path, lambda: _connect_to_write(path))
        except BookTrouble as trouble:
            # On a full disk there is no room for what SQLite writes beside a book even to read it.
            code = getattr(trouble.__cause__, "sqlite_errorcode", 0) & 0xFF
            if not reading or code not in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN):
                raise
            return patiently(path, lambda: _connect_to_read(path))
    if not reading:
        raise BookTrouble(
            f"{path}: this folder may be read but not written, so nothing was entered; "
            "the book is as it was. Move the folder, or ask for leave to write in it."
        )
    return patiently(path, lambda: _connect_to_read(path))


def _connect_to_write(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(f"file:{quote(str(path))}?mode=rw", uri=True, timeout=30, isolation_level=None)
    try:
        db.execute("PRAGMA foreign_keys = ON")
        # FULL: a line is on the disk, not only with the kernel, before it is acknowledged.
        db.execute("PRAGMA synchronous = FULL")
        if db.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            # a copy put here by hand: readers and a writer should not wait for each other
            db.execute("PRAGMA journal_mode = WAL")
        if _version(path, db) < VERSION:
            db.execute("BEGIN IMMEDIATE")
            grow(db, _version(path, db))
            db.execute("COMMIT")
    except BaseException:
        db.close()
        raise
    return db


def _connect_to_read(path: Path) -> sqlite3.Connection:
    """The book where nothing can be written; a book of an older version is brought up in memory."""
    if _has_lines_waiting(path):
        return _copied_to_memory(path)
    # A write-ahead book normally writes beside itself even to be read; 'immutable' says that
    # nobody can be writing here, which is so where the folder cannot be written.
    db = _unlocked(path)
    if _version(path, db) == VERSION:
        return db
    return _grown_in_memory(path, db)


def _copied_to_memory(path: Path) -> sqlite3.Connection:
    """A book left with lines in its write-ahead file: read from a copy, since they must be put together."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / path.name
        for tail in ("", "-wal"):
            shutil.copyfile(path.with_name(path.name + tail), copy.with_name(copy.name + tail))
        return _grown_in_memory(path, sqlite3.connect(copy, isolation_level=None))


def _grown_in_memory(path: Path, db: sqlite3.Connection) -> sqlite3.Connection:
    in_memory = sqlite3.connect(":memory:", isolation_level=None)
    db.backup(in_memory)
    db.close()
    in_memory.execute("BEGIN")
    grow(in_memory, _version(path, in_memory))
    in_memory.execute("COMMIT")
    return in_memory


def _version(path: Path, db: sqlite3.Connection) -> int:
    version = int(db.execute("PRAGMA user_version").fetchone()[0])
    if version > VERSION:
        raise BookTrouble(
            f"{path}: this put-up book is of version {version}, from a newer pantrymeals; this one knows "
            f"version {VERSION}. Nothing was touched. Bring pantrymeals up to date to read it."
        )
    if version < 1:
        raise BookTrouble(f"{path}: this put-up book has no version; it has been left as it is.")
    return version


def make(path: Path, fill: Callable[[sqlite3.Connection], None]) -> None:
    """Make a new book, filled within one transaction, and put it in place whole.

    A book that is already there stays (another process may have been first). Nothing half made can ever stand
    under the book's name; where the system can, it has no name at all until it is whole, so that a killed import
    leaves nothing behind. Raises BookTrouble where the folder cannot be written or the disk is full.
    """
    with contextlib.closing(make_in_memory(fill)) as db:
        whole = bytearray(db.serialize())
    whole[18:20] = b"\2\2"  # a write-ahead book: readers and a writer do not wait for each other
    try:
        if not _without_a_name(path, whole):
            fresh = path.with_name(f".{path.name}.{uuid.uuid4().hex}.new")
            try:
                with fresh.open("wb") as file:
                    file.write(whole)
                    os.fsync(file.fileno())
                _put_in_place(fresh, path)
            finally:
                fresh.unlink(missing_ok=True)
    except OSError as error:
        why = "the disk is full" if error.errno == errno.ENOSPC else error.strerror
        raise BookTrouble(f"{path}: the book cannot be made here ({why}); nothing was entered") from None


def _without_a_name(path: Path, whole: bytes | bytearray) -> bool:
    """Write a file that has no name yet, then give it its name; False where the system cannot. Raises OSError."""
    if not hasattr(os, "O_TMPFILE"):
        return False
    try:
        handle = os.open(path.parent, os.O_TMPFILE | os.O_WRONLY, 0o644)
    except OSError:
        return False
    with os.fdopen(handle, "wb") as file:
        file.write(whole)
        file.flush()
        os.fsync(file.fileno())
        try:
            os.link(f"/proc/self/fd/{handle}", path, src_dir_fd=handle, follow_symlinks=True)  # so that it follows
        except FileExistsError:
            return True
        except OSError:
            return False
    return True


def make_in_memory(fill: Callable[[sqlite3.Connection], None]) -> sqlite3.Connection:
    """A book that lives only as long as the command: for folders that cannot be written."""
    db = sqlite3.connect(":memory:", isolation_level=None)
    make_in(db, fill)
    return db


def make_in(db: sqlite3.Connection, fill: Callable[[sqlite3.Connection], None]) -> None:
    """Lay out and fill an empty database in one transaction."""
    db.execute("PRAGMA foreign_keys = ON")
    db.execute("BEGIN IMMEDIATE")
    lay_out(db)
    fill(db)
    db.execute("COMMIT")


def _put_in_place(fresh: Path, path: Path) -> None:
    try:
        os.link(fresh, path)
    except FileExistsError:
        return
    except OSError:  # a file system without links (some memory sticks)
        if not path.exists():
            fresh.rename(path)
    with contextlib.suppress(OSError):
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
