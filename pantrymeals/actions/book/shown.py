"""What the book shows when it is asked: lots, history, part jars, glass, its log, the count sheet and the count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from types import ModuleType

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.count import Counted, count_lines, differences, read_sheet, sheet_lines
from pantrymeals.actions.book.enter import Entered, enter
from pantrymeals.actions.book.glass import glass_rows, lids_on_hand
from pantrymeals.actions.book.look import log_rows, lot_rows, movement_rows, part_rows, season_rows
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.errors import PantryError
from pantrymeals.larder.book_history import product_lines, shelf_days
from pantrymeals.records import Product
from pantrymeals.reports.pages.count_sheet import count_pdf, tally_pdf, write_sheet, write_tally
from pantrymeals.reports.pages.labels import JarLabel, labels_pdf
from pantrymeals.reports.pages.typeset import Origin
from pantrymeals.reports.terminal import book_tables
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import sized
from pantrymeals.words import plural


def lots(book: Book, product: Product, place: str | None = None) -> Answer:
    """The lots of a product, the oldest first, with their numbers; at one place alone where it is said."""
    rows, jar = lot_rows(book, product, place), product.kind == "jar"
    return Answer(
        lambda paper: book_tables.write_lots(paper, product.name, rows, jar), tables=lambda: _tables().lots(rows)
    )


def at_place(pantry: Pantry, book: Book, place: str) -> Answer:
    """What stands at a place, by product, and what is open there."""
    rows = lot_rows(book, None, place)
    parts = [part for part in part_rows(pantry, book) if part.place == place and part.opened <= pantry.today]
    name = next((p.name for p in pantry.places if p.code == place), "")
    return Answer(
        lambda paper: book_tables.write_place(paper, f"{name} ({place})" if name else place, rows, parts),
        tables=lambda: (*_tables().lots(rows), *_tables().part_jars(parts)),
    )


def history(pantry: Pantry, book: Book, product: Product) -> Answer:
    """A product's seasons, and its last movements; drawn, what stood on the shelf through the years."""
    from pantrymeals.reports.pictures.stores import shelf_picture

    movements = book.movements(product.name)
    days = shelf_days(product_lines(product, movements))
    seasons, rows = season_rows(product, movements, pantry.year_opens), movement_rows(movements)
    return Answer(
        lambda paper: book_tables.write_history(
            paper, product.name, product.sizes[0].name, seasons, rows, pantry.year_opens
        ),
        tables=lambda: _tables().history(seasons, rows, days),
        picture=lambda: shelf_picture(product.name, product.sizes[0].name, days),
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
        page=lambda printing: count_pdf(lines, names, _origin(pantry, book), printing),
    )


def tally(pantry: Pantry, book: Book, place: str | None) -> Answer:
    """The tally for the door of a place, or of all: what is there to be crossed off."""
    lines = [line for line in sheet_lines(pantry, book, place) if not line.state]
    names = {p.code: p.name for p in pantry.places}
    return Answer(
        lambda paper: write_tally(paper, lines, names),
        tables=lambda: _tables().count_sheet(lines),
        page=lambda printing: tally_pdf(lines, names, _origin(pantry, book), printing),
    )


MOST_LABELS = 500


def labels(pantry: Pantry, book: Book, product: Product, lot: int | None, number: int | None) -> Answer:
    """Labels for the jars of one lot: of the newest, where none is named. Raises PantryError where there is none."""
    found = [here for here in book.on_hand(product.name) if lot is None or here.number == lot]
    if not found:
        raise PantryError(
            f"no lot{'' if lot is None else f' {lot}'} of {product.name} is on hand; `lots` shows which are"
        )
    newest = max(found, key=lambda here: (here.lot.put_up, here.number))
    there = sum((here.count for here in found if here.number == newest.number), Fraction(0))
    count = number if number is not None else max(1, int(there)) if product.whole else 1
    if not 1 <= count <= MOST_LABELS:
        raise PantryError(f"{count} labels are too many or too few to print at once; give --number 1 to {MOST_LABELS}")
    label = JarLabel(
        newest.number, product.name, newest.lot.size, newest.lot.put_up, newest.lot.load, sorted(product.contents),
        newest.state,
    )  # fmt: skip
    return Answer(
        lambda paper: paper.line(f"{plural(count, 'label')} of {label.told}."),
        tables=lambda: _tables().lots(book, product),
        page=lambda printing: labels_pdf(label, count, _origin(pantry, book), printing),
    )


def _origin(pantry: Pantry, book: Book) -> Origin:
    return Origin(pantry.name, pantry.today, book.newest_entry(), pantry.paper)


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
