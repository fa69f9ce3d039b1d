"""A stored copy of each older version grows into the present one with its sums unchanged."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import make, make_in_memory
from pantrymeals.book.counts import PARTS
from pantrymeals.book.keep import what_is_wrong
from pantrymeals.book.schema import MIGRATIONS, VERSION
from pantrymeals.book.writing import fill_with

OLD_BOOKS = Path(__file__).with_name("old_books")

SUMS = (
    "SELECT lot, place, state, parts FROM stock ORDER BY 1, 2, 3",
    "SELECT day, product, size, reason, parts FROM history ORDER BY 1, 2, 3, 4",
    "SELECT product, size, opened, parts FROM part_jars ORDER BY 1, 2, 3",
    "SELECT thing, size, count FROM glass ORDER BY 1, 2",
    "SELECT lot, count FROM failed_seal ORDER BY 1",
    "SELECT id, day, command, key, undoes FROM entry ORDER BY 1",
)


def shape(db: sqlite3.Connection) -> dict[tuple[str, str], object]:
    """Every table's columns, and the names of all views, indexes and triggers."""
    things = db.execute("SELECT type, name FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'").fetchall()
    return {
        (kind, name): sorted(row[1:5] for row in db.execute(f"PRAGMA table_info({name})") if kind == "table")
        for kind, name in things
    }


def test_there_is_a_copy_of_every_older_version() -> None:
    assert sorted(MIGRATIONS) == list(range(1, VERSION))
    assert {file.name for file in OLD_BOOKS.iterdir()} == {f"v{n}.sql" for n in range(1, VERSION)}


@pytest.mark.parametrize("version", range(1, VERSION))
def test_an_older_book_grows_with_its_sums_unchanged(old_book: Callable[[int], Path], version: int) -> None:
    path = old_book(version)
    with closing(sqlite3.connect(path)) as db:
        before = [db.execute(query).fetchall() for query in SUMS]
        assert db.execute("PRAGMA user_version").fetchone() == (version,)
    assert all(before), "the stored copy should have something of everything"
    with open_book(path) as book:
        assert [book.db.execute(query).fetchall() for query in SUMS] == before
        assert book.db.execute("PRAGMA user_version").fetchone() == (VERSION,)
        assert what_is_wrong(book) == ()
        new = make_in_memory(fill_with([]))
        assert shape(book.db) == shape(new)
    with open_book(path) as book:  # and opening it again changes nothing more
        assert [book.db.execute(query).fetchall() for query in SUMS] == before


def test_the_first_version_by_hand(old_book: Callable[[int], Path]) -> None:
    """Applesauce: 9 carried over less 1 pulled (the gift was undone), 27 put up. Beans: 28 less 2, 5 held."""
    with open_book(old_book(1)) as book:
        on_hand = {(h.lot.product, h.lot.put_up, h.state): h.count * PARTS for h in book.on_hand()}
    assert on_hand == {
        ("Applesauce", "2024", ""): 8 * PARTS,
        ("Applesauce", "2025-10-06", ""): 27 * PARTS,
        ("Green beans", "2025-08-12", ""): 21 * PARTS,
        ("Green beans", "2025-08-12", "held"): 5 * PARTS,
        ("Bread flour", "", ""): 302_400_000 - 6_120_000,
    }


def test_a_newer_book_is_refused_and_left_alone(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute(f"PRAGMA user_version = {VERSION + 1}")
    before = path.read_bytes()
    with pytest.raises(Exception, match="from a newer pantrymeals"), open_book(path):
        pass
    make(path, fill_with([]))
    assert path.read_bytes() == before
