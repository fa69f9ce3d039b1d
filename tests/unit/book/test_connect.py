"""A file is recognised before it is touched, and what is no whole book is never overwritten."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE, connect, make
from pantrymeals.book.keep import backup, restore, what_is_wrong
from pantrymeals.book.lines import Line, LotFacts, NewEntry
from pantrymeals.book.schema import SCHEMA, VERSION
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import fill_with, write
from pantrymeals.errors import PantryError

DAY = date(2026, 1, 17)
RICE = LotFacts("Rice", "lb")


def bring_in(book: Book, count: int) -> None:
    write(book, NewEntry(DAY, "bring in"), lambda _: [Line(RICE, "D", Fraction(count), "bought")])


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b"product,size\nRice,lb\n", "something other than a put-up book"),
        (b"SQLite format 3\0", "cut short"),
        (b"SQL", "cut short"),
        (b"\x00" * 5000, "something other than a put-up book"),
    ],
)
def test_a_foreign_file_is_left_as_it_is(tmp_path: Path, content: bytes, says: str) -> None:
    path = tmp_path / BOOK_FILE
    path.write_bytes(content)
    with pytest.raises(BookTrouble, match=says):
        connect(path)
    make(path, fill_with([]))
    assert path.read_bytes() == content
    assert [file.name for file in tmp_path.iterdir()] == [BOOK_FILE]


def test_a_database_of_something_else_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / BOOK_FILE
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE songs (name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    with pytest.raises(BookTrouble, match="this database is something other"):
        connect(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("keep", [100, 4096, 20000, -1])
def test_a_book_cut_short_is_left_as_it_is(path: Path, keep: int) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:keep])
    with pytest.raises(BookTrouble, match="cut short"):
        connect(path)
    assert path.read_bytes() == whole[:keep]


def test_a_newer_book_is_refused_politely(path: Path) -> None:
    newer = sqlite3.connect(path)
    newer.execute(f"PRAGMA user_version = {VERSION + 1}")
    newer.commit()
    newer.close()
    before = path.read_bytes()
    with pytest.raises(BookTrouble, match=f"of version {VERSION + 1}, from a newer pantrymeals"):
        connect(path)
    assert path.read_bytes() == before


def test_a_backup_is_one_whole_file_and_overwrites_nothing(book: Book, tmp_path: Path) -> None:
    bring_in(book, 25)
    copy = tmp_path / "copy.sqlite"
    backup(book, copy)
    bring_in(book, 10)
    with pytest.raises(PantryError, match="not overwritten"):
        backup(book, copy)
    with open_book(copy) as kept:
        assert [here.count for here in kept.on_hand()] == [25]
    assert not [file for file in tmp_path.iterdir() if file.suffix in (".new", ".part")]


def test_restore_sets_aside_what_was_there(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    with open_book(path) as book:
        bring_in(book, 25)
        backup(book, copy)
        bring_in(book, 10)
    aside = restore(copy, path)
    assert aside is not None
    with open_book(path) as book, open_book(aside) as former:
        assert [here.count for here in book.on_hand()] == [25]
        assert [here.count for here in former.on_hand()] == [35]


def test_restore_refuses_the_book_itself_however_it_is_named(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.sqlite"
    other.symlink_to(path)
    before = path.read_bytes()
    for name in (path, tmp_path / "." / path.name, other):
        with pytest.raises(BookTrouble, match="this is the book itself"):
            restore(name, path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.glob("*aside*")] == []


def test_a_restore_that_fails_half_way_leaves_the_book(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy.sqlite"
    with open_book(path) as book:
        backup(book, copy)
    before = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    for name in ("fsync", "link"):
        with monkeypatch.context() as broken:
            broken.setattr(f"pantrymeals.book.keep.os.{name}", full)
            broken.setattr("pantrymeals.book.keep.shutil.copyfile", full)
            with pytest.raises(BookTrouble, match="the book is as it was"):
                restore(copy, path)
        assert path.read_bytes() == before
        assert sorted(p.name for p in tmp_path.iterdir()) == ["copy.sqlite", path.name]


def test_restore_of_a_damaged_copy_changes_nothing(path: Path, tmp_path: Path) -> None:
    with open_book(path) as book:
        bring_in(book, 25)
    copy = tmp_path / "copy.sqlite"
    whole = path.read_bytes()
    copy.write_bytes(whole[:-4096])
    with pytest.raises(BookTrouble, match="cut short"):
        restore(copy, path)
    scribbled = bytearray(whole)
    scribbled[4096 * 3 : 4096 * 6] = b"\xff" * 4096 * 3
    copy.write_bytes(scribbled)
    with pytest.raises(BookTrouble):
        restore(copy, path)
    assert path.read_bytes() == whole


def test_the_check_finds_what_is_wrong(book: Book) -> None:
    bring_in(book, 25)
    assert what_is_wrong(book) == ()
    book.db.execute("PRAGMA foreign_keys = OFF")
    book.db.execute(
        "INSERT INTO movement (entry, day, lot, place, state, parts, reason, note)"
        " VALUES (99, '2026-01-17', 1, 'D', '', -5040000000, 'eaten', '')"
    )
    assert what_is_wrong(book) == ("a line of table movement belongs to nothing", "Rice, lot 1 at D: -975 lb")


def test_the_schema_says_what_each_table_is_for() -> None:
    lines = SCHEMA.splitlines()
    for number, line in enumerate(lines):
        if line.startswith(("CREATE TABLE", "CREATE VIEW")) and "VIEW" not in lines[number - 1]:
            assert lines[number - 1].startswith("--"), f"no word about: {line}"
    assert f"version {VERSION}" in lines[0]


def test_to_recognise_a_book_takes_no_lock_from_another_connection(path: Path) -> None:
    """A process that finds no lock takes the waiting lines home and their file away; ours would write on where nobody
    reads."""
    other = "import sqlite3, sys; db = sqlite3.connect(sys.argv[1]); db.execute('SELECT * FROM entry').fetchall()"
    waiting = path.with_name(path.name + "-wal")
    with open_book(path) as ours:
        bring_in(ours, 1)
        connect(path, reading=True).close()
        subprocess.run([sys.executable, "-c", f"{other}; db.close()", str(path)], check=True)
        assert waiting.exists()
        bring_in(ours, 2)
    with open_book(path) as book:
        assert [here.count for here in book.on_hand()] == [3]
