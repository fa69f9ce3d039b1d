"""The count sheet: what the book has at a place, with room to write what the shelf shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.reports.pages.typeset import set_pages
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.units import as_words
from pantrymeals.words import day_and_year

if TYPE_CHECKING:
    from pantrymeals.reports.terminal.paper import Paper

COLUMNS = ("place", "product", "size", "put_up", "load", "state", "book", "shelf", "lot", "as_of")
"""shelf is for the household to fill in; lot and as_of let the book know the line again."""


@dataclass(frozen=True, slots=True)
class SheetLine:
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


def exact_words(count: Fraction) -> str:
    """A count that can be read back: '12', '13 1/2', or a decimal."""
    words = as_words(count)
    return words if count.denominator in (1, 2, 3, 4, 8) else f"{float(count):.3f}".rstrip("0")


def rows_of(lines: Iterable[SheetLine]) -> list[list[str]]:
    """The sheet's rows under COLUMNS, the shelf left blank."""
    return [
        [
            x.place,
            x.product,
            x.size,
            x.put_up,
            x.load,
            x.state,
            exact_words(x.book),
            "",
            str(x.lot),
            str(x.as_of),
        ]
        for x in lines
    ]


def write_sheet(paper: Paper, lines: Sequence[SheetLine], names: dict[str, str], day: date) -> None:
    """The sheet on a terminal, place by place in walking order. names: each place's name by its code."""
    for place, found in groupby(lines, key=lambda line: line.place):
        paper.heading(f"{names.get(place, place) or 'no place'} ({place})" if place else "no place written down")
        rows = [
            (
                (x.product, f"{put_up_words(x.put_up)}{f', {x.state}' if x.state else ''}",
                 f"{exact_words(x.book)} {x.size}", "______"),
                x.load,
            )
            for x in found
        ]  # fmt: skip
        paper.ledger(("Product", "Put up", "In the book", "Shelf"), rows, right=(2,))
    paper.blank()
    paper.line(f"Counted on {day_and_year(day)} by ______________", indent=0)
    paper.line(STANDING_LINE)


def sheet_page(lines: Sequence[SheetLine], names: dict[str, str], household: str, day: date) -> bytes:
    """The sheet as PDF, a table for each place, with boxes to write in."""
    places = [
        {
            "name": names.get(place, place) or "No place written down",
            "code": place,
            "rows": [
                {
                    "product": x.product,
                    "put_up": put_up_words(x.put_up) + (f", {x.state}" if x.state else ""),
                    "load": x.load,
                    "lot": str(x.lot),
                    "book": f"{exact_words(x.book)} {x.size}",
                }
                for x in found
            ],
        }
        for place, found in groupby(lines, key=lambda line: line.place)
    ]
    data = {
        "household": household,
        "day": day_and_year(day),
        "iso": day.isoformat(),
        "places": places,
        "foot": STANDING_LINE,
    }
    return set_pages("count_sheet.typ", data)
