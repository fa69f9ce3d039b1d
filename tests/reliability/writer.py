"""Writes entries one after another and says each one's key once the book has acknowledged it.

Run as: python writer.py BOOK PREFIX [HOW_MANY]. Each entry has three lines, so that half an entry
would show. A PantryError is said as 'trouble: ...' and ends the run.
"""

from __future__ import annotations

import sys
from datetime import date
from fractions import Fraction
from itertools import count
from pathlib import Path

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.lines import AnyLine, GlassLine, Line, LotFacts, NewEntry
from pantrymeals.book.writing import write
from pantrymeals.errors import PantryError

DAY = date(2026, 1, 17)


def lines(prefix: str, number: int) -> list[AnyLine]:
    lot = LotFacts("Applesauce", "qt", "2025-10-06", prefix if number % 7 == 0 else "")
    return [
        Line(lot, "N1", Fraction(2), "put up"),
        Line(lot, "N1", Fraction(-1), "pulled"),
        GlassLine("lids", "regular", -1),
    ]


def run(book: Book, prefix: str, many: int | None) -> None:
    for number in range(many) if many is not None else count():
        key = f"{prefix}-{number}"
        write(book, NewEntry(DAY, "put up", key=key), lambda _, n=number: lines(prefix, n))
        sys.stdout.write(key + "\n")
        sys.stdout.flush()


def main() -> None:
    path, prefix, *many = sys.argv[1:]
    try:
        with open_book(Path(path)) as book:
            run(book, prefix, int(many[0]) if many else None)
    except PantryError as error:
        sys.stdout.write(f"trouble: {error}\n")


if __name__ == "__main__":
    main()
