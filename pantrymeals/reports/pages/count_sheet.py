"""The count sheet: what the book has at a place, with room to write what the shelf shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.reports.pages.typeset import (
    Block,
    Cell,
    Col,
    Origin,
    Printing,
    heading,
    page,
    set_pages,
    table,
    title,
    write_in,
)
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import is_weighed, kept
from pantrymeals.units import as_words
from pantrymeals.words import capital, day_and_year

if TYPE_CHECKING:
    from pantrymeals.reports.terminal.paper import Paper

COLUMNS = ("place", "product", "size", "put_up", "load", "state", "book", "shelf", "lot", "as_of")
"""shelf is for the household to fill in; lot and as_of let the book know the line again."""


class SheetLine(Struct, frozen=True):
    """One lot at one place. put_up: '2025-10-06', '2024' or ''; as_of: the newest entry of the book."""

    place: str
    product: str
    size: str
    put_up: str
    load: str
    state: str
    book: Fraction
    lot: int
    as_of: int

    @property
    def said(self) -> str:
        """What the book has, as it can be read back."""
        return exact_words(self.book)

    @property
    def label(self) -> str:
        """'27 Sep 2025, load 2, held': what stands on it, and its state."""
        return ", ".join(x for x in (put_up_words(self.put_up), self.load, self.state) if x)


def exact_words(count: Fraction) -> str:
    """A count that can be read back: '12', '13 1/2', or a decimal."""
    return as_words(count) if count.denominator in (1, 2, 3, 4, 8) else f"{float(count):.3f}".rstrip("0").rstrip(".")


def rows_of(lines: Iterable[SheetLine]) -> list[list[str]]:
    """The sheet's rows under COLUMNS, the shelf left blank."""
    return [
        [x.place, x.product, x.size, x.put_up, x.load, x.state, exact_words(x.book), "", str(x.lot), str(x.as_of)]
        for x in lines
    ]


def write_sheet(paper: Paper, lines: Sequence[SheetLine], names: dict[str, str], day: date) -> None:
    """The sheet on a terminal, place by place in walking order. names: each place's name by its code."""
    for place, found in groupby(lines, key=lambda line: line.place):
        paper.heading(place_words(place, names))
        rows = [
            (
                (x.product, f"{put_up_words(x.put_up)}{f', {x.state}' if x.state else ''}",
                 kept(x.book, x.size), "______"),
                x.load,
            )
            for x in found
        ]  # fmt: skip
        paper.ledger(("Product", "Put up", "In the book", "Shelf"), rows, right=(2,))
    if not lines:
        paper.line("The book has nothing here: what is found is entered with 'bring-in' or 'put-up'.")
    paper.blank()
    paper.line(f"Counted on {day_and_year(day)} by ______________", indent=0)
    paper.line(STANDING_LINE)


_COLUMNS = (
    Col("Product", "1fr"), Col("Put up", "auto"), Col("Load", "auto"), Col("Lot", "auto", "right"),
    Col("In the book", "auto", "right"), Col("Shelf", "5"),
)  # fmt: skip
_SHELF: Cell = {"rule": 4.4}
_ROOM = 2
"""Empty lines at each place, for what the book does not know of."""


def count_pdf(lines: Sequence[SheetLine], names: dict[str, str], origin: Origin, printing: Printing) -> bytes:
    """The sheet as PDF, a table for each place, with boxes to write in."""
    name = f"Count sheet, {origin.household}"
    blocks = [
        title(name, "Write what stands on the shelf; the shelf is right."),
        write_in(("Counted by", 14), ("on", 8)),
    ]
    for place, found in groupby(lines, key=lambda line: line.place):
        rows: list[Sequence[Cell]] = [
            (
                x.product,
                f"{put_up_words(x.put_up)}{f', {x.state}' if x.state else ''}",
                x.load,
                str(x.lot),
                kept(x.book, x.size),
                _SHELF,
            )
            for x in found
        ]
        rows += [("", "", "", "", "", _SHELF)] * _ROOM
        where = place_words(place, names)
        blocks += [heading(where), table(_COLUMNS, rows, "lines", air=0.15, middle=True, of=where)]
    return set_pages(name, [page(blocks)], origin, printing)


def place_words(place: str, names: dict[str, str]) -> str:
    """'Pantry, south wall (S2)'; what has no place says so."""
    if not place:
        return "No place written down"
    return f"{capital(names.get(place, place))} ({place})"


_TALLY = (Col("", "1.1fr"), Col("", "7", "right"), Col("", "2.2fr"))
_MOST_STROKES = 60
"""Beyond so many a row is longer than anybody crosses off between two counts; then there is a line to write on."""


def tally_pdf(lines: Sequence[SheetLine], names: dict[str, str], origin: Origin, printing: Printing) -> bytes:
    """The tally for the door: of each product at a place a box for each jar, crossed off as it goes."""
    name = f"Tally for the door, {origin.household}"
    blocks: list[Block] = [title(name, "One stroke for each that goes." if lines else "Nothing is on the shelf.")]
    for place, rows in tally_rows(lines):
        where = place_words(place, names)
        cells: list[Sequence[Cell]] = [
            ([("strong", product)], kept(n, size), _strokes(n, size)) for product, size, n in rows
        ]
        blocks += [heading(where), table(_TALLY, cells, "lines", air=0.35, middle=True, of=where)]
    return set_pages(name, [page(blocks)], origin, printing)


def write_tally(paper: Paper, lines: Sequence[SheetLine], names: dict[str, str]) -> None:
    """The same on a terminal, where nothing can be crossed off: what is there."""
    for place, rows in tally_rows(lines):
        paper.heading(place_words(place, names))
        paper.ledger(("Product", "There"), [((product, kept(n, size)), "") for product, size, n in rows], right=(1,))
    paper.blank()
    paper.line(STANDING_LINE)


def tally_rows(lines: Iterable[SheetLine]) -> Iterator[tuple[str, list[tuple[str, str, Fraction]]]]:
    """By place what is there to be taken, (product, size, count), its lots together."""
    for place, found in groupby(lines, key=lambda line: line.place):
        there: dict[tuple[str, str], Fraction] = {}
        for x in found:
            there[x.product, x.size] = there.get((x.product, x.size), Fraction(0)) + x.book
        yield place, [(product, size, count) for (product, size), count in there.items()]


def _strokes(count: Fraction, size: str) -> Cell:
    """Boxes where it is counted in whole containers, and not too many; else room to write."""
    return (
        {"rule": 15} if is_weighed(size) or count > _MOST_STROKES or count.denominator > 1 else {"strokes": int(count)}
    )
