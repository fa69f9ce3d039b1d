"""Looking in the book: the lots of a product, its history by season, part jars and their clocks."""

from __future__ import annotations

from collections.abc import Iterable
from types import ModuleType

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.larder.book_history import product_lines, years_of
from pantrymeals.larder.opened_life import life_since
from pantrymeals.plans.book import BookYear
from pantrymeals.records import YEAR_OPENS, Movement, Product
from pantrymeals.reports.terminal.book_rows import LogRow, LotRow, MovementRow, PartRow


def lot_rows(book: Book, product: Product | None = None, place: str | None = None) -> tuple[LotRow, ...]:
    """The lots on hand, of a product or of all, at a place or anywhere; by product, the oldest first."""
    return tuple(
        LotRow(
            here.number, lot.product, lot.put_up, here.count, lot.size, here.place, here.state, lot.load, lot.source,
            lot.note,
        )
        for here in book.on_hand(product.name if product else None)
        for lot in (here.lot,)
        if place in (None, here.place)
    )  # fmt: skip


def season_rows(
    product: Product, movements: Iterable[Movement], opens: tuple[int, int] = YEAR_OPENS
) -> tuple[BookYear, ...]:
    """One row a season, each beginning with what the last one left; in containers of the first size."""
    lines = product_lines(product, movements)
    return tuple(years_of(product.name, lines, lines[0].day, lines[-1].day, opens)) if lines else ()


def movement_rows(movements: Iterable[Movement]) -> tuple[MovementRow, ...]:
    """The newest movements first."""
    newest = sorted(movements, key=lambda m: m.day, reverse=True)
    return tuple(MovementRow(m.day, m.count, m.size, m.reason, m.where, m.note) for m in newest)


def part_rows(pantry: Pantry, book: Book) -> tuple[PartRow, ...]:
    """Part jars and the last day of each one's clock (thaw days, then the opened days of the product)."""
    rows = []
    for jar in book.part_jars():
        part, product = jar.part, pantry.product(jar.part.product)
        last = None if product is None else life_since(product, part.opened, jar.left >= 1).last
        rows.append(PartRow(part.product, jar.left, part.size, part.opened, last, part.place, part.note))
    return tuple(rows)


def log_rows(book: Book, last: int) -> tuple[LogRow, ...]:
    """The last entries, the newest first.

    An entry taken back is 'undone' unless its undo was itself taken back (a redo).
    """
    entries = book.entries()
    undone_by = {entry.undoes: entry.number for entry in entries if entry.undoes is not None}

    def stands(number: int) -> bool:
        return number not in undone_by or not stands(undone_by[number])

    def became(number: int, undoes: int | None) -> str:
        parts = [f"of no. {undoes}"] if undoes is not None else []
        return "; ".join([*parts, *([] if stands(number) else ["undone"])])

    return tuple(LogRow(e.number, e.day, e.command, e.who, became(e.number, e.undoes)) for e in entries[:last])


def tables_of() -> ModuleType:
    """Loaded for a file alone: with it comes what makes spreadsheets."""
    from pantrymeals.actions.book import tables

    return tables
