"""The rows of a list: of a CSV file or spreadsheet as an office program saves it, or of plain lines."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct

from pantrymeals.cells import from_csv, spreadsheet_rows
from pantrymeals.errors import PantryError
from pantrymeals.on_disk import refuse_no_file

MOST_BYTES = 2_000_000
_MOST_ROWS = 5_000
_TABLES = (".csv", ".tsv")
_SHEETS = (".xlsx", ".xlsm")


class ListLine(Struct, frozen=True):
    """One row of a list that is not blank: its number as a person counts (from 1), and its cells."""

    number: int
    cells: tuple[str, ...]

    @property
    def written(self) -> str:
        """The row as it stands, its cells with commas between them."""
        return ", ".join(cell for cell in self.cells if cell)


class Listed(Struct, frozen=True):
    """The rows of a list. table: whether its cells stand in columns. encoding: said where it was not UTF-8."""

    lines: tuple[ListLine, ...]
    table: bool
    encoding: str = ""


def read_list(path: Path) -> Listed:
    """Every row of a file. Raises PantryError where it cannot be read."""
    refuse_no_file(path)
    try:
        if path.stat().st_size > MOST_BYTES:
            raise PantryError(f"{path} is larger than any list of a larder")
        data = path.read_bytes()
    except OSError as error:
        raise PantryError(f"{path} cannot be read ({error.strerror}); name the file with your list") from None
    if path.suffix.casefold() in _SHEETS:
        return Listed(_numbered(spreadsheet_rows(path)), True)
    if path.suffix.casefold() in (".xls", ".ods", ".numbers"):
        raise PantryError(f"{path}: save it as .xlsx or .csv first; this kind of spreadsheet is not read")
    text, encoding = decoded(data)
    return lines_of(text, table=path.suffix.casefold() in _TABLES, encoding=encoding)


def lines_of(text: str, *, table: bool = False, encoding: str = "") -> Listed:
    """The rows of a text: cells where it is a table (or every line has tabs), else whole lines."""
    tabbed = [line.count("\t") for line in text.splitlines() if line.strip()]
    if not table and not (tabbed and min(tabbed) > 0):
        return Listed(_numbered([line] for line in text.splitlines()), False, encoding)
    mark = "\t" if tabbed and min(tabbed) > 0 else _mark(text)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    return Listed(_numbered(rows), True, encoding)


def decoded(data: bytes) -> tuple[str, str]:
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace"), "it is not UTF-8; read as the letters of Windows"


def _mark(text: str) -> str:
    """The mark between cells: the one that most lines hold as often as another."""
    lines = [line for line in text.splitlines() if line.strip()]
    return max((";", ",", "\t"), key=lambda mark: sum(line.count(mark) > 0 for line in lines) + (mark == ";") / 2)


def _numbered(rows: Iterable[Iterable[str]]) -> tuple[ListLine, ...]:
    lines = []
    for number, row in enumerate(rows, start=1):
        cells = tuple(" ".join(from_csv(cell.strip()).split()) for cell in row)
        if any(cells):
            lines.append(ListLine(number, cells))
        if len(lines) > _MOST_ROWS:
            raise PantryError(f"this list has more than {_MOST_ROWS} lines; a larder has fewer")
    return tuple(lines)
