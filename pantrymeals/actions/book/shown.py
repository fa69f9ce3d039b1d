"""What the book shows when it is asked: lots, history, part jars, glass, its log."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.glass import glass_rows, lids_on_hand
from pantrymeals.actions.book.look import log_rows, lot_rows, movement_rows, part_rows, season_rows, tables_of
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.larder.book_history import product_lines, shelf_days
from pantrymeals.records import Product
from pantrymeals.reports.terminal import book_tables

if TYPE_CHECKING:
    from pantrymeals.reports.pictures.draw import Picture


def lots(book: Book, product: Product, place: str | None = None) -> Answer:
    """The lots of a product, the oldest first, with their numbers; at one place alone where it is said."""
    rows, jar = lot_rows(book, product, place), product.kind == "jar"
    return Answer(
        lambda paper: book_tables.write_lots(paper, product.name, rows, jar), tables=lambda: tables_of().lots(rows)
    )


def at_place(pantry: Pantry, book: Book, place: str) -> Answer:
    """What stands at a place, by product, and what is open there."""
    rows = lot_rows(book, None, place)
    parts = [part for part in part_rows(pantry, book) if part.place == place and part.opened <= pantry.today]
    name = next((p.name for p in pantry.places if p.code == place), "")
    return Answer(
        lambda paper: book_tables.write_place(paper, f"{name} ({place})" if name else place, rows, parts),
        tables=lambda: (*tables_of().lots(rows), *tables_of().part_jars(parts)),
    )


def history(pantry: Pantry, book: Book, product: Product) -> Answer:
    """A product's seasons, and its last movements; drawn, what stood on the shelf through the years."""
    movements = book.movements(product.name)
    days = shelf_days(product_lines(product, movements))
    seasons, rows = season_rows(product, movements, pantry.year_opens), movement_rows(movements)

    def drawn() -> Picture:
        from pantrymeals.reports.pictures.stores import shelf_picture

        return shelf_picture(product.name, product.sizes[0].name, days)

    return Answer(
        lambda paper: book_tables.write_history(
            paper, product.name, product.sizes[0].name, seasons, rows, pantry.year_opens
        ),
        tables=lambda: tables_of().history(seasons, rows, days),
        picture=drawn,
    )


def part_jars(pantry: Pantry, book: Book) -> Answer:
    """What is open, and how long each clock still runs."""
    rows = part_rows(pantry, book)
    return Answer(
        lambda paper: book_tables.write_part_jars(paper, rows, pantry.today), tables=lambda: tables_of().part_jars(rows)
    )


def glass(pantry: Pantry, book: Book) -> Answer:
    """Jars by size: full, empties, out; and lids."""
    rows, lids = glass_rows(pantry, book), lids_on_hand(book)
    return Answer(
        lambda paper: book_tables.write_glass(paper, rows, lids), tables=lambda: tables_of().glass(rows, lids)
    )


def log(book: Book, last: int) -> Answer:
    """What was written in the book, the newest first."""
    rows = log_rows(book, last)
    return Answer(lambda paper: book_tables.write_log(paper, rows), tables=lambda: tables_of().log(rows))
