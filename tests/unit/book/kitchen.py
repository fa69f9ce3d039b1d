"""A tiny invented household for tests of the book."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from pathlib import Path

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.book.connect import make_in_memory
from pantrymeals.book.counts import from_parts
from pantrymeals.book.lines import AnyLine, Line, LotFacts, NewEntry
from pantrymeals.book.writing import fill_with, write
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.products import sizes_and_measure
from pantrymeals.records import Product, StorePlace

TODAY = date(2026, 1, 17)
SAUCE_24 = LotFacts("Applesauce", "qt", "2024", "", "page 12")
SAUCE_25 = LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", "page 12")
BEANS_1 = LotFacts("Green beans", "qt", "2025-08-12", "load 1", "page 31")
BEANS_2 = LotFacts("Green beans", "qt", "2025-08-12", "load 2", "")
FLOUR = LotFacts("Bread flour", "lb", "2025-05-15")


def product(name: str, sizes: str = "qt", kind: str = "jar", **others: object) -> Product:
    found, measure = sizes_and_measure(sizes)
    return Product(name, "", kind, measure, found, **others)  # type: ignore[arg-type]


PRODUCTS = (
    product("Applesauce", acid="high", opened_days=7),
    product("Green beans", acid="low", opened_days=4),
    product("Green beans, small", "pt", acid="low", opened_days=4),
    product("Tomatoes, crushed", "qt; pt", acid="borderline", opened_days=7),
    product("Tomato sauce", "pt", acid="high", opened_days=7),
    product("Apple juice", "half-gal", acid="high"),
    product("Rhubarb, stewed", "pt", acid="high"),
    product("Rhubarb, cut", "qt bag = 1 qt", kind="freezer"),
    product("Eggs, beaten", "2-egg tub = 2 each", kind="freezer", thaw_days=1, opened_days=2),
    product("Whole chicken", "bird", kind="freezer", thaw_days=2, opened_days=2),
    product("Bread flour", "lb", kind="dry", whole=False),
    product("Butter", "lb", kind="freezer", whole=False, also_called=("sweet butter",)),
    product("Milk", "gal", kind="fridge", whole=False),
)

PLACES = (
    StorePlace("Fridge", "kitchen fridge", "fridge"),
    StorePlace("K", "kitchen press", "pantry"),
    StorePlace("N1", "north wall, shelf 1", "pantry"),
    StorePlace("S1", "south wall, shelf 1", "pantry"),
    StorePlace("D", "dry store", "dry"),
)


def pantry(folder: Path = Path("nowhere"), *, today: date = TODAY) -> Pantry:
    return Pantry(folder, today, KnownProducts.of(PRODUCTS), PLACES, 2750)


def a_book(*lines: AnyLine) -> Book:
    """A book in memory that begins with these lines."""
    new = NewEntry(date(2026, 1, 1), "count enter first.csv", key="first")
    return Book(make_in_memory(fill_with([(new, lines)] if lines else [])), Path("put-up-book.sqlite"))


def on_shelf(lot: LotFacts, count: int | str, place: str = "N1", state: str = "") -> Line:
    return Line(lot, place, Fraction(count), "counted", state)  # type: ignore[arg-type]


def enter(book: Book, lines: Iterable[AnyLine], said: str = "something") -> int:
    found = list(lines)
    return write(book, NewEntry(TODAY, said), lambda _: found).entry


def counts(book: Book) -> dict[tuple[str, str, str, str], Fraction]:
    """(put up, load, place, state) -> how many are there."""
    return {(h.lot.put_up, h.lot.load, h.place, h.state): h.count for h in book.on_hand()}


def failed_seals(book: Book) -> dict[int, int]:
    """Jars that did not seal in the canner, by lot number."""
    query = "SELECT lot, sum(count) FROM failed_seal GROUP BY lot HAVING sum(count) <> 0"
    return dict(book.db.execute(query))


def sums_by_reason(book: Book) -> dict[tuple[str, str, str], Fraction]:
    """(product, size, reason) -> all that came (+) and went (-) for that reason."""
    query = "SELECT product, size, reason, sum(parts) FROM history GROUP BY 1, 2, 3"
    return {(name, size, why): from_parts(parts) for name, size, why, parts in book.db.execute(query)}
