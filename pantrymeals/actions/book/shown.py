"""What the book shows when it is asked: lots, history, part jars, glass, its log, the count sheet and the count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from types import ModuleType

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.count import Counted, count_lines, differences, read_sheet, sheet_lines
from pantrymeals.actions.book.enter import Entered, enter
from pantrymeals.actions.book.glass import glass_rows, lids_on_hand
from pantrymeals.actions.book.look import log_rows, lot_rows, movement_rows, part_rows, season_rows
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.records import Product
from pantrymeals.reports.pages.count_sheet import sheet_page, write_sheet
from pantrymeals.reports.terminal import book_tables
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import sized
from pantrymeals.words import plural


def lots(book: Book, product: Product) -> Answer:
    """The lots of a product, the oldest first, with their numbers."""
    rows, jar = lot_rows(book, product), product.kind == "jar"
    return Answer(
        lambda paper: book_tables.write_lots(paper, product.name, rows, jar), tables=lambda: _tables().lots(rows)
    )


def history(book: Book, product: Product) -> Answer:
    """A product's seasons, and its last movements."""
    movements = book.movements(product.name)
    seasons, rows = season_rows(product, movements), movement_rows(movements)
    return Answer(
        lambda paper: book_tables.write_history(paper, product.name, product.sizes[0].name, seasons, rows),
        tables=lambda: _tables().history(seasons, rows),
    )


def part_jars(pantry: Pantry, book: Book) -> Answer:
    """What is open, and how long each clock still runs."""
    rows = part_rows(pantry, book)
    return Answer(
        lambda paper: book_tables.write_part_jars(paper, rows, pantry.today), tables=lambda: _tables().part_jars(rows)
    )


def glass(pantry: Pantry, book: Book) -> Answer:
    """Jars by size: full, empties, out; and lids."""
    rows, lids = glass_rows(pantry, book), lids_on_hand(book)
    return Answer(lambda paper: book_tables.write_glass(paper, rows, lids), tables=lambda: _tables().glass(rows, lids))


def log(book: Book, last: int) -> Answer:
    """What was written in the book, the newest first."""
    rows = log_rows(book, last)
    return Answer(lambda paper: book_tables.write_log(paper, rows), tables=lambda: _tables().log(rows))


def count_sheet(pantry: Pantry, book: Book, place: str | None) -> Answer:
    """The count sheet of a place, or of all, with room for what the shelf shows."""
    lines = sheet_lines(pantry, book, place)
    names = {p.code: p.name for p in pantry.places}
    return Answer(
        lambda paper: write_sheet(paper, lines, names, pantry.today),
        tables=lambda: _tables().count_sheet(lines),
        page=lambda: sheet_page(lines, names, pantry.name, pantry.today),
    )


def enter_count(pantry: Pantry, book: Book, file: Path, key: str = "") -> Iterator[str]:
    """Enter a count sheet that was filled in; the lines to say: shelf against book, then what was entered."""
    return enter_counted(pantry, book, read_sheet(pantry, file), f"count enter {file.name}", key)


def enter_counted(pantry: Pantry, book: Book, counted: Sequence[Counted], command: str, key: str = "") -> Iterator[str]:
    """Enter what was counted; the lines to say: shelf against book, then what was entered."""
    found = differences(book, counted)
    yield f"{plural(len(counted), 'line')} counted, {plural(len(found), 'difference')}."
    for d in found:
        label = f", put up {put_up_words(d.lot.put_up)}" if d.lot.put_up else ""
        state = f", {d.state}" if d.state else ""
        book_says, shelf = sized(d.book, d.lot.size), sized(d.shelf, d.lot.size)
        yield f"  {d.lot.product}{label} at {d.place or 'no place'}{state}: book {book_says}, shelf {shelf}"
    entered: Entered = enter(
        pantry, book, command, lambda b: count_lines(differences(b, counted)), key=key,
        nothing="Shelf and book agree; there is nothing to enter.",
    )  # fmt: skip
    yield from entered.said


def _tables() -> ModuleType:
    """Loaded for a file alone: with it comes what makes spreadsheets."""
    from pantrymeals.actions.book import tables

    return tables
