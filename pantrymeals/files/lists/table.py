"""Lines of a list as cells under their heads; which rows are heads, headings and totals."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from pantrymeals.files.gathering import fold
from pantrymeals.files.lists.habits import has_number, is_a_numbered_room
from pantrymeals.files.lists.rows import Listed, ListLine
from pantrymeals.files.lists.said import LineSaid, has_measure

HEADS: Mapping[str, tuple[str, ...]] = {
    "product": ("product", "item", "items", "what", "name", "food", "contents", "description", "thing"),
    "count": (
        "count", "number", "no", "qty", "quantity", "how many", "amount", "on hand", "left", "total", "#", "jars",
        "num", "have", "in stock",
    ),
    "size": ("size", "unit", "units", "container", "jar size", "jar", "measure", "container size", "packed in"),
    "put_up": (
        "put up", "put_up", "date", "when", "made", "year", "bottled", "canned", "frozen", "day", "date put up",
        "date made", "date bottled", "date canned", "packed", "dated",
    ),
    "place": ("place", "where", "location", "shelf", "stored", "room", "kept", "store", "where kept", "freezer"),
    "load": ("load", "batch", "canner load"),
    "source": ("source", "recipe", "tested source"),
    "note": ("note", "notes", "comment", "comments", "remarks", "remark"),
}  # fmt: skip
_TOTAL = re.compile(r"^\W*(grand |sub[- ]?)?(totals?|sum|altogether|in all)\b", re.IGNORECASE)


class Columns(Struct, frozen=True):
    """Which column of a table has what. row: the row of heads; other: heads that were not understood, by column."""

    row: int
    of: Mapping[str, int]
    other: Mapping[int, str]


def columns_of(listed: Listed) -> Columns | None:
    """The columns of a table, by the first row that names a product and something else; None where none does."""
    if not listed.table:
        return None
    by_word = {word: column for column, words in HEADS.items() for word in words}
    for line in listed.lines[:20]:
        found: dict[str, int] = {}
        other: dict[int, str] = {}
        for at, cell in enumerate(line.cells):
            column = _column_of(fold(cell).strip(" :."), by_word)
            if column is not None and column not in found:
                found[column] = at
            elif cell:
                other[at] = cell
        if "product" in found and len(found) > 1:
            return Columns(line.number, found, other)
    return None


def _column_of(head: str, by_word: Mapping[str, str]) -> str | None:
    """The column of a head, by its whole text or, where that is none, by a first or last word of it: 'Bottled on'."""
    words = head.split()
    if head in by_word or not 1 < len(words) <= 3:
        return by_word.get(head)
    return next((by_word[word] for word in (words[0], words[-1]) if len(word) > 3 and word in by_word), None)


def cells_under(line: ListLine, columns: Columns) -> dict[str, str]:
    """A row's cells by what they are; cells under other heads are notes with their head before them."""
    cells = {name: line.cells[at] if at < len(line.cells) else "" for name, at in columns.of.items()}
    more = [
        f"{head}: {line.cells[at]}" for at, head in columns.other.items() if at < len(line.cells) and line.cells[at]
    ]
    cells["note"] = "; ".join(filter(None, (cells.get("note", ""), *more)))
    return cells


def is_total(line: ListLine, name: str, count: Fraction | None, above: Fraction) -> bool:
    """Whether a row is a total: it says so, or it has no name and the sum of the counts above it."""
    if _TOTAL.search(name) or any(_TOTAL.search(cell) for cell in line.cells):
        return True
    return not name and count is not None and count == above and above > 0


def is_heading(line: ListLine, said: LineSaid) -> bool:
    """Whether a row has words in one cell alone, no measure and no number: 'FREEZER #1', 'Bottom shelf:'."""
    filled = [cell for cell in line.cells if cell]
    if len(filled) == 1 and is_a_numbered_room(filled[0]):
        return True
    if (
        said.count is not None
        or said.day is not None
        or len(filled) != 1
        or said.size
        or said.box
        or (said.place and said.note)
    ):
        return False
    words = said.name if said.place else filled[0]
    return not has_number(words) and not has_measure(words)
