"""The twin says everything the book says, and makes the same book again."""

from __future__ import annotations

import csv
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE, make, make_in_memory
from pantrymeals.book.lines import FailedLine, GlassLine, Line, LotFacts, NewEntry, PartFacts, PartLine, ServedLine
from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.twin import COLUMNS, as_csv, as_sheet, csv_rows, fill_from_rows
from pantrymeals.book.writing import redo, undo, write
from pantrymeals.errors import MistakesInFiles, RowsTwice, Twice
from tests.unit.book.kitchen import failed_seals

DAY = date(2026, 1, 17)
SAUCE = LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", 'Gran\'s card, "page 3"', "a; b")
FLOUR = LotFacts("Bread flour", "lb")


def a_full_book(book: Book) -> None:
    write(book, NewEntry(DAY, "put up", who="Maren"), lambda _: [
        Line(SAUCE, "N1", Fraction(7), "put up"), FailedLine(SAUCE, 1), GlassLine("lids", "regular", -8),
    ])  # fmt: skip
    write(book, NewEntry(DAY, "bring in"), lambda _: [Line(FLOUR, "D-bin 1", Fraction(150), "bought")])
    write(book, NewEntry(DAY, "pull"), lambda _: [
        Line(FLOUR, "D-bin 1", Fraction(-17, 14), "pulled", day=date(2026, 1, 14)),
        Line(SAUCE, "N1", Fraction(-1), "pulled"),
        PartLine(PartFacts("Applesauce", "qt", DAY, "Fridge", "Odo's"), Fraction(1, 3), "pulled"),
        ServedLine(DAY, "breakfast", "Porridge, plain"),
    ])  # fmt: skip
    undo(book, NewEntry(DAY, "undo"))
    redo(book, NewEntry(DAY, "redo"))
    write(book, NewEntry(DAY, "hold"), lambda _: [
        Line(SAUCE, "N1", Fraction(-2), "moved"), Line(SAUCE, "Held", Fraction(2), "moved", "held", "=1+1"),
    ])  # fmt: skip


def same(one: Book, other: Book) -> bool:
    return failed_seals(one) == failed_seals(other) and all(
        getattr(one, question)() == getattr(other, question)()
        for question in
        ("on_hand", "lots", "part_jars", "glass", "served", "movements", "entries")
    )  # fmt: skip


def test_the_twin_makes_the_same_book(book: Book, tmp_path: Path) -> None:
    a_full_book(book)
    twin = tmp_path / "twin.csv"
    twin.write_bytes(as_csv(book))
    (tmp_path / "elsewhere").mkdir()
    path = tmp_path / "elsewhere" / BOOK_FILE
    make(path, fill_from_rows("twin.csv", csv_rows(twin)))
    with open_book(path) as again:
        assert same(book, again)
        assert as_csv(again) == as_csv(book)
        # and it goes on from there: the redo can be undone, keys are still known
        undo(again, NewEntry(DAY, "undo"))
        undo(again, NewEntry(DAY, "undo"))
        assert again.part_jars() == ()


def test_the_spreadsheet_makes_the_same_book(book: Book, tmp_path: Path) -> None:
    a_full_book(book)
    sheet = tmp_path / "twin.xlsx"
    sheet.write_bytes(as_sheet(book))
    rows = xlsx_rows(sheet)
    assert rows[0] == (1, list(COLUMNS))
    (tmp_path / "elsewhere").mkdir()
    path = tmp_path / "elsewhere" / BOOK_FILE
    make(path, fill_from_rows("twin.xlsx", rows[1:]))
    with open_book(path) as again:
        assert same(book, again)


def row(**cells: str) -> list[str]:
    usual = {
        "entry": "1", "entered": "2026-01-17", "command": "x", "key": "k", "what": "jars", "lot": "1",
        "day": "2026-01-17", "product": "Rice", "size": "lb", "count": "1", "reason": "put up",
    }  # fmt: skip
    return [{**usual, **cells}.get(column, "") for column in COLUMNS]


def refused(*rows: list[str]) -> str:
    with pytest.raises((MistakesInFiles, BookTrouble)) as caught:
        make_in_memory(fill_from_rows("twin.csv", enumerate(rows, start=2)))
    return str(caught.value)


def test_every_mistake_in_a_twin_is_named_with_its_place() -> None:
    message = refused(row(count="some"), row(what="jarz"), row(lot="x"), row()[:-1], row(entry="one"))
    assert message.splitlines() == [
        "twin.csv:2:17: 'some' is not a number; such as 2, 0.5 or 17/14",
        "twin.csv:3:7: 'jarz' is no kind of line; such as jars, part jar, empties or lids",
        "twin.csv:4:9: 'x' is not a number; such as 2, 0.5 or 17/14",
        "twin.csv:5: this row has 19 columns, not 20",
        "twin.csv:6:1: 'one' is no number of an entry",
    ]


def test_a_twin_that_contradicts_itself_is_refused() -> None:
    assert "add up to -1 lb Rice" in refused(row(), row(count="-2", reason="eaten"))
    assert "contradict each other" in refused(row(), row(entry="2"))  # the same key twice
    assert "contradict each other" in refused(row(reason="mislaid"))
    assert "twin.csv:2:8: '2026-02-30' is no day" in refused(row(day="2026-02-30"))
    assert "twin.csv:2:12: 'spring' is no day" in refused(row(put_up="spring"))
    assert "contradict each other" in refused(row(), row(lot="2"))  # one lot under two numbers


