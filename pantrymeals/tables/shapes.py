"""What a table is: its name, what a row stands for, and its columns with their units; and the frame of its rows.

pandas is imported when the first frame is made, never before: most commands make none.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Generic, TypeAlias, TypeVar

if TYPE_CHECKING:
    import pandas as pd

Row = TypeVar("Row")
Written: TypeAlias = "pd.DataFrame | PlainTable"
"""What can be written as a file."""
_COLUMN = re.compile(r"(\w+)(?:\s+\(([^)]*)\))?,?")


class Shape(Generic[Row]):
    """A table: its name, what one row stands for, and the unit of each column, in order ('' for words and days).

    columns: as they are listed for people, 'product, on_hand (containers), why'. where: of a column that is not the
    row's own field of that name, the way to it ('need.a_year') or what finds it. The fields are those of the first of
    several things that make a row together.
    """

    def __init__(self, name: str, one_row: str, columns: str, **where: str | Callable[[Row], object]) -> None:
        self.name, self.one_row = name, one_row
        self.columns = {column: " ".join(unit.split()) for column, unit in _COLUMN.findall(columns)}
        self._readers = [_reader(where.get(column, column)) for column in self.columns]

    def frame(self, rows: Iterable[Row]) -> pd.DataFrame:
        """The rows as a data frame: one column of objects for each of ``columns``, exact Fractions kept.

        ``attrs``: 'table' is the table's name, 'units' the unit of each column. No rows: no rows, all columns.
        """
        return frame_of(self.name, self.columns, [[read(row) for read in self._readers] for row in rows])


def _reader(where: str | Callable[[Row], object]) -> Callable[[Row], object]:
    if not isinstance(where, str):
        return where
    way = where.split(".")

    def read(row: Row) -> object:
        """The field that the way leads to; nothing where something on the way is not there."""
        found: object = row[0] if isinstance(row, tuple) else row
        for field in way:
            found = None if found is None else getattr(found, field)
        return found

    return read


def frame_of(table: str, columns: Mapping[str, str] | Sequence[str], rows: Iterable[Iterable[object]]) -> pd.DataFrame:
    """A frame of objects from plain rows.

    columns: each column's unit by its name, in order; or names alone, for a file that we read again ourselves: then
    they are its heads as they stand.
    """
    import pandas as pd

    frame = pd.DataFrame([list(row) for row in rows], columns=list(columns), dtype=object)
    frame.attrs = {"table": table}
    if isinstance(columns, Mapping):
        frame.attrs["units"] = dict(columns)
    return frame


class PlainTable:
    """A table of texts that is only written: what a file asks of a frame, for a sheet that is wanted at once, without
    pandas."""

    def __init__(self, table: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
        self.attrs: Mapping[str, Any] = {"table": table}
        self.columns = list(columns)
        self._rows = [tuple(row) for row in rows]

    def __len__(self) -> int:
        return len(self._rows)

    def itertuples(self, *, index: bool = False, name: str | None = None) -> Iterator[tuple[str, ...]]:
        """Its rows; they have no index and no name."""
        assert not index
        assert name is None
        return iter(self._rows)


def heads(frame: Written) -> list[str]:
    """The heads of a frame's columns as a file has them, each with its unit: 'on hand (containers)'."""
    if "units" not in frame.attrs:
        return list(map(str, frame.columns))
    units: Mapping[str, str] = frame.attrs["units"]
    said = {name: name.replace("_", " ") for name in map(str, frame.columns)}
    return [f"{words} ({units[name]})" if units.get(name) else words for name, words in said.items()]
