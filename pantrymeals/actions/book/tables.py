"""The book's own tables for a file: lots, seasons, part jars, glass, what was said, the count sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from pantrymeals.actions.book.glass import glass_rows, lids_on_hand
from pantrymeals.actions.book.look import log_rows, part_rows, season_rows
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.records import Movement, Product
from pantrymeals.reports.pages.count_sheet import COLUMNS, SheetLine, rows_of
from pantrymeals.tables.shapes import frame_of
from pantrymeals.tables.stores import seasons

if TYPE_CHECKING:
    import pandas as pd

Frames = tuple["pd.DataFrame", ...]

_LOTS = {
    "lot": "its number", "product": "", "put_up": "", "on_hand": "of the size", "size": "", "place": "",
    "state": "", "load": "", "source": "", "note": "",
}  # fmt: skip
_PART_JARS = {
    "product": "", "left": "of the size", "size": "", "opened": "", "eat_by": "nothing: no clock", "place": "",
    "note": "",
}  # fmt: skip
_LAST = {"day": "", "count": "of the size, + in, - out", "size": "", "reason": "", "place": "", "note": ""}
_GLASS = {"size": "", "full": "jars", "empties": "jars", "out": "jars", "owned": "jars"}
_LOG = {"entry": "its number", "day": "", "said": "", "who": "", "became": ""}


def lots(book: Book, product: Product) -> Frames:
    """The lots of a product that are on hand, the oldest first."""
    return (
        frame_of(
            "lots",
            _LOTS,
            (
                (
                    here.number,
                    here.lot.product,
                    here.lot.put_up,
                    here.count,
                    here.lot.size,
                    here.place,
                    here.state,
                    here.lot.load,
                    here.lot.source,
                    here.lot.note,
                )
                for here in book.on_hand(product.name)
            ),
        ),
    )


def history(product: Product, movements: Sequence[Movement]) -> Frames:
    """A product's seasons, and every movement of it, the newest first."""
    newest = sorted(movements, key=lambda m: m.day, reverse=True)
    lines = ((m.day, m.count, m.size, m.reason, m.where, m.note) for m in newest)
    return seasons(season_rows(product, movements)), frame_of("movements", _LAST, lines)


def part_jars(pantry: Pantry, book: Book) -> Frames:
    """What is open, how much of the container is left, and the last day of each clock."""
    rows = (
        (jar.part.product, jar.left, jar.part.size, jar.part.opened, row.last, jar.part.place, jar.part.note)
        for jar, row in zip(book.part_jars(), part_rows(pantry, book), strict=True)
    )
    return (frame_of("part jars", _PART_JARS, rows),)


def glass(pantry: Pantry, book: Book) -> Frames:
    """Jars by size, and flat lids by kind."""
    jars = ((r.size, r.full, r.empties, r.out, r.owned) for r in glass_rows(pantry, book))
    return frame_of("jars", _GLASS, jars), frame_of("lids", {"kind": "", "on_hand": "lids"}, lids_on_hand(book))


def log(book: Book, last: int) -> Frames:
    """What was said, the newest first."""
    return (frame_of("book log", _LOG, log_rows(book, last)),)


def count_sheet(lines: Iterable[SheetLine]) -> Frames:
    """The count sheet to fill in; `count enter` reads it again."""
    return (frame_of("count", COLUMNS, rows_of(lines)),)
