"""Frames as files: CSV, one table to a file, and spreadsheets, one table to a sheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache
from pathlib import Path

from pantrymeals.cells import LONGEST_TEXT, csv_cell, plain_cell
from pantrymeals.errors import PantryError
from pantrymeals.on_disk import write_safely
from pantrymeals.tables.shapes import PlainTable, Written, heads

_NO_CELL_HOLDS = r"[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|_x[0-9A-Fa-f]{4}_|x005F_"
"""Letters that XML 1.0 has no place for (2.2, Char); and what a workbook writes in their stead (ST_Xstring).
Compiled, which takes its time, for a spreadsheet alone."""
_WIDTH = 16
_MOST_ROWS = 1_048_576
"""Rows of a spreadsheet, the heads among them: ECMA-376, Part 1, 18.3.1.73 (from memory)."""


def as_csv(frame: Written) -> bytes:
    """One table as CSV (UTF-8): heads with their units, exact numbers, days as 2026-01-17, no cell a formula."""
    rows = frame.itertuples(index=False, name=None)
    return rows_as_csv(map(csv_cell, heads(frame)), (map(csv_cell, row) for row in rows))


def rows_as_csv(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> bytes:
    """Cells under their heads as CSV; without pandas, for the copy of the book that is made every evening."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows(rows)
    return out.getvalue().encode("utf-8")


def as_xlsx(frames: Sequence[Written]) -> bytes:
    """A workbook with one sheet a table, its heads frozen at the top. Text stays text: '=...' is no formula.

    Numbers are numbers, of 15 digits or so, as spreadsheets have them. Raises PantryError where a text does not go
    into a cell, or the rows into a sheet.
    """
    import xlsxwriter

    from pantrymeals.tables.text_sheet import TextSheet

    out = io.BytesIO()
    options = {
        "strings_to_formulas": False, "strings_to_urls": False, "default_date_format": "yyyy-mm-dd", "in_memory": True,
    }  # fmt: skip
    with xlsxwriter.Workbook(out, options) as book:
        bold = book.add_format({"bold": True})
        for frame in frames:
            if len(frame) >= _MOST_ROWS:
                raise PantryError(f"{len(frame)} rows do not go into one sheet; write a .csv instead")
            sheet = book.add_worksheet(frame.attrs["table"], TextSheet)
            sheet.freeze_panes(1, 0)
            sheet.set_column(0, len(frame.columns) - 1, _WIDTH)
            sheet.write_row(0, 0, heads(frame), bold)
            if isinstance(frame, PlainTable) and sheet.takes_rows():
                sheet.take(frame.itertuples(), _text_cell, len(frame.columns))
                continue
            for number, row in enumerate(frame.itertuples(index=False, name=None), start=1):
                for place, value in enumerate(row):
                    cell = _text_cell(value) if isinstance(value, str) else _sheet_cell(value)
                    if isinstance(cell, str):
                        sheet.write_string(number, place, cell)
                    elif cell is not None:
                        sheet.write(number, place, cell)
    return out.getvalue()


@lru_cache(10_000)
def _text_cell(text: str) -> str | int | float | date | None:
    """As below; most of a book's texts say what another has said."""
    return _sheet_cell(text)


def _sheet_cell(value: object) -> str | int | float | date | None:
    cell = plain_cell(value)
    if isinstance(cell, str) and (len(cell) > LONGEST_TEXT or re.search(_NO_CELL_HOLDS, cell)):
        shown = "".join(c if c.isprintable() else " " for c in cell[:40])
        raise PantryError(f"'{shown}...' does not go into a spreadsheet's cell; write a .csv instead")
    return cell


def write_tables(frames: Sequence[Written], to_csv: Path | None, to_xlsx: Path | None) -> tuple[Path, ...]:
    """Write tables where a file is named; the files written.

    to_csv: the first table goes there, each further one into a file of its own beside it: 'menu-pull-list.csv'.
    Raises PantryError when a file cannot be written.
    """
    written = []
    if to_csv is not None:
        for number, frame in enumerate(frames):
            tail = frame.attrs["table"].replace(" ", "-")
            path = to_csv if number == 0 else to_csv.with_name(f"{to_csv.stem}-{tail}{to_csv.suffix}")
            write_safely(path, as_csv(frame))
            written.append(path)
    if to_xlsx is not None:
        write_safely(to_xlsx, as_xlsx(frames))
        written.append(to_xlsx)
    return tuple(written)