def test_a_table_of_something_else_is_refused(tmp_path: Path) -> None:
    other = tmp_path / "other.csv"
    other.write_text("product,size\nRice,lb\n")
    with pytest.raises(BookTrouble, match="no export of a put-up book"):
        csv_rows(other)


def test_one_lot_told_in_two_ways_and_a_row_that_brings_in_twice_are_named(book: Book, tmp_path: Path) -> None:
    a_full_book(book)
    lines = as_csv(book).decode().splitlines()
    made = tmp_path / "new.sqlite"
    for number, changed, wrong in (
        (1, lines[1].replace("2025-10-06", "2024-10-06"), "lot 1 is told in two ways; above it is Applesauce, qt"),
        (1, lines[1], r"twin.csv:3:1: this row says the same as line 2; if it stands here twice, take one out"),
    ):
        twin = tmp_path / "twin.csv"
        twin.write_text("\n".join([*lines[: number + 1], changed, *lines[number + 1 :]]) + "\n")
        with pytest.raises(MistakesInFiles, match=wrong):
            make(made, fill_from_rows(twin.name, csv_rows(twin)))
        assert not made.exists()


@pytest.mark.parametrize(
    ("column", "written", "wrong"),
    [
        (0, "²", "is no number of an entry"), (0, "9" * 5000, "is no number of an entry"),
        (5, "²", "is no entry before this one"), (5, "1", "is no entry before this one"),
        (5, "9" * 25, "is no entry before this one"), (8, "9" * 25, "is not a number"), (8, "²", "is not a number"),
        (16, "9" * 25, "is not a number"), (16, "²", "is not a number"),
    ],
)  # fmt: skip
def test_numbers_that_no_book_holds_and_an_entry_that_undoes_itself_are_mistakes(
    book: Book, tmp_path: Path, column: int, written: str, wrong: str
) -> None:
    a_full_book(book)
    rows = list(csv.reader(as_csv(book).decode().splitlines()))
    rows[1][column] = written
    twin = tmp_path / "twin.csv"
    with twin.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    with pytest.raises(MistakesInFiles, match=wrong):
        make(tmp_path / "new.sqlite", fill_from_rows(twin.name, csv_rows(twin)))
    assert not (tmp_path / "new.sqlite").exists()


@pytest.mark.parametrize(("twice", "jars", "left"), [("both", 14, Fraction(2, 3)), ("one", 7, Fraction(1, 3))])
def test_rows_that_say_the_same_count_as_is_said(
    book: Book, tmp_path: Path, twice: Twice, jars: int, left: Fraction
) -> None:
    write(book, NewEntry(DAY, "count"), lambda _: [
        Line(SAUCE, "N1", Fraction(7), "counted"),
        PartLine(PartFacts("Applesauce", "qt", DAY, "Fridge"), Fraction(1, 3), "counted"),
    ])  # fmt: skip
    lines = as_csv(book).decode().splitlines()
    twin = tmp_path / "twin.csv"
    twin.write_text("\n".join([*lines, *lines[1:]]) + "\n")
    with pytest.raises(RowsTwice, match=r"twin.csv:4:1: this row says the same as line 2") as rows:
        make(tmp_path / "not.sqlite", fill_from_rows(twin.name, csv_rows(twin)))
    assert len(rows.value.mistakes) == 2
    made = tmp_path / "new.sqlite"
    make(made, fill_from_rows(twin.name, csv_rows(twin), twice))
    with open_book(made) as again:
        assert [here.count for here in again.on_hand()] == [jars]
        assert [part.left for part in again.part_jars()] == [left]
    # what is wrong besides is said first, with the rows that stand twice: nobody is asked for nothing
    twin.write_text("\n".join([*lines, *lines[1:], lines[1].replace(",7,", ",some,")]) + "\n")
    with pytest.raises(MistakesInFiles, match="'some' is not a number") as wrong:
        make(tmp_path / "not.sqlite", fill_from_rows(twin.name, csv_rows(twin)))
    assert not isinstance(wrong.value, RowsTwice)


@pytest.mark.parametrize("from_line", [1, 4])
def test_an_export_told_twice_counts_once_with_all_that_went_too(book: Book, tmp_path: Path, from_line: int) -> None:
    """A sheet pasted below itself: its pulls, its glass and its dishes are told again, not only what came in."""
    a_full_book(book)
    lines = as_csv(book).decode().splitlines()
    twin = tmp_path / "twin.csv"
    twin.write_text("\n".join([*lines, *lines[from_line:]]) + "\n")
    with pytest.raises(RowsTwice) as rows:
        make(tmp_path / "not.sqlite", fill_from_rows(twin.name, csv_rows(twin)))
    assert len(rows.value.mistakes) == len(lines) - from_line
    make(tmp_path / "new.sqlite", fill_from_rows(twin.name, csv_rows(twin), "one"))
    with open_book(tmp_path / "new.sqlite") as again:
        assert same(book, again)
        assert as_csv(again) == as_csv(book)


def test_one_entry_may_take_two_jars_in_two_rows(book: Book, tmp_path: Path) -> None:
    write(book, NewEntry(DAY, "count"), lambda _: [Line(SAUCE, "N1", Fraction(7), "counted")])
    write(book, NewEntry(DAY, "pull"), lambda _: [Line(SAUCE, "N1", Fraction(-1), "pulled")] * 2)
    twin = tmp_path / "twin.csv"
    twin.write_bytes(as_csv(book))
    make(tmp_path / "new.sqlite", fill_from_rows(twin.name, csv_rows(twin)))
    with open_book(tmp_path / "new.sqlite") as again:
        assert [here.count for here in again.on_hand()] == [5]
