"""Entries are whole, count once, and never leave a shelf with less than nothing."""

from __future__ import annotations

import sqlite3
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.lines import (
    AnyLine,
    FailedLine,
    GlassLine,
    Line,
    LotFacts,
    NewEntry,
    PartFacts,
    PartLine,
    ServedLine,
)
from pantrymeals.book.trouble import BookTrouble, NothingToUndo
from pantrymeals.book.writing import redo, undo, write
from tests.unit.book.kitchen import failed_seals, sums_by_reason

DAY = date(2026, 1, 17)
SAUCE = LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", "county bulletin 2015")
OLDER = LotFacts("Applesauce", "qt", "2024")


def put_up(book: Book, lot: LotFacts, count: int, key: str = "") -> int:
    new = NewEntry(DAY, f"put up {count}", key=key) if key else NewEntry(DAY, f"put up {count}")
    return write(book, new, lambda _: [Line(lot, "N1", Fraction(count), "put up")]).entry


def take(book: Book, lot: LotFacts, count: Fraction | int) -> int:
    lines: list[AnyLine] = [Line(lot, "N1", -Fraction(count), "pulled")]
    return write(book, NewEntry(DAY, f"pull {count}"), lambda _: lines).entry


def counts(book: Book) -> dict[tuple[str, str, str], Fraction]:
    return {(here.lot.put_up, here.place, here.state): here.count for here in book.on_hand()}


def everything(book: Book) -> tuple[object, ...]:
    return (
        book.on_hand(), book.part_jars(), {k: v for k, v in book.glass().items() if v}, failed_seals(book),
        book.served(), {k: v for k, v in sums_by_reason(book).items() if v}, book.movements(),
    )  # fmt: skip


def test_stock_is_the_sum_of_movements_oldest_lot_first(book: Book) -> None:
    put_up(book, SAUCE, 27)
    put_up(book, OLDER, 3)
    take(book, SAUCE, 2)
    assert [(h.lot.put_up, h.count) for h in book.on_hand("Applesauce")] == [("2024", 3), ("2025-10-06", 25)]


def test_the_same_key_counts_once(book: Book) -> None:
    first = put_up(book, SAUCE, 7, key="load 3")
    again = write(book, NewEntry(DAY, "again", key="load 3"), lambda _: [Line(SAUCE, "N1", Fraction(7), "put up")])
    assert (again.entry, again.again) == (first, True)
    assert counts(book) == {("2025-10-06", "N1", ""): 7}
    assert len(book.entries()) == 1


def test_a_shelf_never_holds_less_than_nothing(book: Book) -> None:
    put_up(book, SAUCE, 5)
    take(book, SAUCE, 5)
    assert counts(book) == {}
    put_up(book, SAUCE, 5)
    with pytest.raises(BookTrouble, match="has 5 qt Applesauce put up 2025-10-06 at N1, not 5 1/2"):
        take(book, SAUCE, Fraction(11, 2))
    assert counts(book) == {("2025-10-06", "N1", ""): 5}
    assert len(book.entries()) == 3


def test_an_entry_that_fails_half_way_leaves_nothing(book: Book) -> None:
    put_up(book, SAUCE, 5)
    before = everything(book)
    with pytest.raises(BookTrouble):
        write(
            book,
            NewEntry(DAY, "two lines"),
            lambda _: [Line(OLDER, "N1", Fraction(3), "put up"), Line(SAUCE, "N1", Fraction(-9), "pulled")],
        )
    assert everything(book) == before
    assert [number for number, _ in book.lots()] == [1]


def test_an_entry_of_nothing_is_not_written(book: Book) -> None:
    assert write(book, NewEntry(DAY, "nothing"), lambda _: []).entry == 0
    assert write(book, NewEntry(DAY, "none"), lambda _: [Line(SAUCE, "N1", Fraction(0), "counted")]).entry == 0
    assert book.entries() == ()


