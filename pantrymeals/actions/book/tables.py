"""The book's own tables for a file: lots, seasons, part jars, glass, what was said, the count sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from pantrymeals.reports.pages.count_sheet import COLUMNS, SheetLine, rows_of
from pantrymeals.reports.terminal.book_rows import GlassRow, LogRow, LotRow, MovementRow, PartRow
from pantrymeals.tables.shapes import PlainTable, frame_of

if TYPE_CHECKING:
    import pandas as pd

    from pantrymeals.plans.book import BookYear, ShelfDay

Frames = tuple["pd.DataFrame", ...]

_MOVEMENTS = {"day": "", "count": "of the size, + in, - out", "size": "", "reason": "", "place": "", "note": ""}
"""No tuple can have a field called 'count'."""


def _frame(table: str, row: Any, rows: Iterable[tuple[object, ...]], **units: str) -> pd.DataFrame:
    """Rows of the book under their own names. row: their class; units: of the columns that have one."""
    return frame_of(table, dict.fromkeys(row._fields, "") | units, rows)


def lots(rows: Iterable[LotRow]) -> Frames:
    """The lots of a product that are on hand, the oldest first."""
    return (_frame("lots", LotRow, rows, lot="its number", on_hand="of the size"),)


def history(years: Iterable[BookYear], movements: Iterable[MovementRow], days: Iterable[ShelfDay]) -> Frames:
    """A product's seasons, every movement of it, the newest first, and what stood on the shelf."""
    from pantrymeals.tables.stores import seasons, shelf

    return seasons(years), frame_of("movements", _MOVEMENTS, movements), shelf(days)


def part_jars(rows: Iterable[PartRow]) -> Frames:
    """What is open, how much of the container is left, and the last day of each clock."""
    return (_frame("part jars", PartRow, rows, left="of the size", eat_by="nothing: no clock"),)


def glass(rows: Iterable[GlassRow], lids: Iterable[tuple[str, int]]) -> Frames:
    """Jars by size, and flat lids by kind."""
    jars = _frame("jars", GlassRow, rows, full="jars", empties="jars", out="jars", owned="jars")
    return jars, frame_of("lids", {"kind": "", "on_hand": "lids"}, lids)


def log(rows: Iterable[LogRow]) -> Frames:
    """What was said, the newest first."""
    return (_frame("book log", LogRow, rows, entry="its number"),)


def count_sheet(lines: Iterable[SheetLine]) -> tuple[PlainTable]:
    """The count sheet to fill in; `count enter` reads it again."""
    return (PlainTable("count", COLUMNS, rows_of(lines)),)
