"""What the book prints: the count sheet and the tally for a door, and labels for jars."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.count import sheet_lines
from pantrymeals.actions.book.look import lot_rows, tables_of
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.errors import PantryError
from pantrymeals.records import Product
from pantrymeals.reports.pages.count_sheet import count_pdf, tally_pdf, write_sheet, write_tally
from pantrymeals.reports.pages.typeset import Origin
from pantrymeals.words import plural

MOST_LABELS = 500


def count_sheet(pantry: Pantry, book: Book, place: str | None) -> Answer:
    """The count sheet of a place, or of all, with room for what the shelf shows."""
    lines = sheet_lines(pantry, book, place)
    names = {p.code: p.name for p in pantry.places}
    return Answer(
        lambda paper: write_sheet(paper, lines, names, pantry.today),
        tables=lambda: tables_of().count_sheet(lines),
        page=lambda printing: count_pdf(lines, names, _origin(pantry, book), printing),
    )


def tally(pantry: Pantry, book: Book, place: str | None) -> Answer:
    """The tally for the door of a place, or of all: what is there to be crossed off."""
    lines = [line for line in sheet_lines(pantry, book, place) if not line.state]
    names = {p.code: p.name for p in pantry.places}
    return Answer(
        lambda paper: write_tally(paper, lines, names),
        tables=lambda: tables_of().count_sheet(lines),
        page=lambda printing: tally_pdf(lines, names, _origin(pantry, book), printing),
    )


def labels(pantry: Pantry, book: Book, product: Product, lot: int | None, number: int | None) -> Answer:
    """Labels for the jars of one lot: of the newest, where none is named. Raises PantryError where there is none."""
    from pantrymeals.reports.pages.labels import JarLabel, labels_pdf

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
        tables=lambda: tables_of().lots(row for row in lot_rows(book, product) if row.lot == newest.number),
        page=lambda printing: labels_pdf(label, count, _origin(pantry, book), printing),
    )


def _origin(pantry: Pantry, book: Book) -> Origin:
    return Origin(pantry.name, pantry.today, book.newest_entry(), pantry.paper)