def test_nothing_written_is_ever_changed_or_struck_out(book: Book) -> None:
    jar = PartFacts("Applesauce", "qt", DAY)
    write(book, NewEntry(DAY, "put up"), lambda _: [
        Line(SAUCE, "N1", Fraction(5), "put up"), FailedLine(SAUCE, 1), GlassLine("lids", "wide", -6),
        PartLine(jar, Fraction(1), "put up"), ServedLine(DAY, "supper", "Mush"),
    ])  # fmt: skip
    tables = [n for (n,) in book.db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    assert len(tables) == 8
    for table in tables:
        with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
            book.db.execute(f"UPDATE {table} SET id = id + 1")
        with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
            book.db.execute(f"DELETE FROM {table}")
    assert counts(book) == {("2025-10-06", "N1", ""): 5}


def test_undo_takes_back_every_kind_of_line(book: Book) -> None:
    put_up(book, SAUCE, 5)
    before = everything(book)
    jar = PartFacts("Applesauce", "qt", DAY, "Fridge")
    lines: list[AnyLine] = [
        Line(SAUCE, "N1", Fraction(-2), "pulled"),
        Line(SAUCE, "N1", Fraction(-1), "moved"),
        Line(SAUCE, "Held", Fraction(1), "moved", state="held"),
        PartLine(jar, Fraction(1, 2), "pulled"),
        GlassLine("empties", "qt", 1),
        FailedLine(SAUCE, 1),
        ServedLine(DAY, "supper", "Bean pot soup"),
    ]
    write(book, NewEntry(DAY, "a busy evening"), lambda _: lines)
    after = everything(book)
    assert after != before
    undo(book, NewEntry(DAY, "undo"))
    assert everything(book) == before
    redo(book, NewEntry(DAY, "redo"))
    assert everything(book)[:6] == after[:6]
    undo(book, NewEntry(DAY, "undo"))
    assert everything(book) == before


def test_undo_goes_back_step_by_step_and_redo_forward(book: Book) -> None:
    for count in (1, 2, 4):
        put_up(book, SAUCE, count)
    seen = []
    for step in (undo, undo, redo, redo):
        step(book, NewEntry(DAY, step.__name__))
        seen.append(sum(here.count for here in book.on_hand()))
    assert seen == [3, 1, 3, 7]
    with pytest.raises(NothingToUndo, match="nothing has been undone"):
        redo(book, NewEntry(DAY, "redo"))


def test_redo_is_over_once_something_else_is_written(book: Book) -> None:
    put_up(book, SAUCE, 1)
    undo(book, NewEntry(DAY, "undo"))
    put_up(book, OLDER, 1)
    with pytest.raises(NothingToUndo, match="written since"):
        redo(book, NewEntry(DAY, "redo"))


def test_undo_of_an_earlier_entry_by_number(book: Book) -> None:
    first = put_up(book, SAUCE, 5)
    second = put_up(book, OLDER, 2)
    take(book, SAUCE, 1)
    with pytest.raises(BookTrouble, match=f"entry {first} cannot be taken back by itself"):
        undo(book, NewEntry(DAY, "undo"), first)
    undo(book, NewEntry(DAY, "undo"), second)
    assert counts(book) == {("2025-10-06", "N1", ""): 4}
    with pytest.raises(NothingToUndo, match="no longer stands"):
        undo(book, NewEntry(DAY, "undo"), second)
    with pytest.raises(NothingToUndo, match="there is no entry 99"):
        undo(book, NewEntry(DAY, "undo"), 99)


def test_undo_in_an_empty_book_says_so(book: Book) -> None:
    with pytest.raises(NothingToUndo, match="nothing in the book"):
        undo(book, NewEntry(DAY, "undo"))


def test_an_undone_movement_leaves_the_history(book: Book) -> None:
    put_up(book, SAUCE, 5)
    take(book, SAUCE, 2)
    undo(book, NewEntry(date(2026, 1, 20), "undo"))
    assert [(m.day, m.count, m.reason) for m in book.movements()] == [(DAY, 5, "put up")]
    assert sums_by_reason(book) == {("Applesauce", "qt", "put up"): 5}
    redo(book, NewEntry(date(2026, 1, 20), "redo"))
    assert [(m.day, m.count, m.reason) for m in book.movements()] == [(DAY, 5, "put up"), (DAY, -2, "pulled")]


def test_a_part_jar_never_holds_less_than_nothing(book: Book) -> None:
    jar = PartFacts("Salsa", "pt", DAY, "Fridge")
    write(book, NewEntry(DAY, "open"), lambda _: [PartLine(jar, Fraction(1, 2), "pulled")])
    with pytest.raises(BookTrouble, match="not that much left in the part jar of Salsa"):
        write(book, NewEntry(DAY, "eat"), lambda _: [PartLine(jar, Fraction(-3, 4), "eaten")])
    write(book, NewEntry(DAY, "eat"), lambda _: [PartLine(jar, Fraction(-1, 2), "eaten")])
    assert book.part_jars() == ()


def test_two_open_books_see_each_others_lines(path: Path) -> None:
    with open_book(path) as one, open_book(path) as other:
        put_up(one, SAUCE, 5)
        assert counts(other) == {("2025-10-06", "N1", ""): 5}
        take(other, SAUCE, 5)
        with pytest.raises(BookTrouble, match="has 0 qt"):
            take(one, SAUCE, 1)
