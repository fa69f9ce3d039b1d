"""Empties, jars out, and lids: counted by size and kind, beside what is full."""

from __future__ import annotations

from collections.abc import Sequence

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, GlassLine, GlassThing
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.reports.terminal.book_rows import GlassRow
from pantrymeals.units import JAR_SIZES, jar_among

LID_KINDS = ("regular", "wide")


def glass_rows(pantry: Pantry, book: Book) -> tuple[GlassRow, ...]:
    """Every jar size, the largest first."""
    full = dict.fromkeys(pantry.jar_sizes, 0)
    for here in book.on_hand():
        product = pantry.product(here.lot.product)
        size = pantry.jar_size(product, here.lot.size) if product is not None else ""
        if size:
            full[size] += int(here.count)
    glass, rows = book.glass(), []
    for size in full:
        empty, out = glass.get(("empties", size), 0), glass.get(("out", size), 0)
        rows.append(GlassRow(size, full[size], empty, out, full[size] + empty + out))
    return tuple(rows)


def lids_on_hand(book: Book) -> tuple[tuple[str, int], ...]:
    """(kind, count) of the flat lids on hand."""
    glass = book.glass()
    return tuple((kind, glass.get(("lids", kind), 0)) for kind in LID_KINDS)


def counted(book: Book, thing: GlassThing, size: str, count: int, sizes: Sequence[str] = JAR_SIZES) -> list[AnyLine]:
    """The line that brings empties, jars out or lids to what was counted. sizes: the household's jars."""
    size = _known(thing, size, sizes)
    now = book.glass().get((thing, size), 0)
    return [GlassLine(thing, size, count - now, "counted")]


def came(thing: GlassThing, size: str, count: int, sizes: Sequence[str] = JAR_SIZES) -> list[AnyLine]:
    """So many more empties or lids."""
    return [GlassLine(thing, _known(thing, size, sizes), count)]


def came_back(size: str, count: int, sizes: Sequence[str] = JAR_SIZES) -> list[AnyLine]:
    """Jars that were out have come back, empty."""
    size = _known("empties", size, sizes)
    return [GlassLine("out", size, -count), GlassLine("empties", size, count)]


def _known(thing: GlassThing, size: str, sizes: Sequence[str]) -> str:
    """The kind or size as it is kept: '500ml' and '500 ml jar' as 500 ml, 'pints' as pt."""
    kinds = LID_KINDS if thing == "lids" else tuple(sizes)
    found = jar_among(size, kinds)
    if found is None:
        raise BookTrouble(f"'{size}' is no kind of {thing}; there are {', '.join(kinds)}")
    return found
