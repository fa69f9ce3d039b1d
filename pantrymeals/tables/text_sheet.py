"""A sheet of texts alone, such as the book's ten thousand rows, written row by row.

xlsxwriter looks at each cell twice, and asks what it holds and how it is to look; where all are plain texts that is
half of an export. How it keeps a sheet's rows is its own affair (names that begin with '_', and those below): where
they are others than these, the sheet is written cell by cell, as any other, and later.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet


class TextSheet(Worksheet):
    """A sheet whose rows below the heads are texts; an empty one has no cell."""

    str_table: Any
    fh: Any
    dim_rowmax: Any
    _rows: Sequence[str] = ()

    def takes_rows(self) -> bool:
        """Whether this xlsxwriter keeps a sheet as we know it."""
        return (
            hasattr(Worksheet, "_write_rows")
            and all(hasattr(self, name) for name in ("fh", "dim_rowmax", "str_table"))
            and all(hasattr(self.str_table, name) for name in ("count", "_get_shared_string_index"))
        )

    def take(self, rows: Iterable[Sequence[str]], cell: Callable[[str], object], columns: int) -> None:
        """The rows below the heads. cell: what stands in the cell of a text; None for nothing."""
        table, ends, used = self.str_table, {"": ""}, 0
        letters = [f'<c r="{xl_col_to_name(place)}' for place in range(columns)]
        written = []
        for number, row in enumerate(rows, start=2):
            cells = []
            for letter, text in zip(letters, row, strict=True):
                end = ends.get(text)
                if end is None:
                    held = cell(text)
                    end = "" if held is None else f'" t="s"><v>{table._get_shared_string_index(held)}</v></c>'
                    ends[text] = end
                if end:
                    cells.append(f"{letter}{number}{end}")
            used += len(cells)
            written.append(f'<row r="{number}">{"".join(cells)}</row>' if cells else "")
        table.count += used - sum(map(bool, ends.values()))  # each text's first cell it has counted
        self._rows = written
        self.dim_rowmax = max((number for number, row in enumerate(written, start=1) if row), default=0)

    def _write_rows(self) -> None:
        super()._write_rows()
        self.fh.write("".join(self._rows))
