"""Tables as a spreadsheet wrote them: rows of named cells, each cell with its place.

A place's column is the cell's number in its row, counted from 1 (not a letter's).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from msgspec import Struct

from pantrymeals.cells import from_csv
from pantrymeals.errors import Place
from pantrymeals.files.gathering import Gathering, fold, nearest, shown
from pantrymeals.files.text_files import text_of_file

T = TypeVar("T")
D = TypeVar("D")
_BLANK = frozenset({"", "-", "–", "—", "n/a", "N/A", "n/A", "N/a"})
_LONGEST_CELL = "field larger than field limit"


class Row(Struct, frozen=True):
    """One row: its cells by column name, blanks as ''."""

    file: str
    line: int
    cells: Mapping[str, str]
    ordinals: Mapping[str, int]
    gathering: Gathering

    @property
    def place(self) -> Place:
        """Where the row begins."""
        return Place(self.file, self.line)

    def place_of(self, column: str) -> Place:
        """Where a cell stands; the row's own place when the table lacks that column."""
        return Place(self.file, self.line, self.ordinals.get(column, 0))

    def text(self, column: str) -> str:
        """A cell's text, '' when blank."""
        return self.cells.get(column, "")

    def read(self, column: str, read: Callable[[str], T], otherwise: D) -> T | D:
        """What ``read`` makes of a cell; ``otherwise`` when it is blank or wrong (then written down)."""
        text = self.text(column)
        if not text:
            return otherwise
        return self.gathering.attempt(self.place_of(column), read, text, otherwise)

    def say(self, column: str, wrong: str, right: str = "") -> None:
        """Write down a mistake at a cell."""
        self.gathering.say(self.place_of(column), wrong, right)

    def has(self, *columns: str) -> bool:
        """Whether these cells are all filled; each that is not is written down."""
        missing = [c for c in columns if not self.text(c)]
        for column in missing:
            self.say(column, f"there is no {column}", "every row needs one")
        return not missing


def read_table(
    path: Path, name: str, columns: Sequence[str], needed: Sequence[str], gathering: Gathering
) -> list[Row] | None:
    """All rows of a file; None when it could not be read as a table at all.

    columns: every column that may stand in the first line, in any order.
    needed: those that must.
    """
    text = text_of_file(path, name, gathering)
    return None if text is None else parse_table(text, name, columns, needed, gathering)


def parse_table(
    text: str, name: str, columns: Sequence[str], needed: Sequence[str], gathering: Gathering
) -> list[Row] | None:
    """All rows of a text; None when it could not be read as a table at all."""
    before = len(gathering)
    lines = _numbered_lines(text, name, gathering)
    header_line, header = next(lines, (1, []))
    if len(gathering) > before:
        return None
    if not header:
        gathering.say(Place(name, 1), "this file is empty", f"its first line is {','.join(needed)} and so on")
        return None
    ordinals = _ordinals(header, header_line, name, columns, gathering)
    missing = [c for c in needed if c not in ordinals]
    for column in missing:
        gathering.say(Place(name, header_line), f"the column {column} is missing", "add it to the first line")
    if missing:
        return None
    rows = []
    for line, cells in lines:
        if len(cells) > len(header) and any(cells[len(header) :]):
            _say_too_many(Place(name, line, len(header) + 1), cells, len(header), gathering)
            continue
        named = {c: cells[i - 1] for c, i in ordinals.items() if i <= len(cells)}
        rows.append(Row(name, line, named, ordinals, gathering))
    return rows


def _numbered_lines(text: str, name: str, gathering: Gathering) -> Iterator[tuple[int, list[str]]]:
    """(line it begins on, cells) of every row that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter_of(text), strict=True)
    while True:
        line = reader.line_num + 1
        try:
            raw = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            gathering.say(Place(name, line), *_csv_in_plain_words(str(error)))
            return
        cells = ["" if c.strip() in _BLANK else from_csv(c.strip()) for c in raw]
        if any(cells):
            yield line, cells


def _csv_in_plain_words(error: str) -> tuple[str, str]:
    if "unexpected end" in error:
        return "a quote mark opens in this row and is never closed", "close it before the next comma"
    if "expected after" in error:
        return "text follows a closing quote mark", 'write a quote mark inside a text twice: ""'
    if _LONGEST_CELL in error:
        return "a cell of this row is far too long", "see whether a quote mark is never closed"
    return f"this row cannot be read ({error})", "see its quote marks"


def delimiter_of(text: str) -> str:
    """The mark between cells: the one the first line that is not blank holds most often outside quotes."""
    first = next((line for line in io.StringIO(text) if line.strip()), "")
    bare = "".join(first[:5000].split('"')[::2])
    return max((",", ";", "\t"), key=bare.count)


def _ordinals(header: list[str], line: int, name: str, columns: Sequence[str], gathering: Gathering) -> dict[str, int]:
    out: dict[str, int] = {}
    for ordinal, written in enumerate(header, start=1):
        column = fold(written).replace(" ", "_")
        place = Place(name, line, ordinal)
        if not column:
            continue
        if column in out:
            gathering.say(place, f"the column {column} stands here twice", "keep one")
        elif column in columns:
            out[column] = ordinal
        else:
            near = nearest(column, columns)
            right = f"did you mean '{near}'?" if near else f"the columns are {', '.join(columns)}"
            gathering.say(place, f"{shown(written)} is not a column of {name}", right)
    return out


def _say_too_many(place: Place, cells: list[str], columns: int, gathering: Gathering) -> None:
    wrong = f"this row has {len(cells)} cells, and the first line names {columns}"
    gathering.say(place, wrong, 'put a text that holds a comma in quotes, such as "Potatoes, main crop"')
