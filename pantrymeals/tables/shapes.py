"""What a table is: its name, what a row stands for, and its columns with their units; and the frame of its rows.

pandas is imported when the first frame is made, never before: most commands make none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    import pandas as pd

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Column(Generic[Row]):
    """One column: its name, its unit ('' for words and days), and where a row has it (else its field of that name)."""

    name: str
    unit: str = ""
    get: Callable[[Row], object] | None = None


@dataclass(frozen=True, slots=True)
class Shape(Generic[Row]):
    """A table: its name, what one row stands for, and its columns in order."""

    name: str
    one_row: str
    columns: tuple[Column[Row], ...]

    def frame(self, rows: Iterable[Row]) -> pd.DataFrame:
        """The rows as a data frame: one column of objects for each of ``columns``, exact Fractions kept.

        ``attrs``: 'table' is the table's name, 'units' the unit of each column. No rows: no rows, all columns.
        """
        readers = [column.get or attrgetter(column.name) for column in self.columns]
        return frame_of(
            self.name, {c.name: c.unit for c in self.columns}, [[read(row) for read in readers] for row in rows]
        )


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


def heads(frame: pd.DataFrame) -> list[str]:
    """The heads of a frame's columns as a file has them, each with its unit: 'on hand (containers)'."""
    if "units" not in frame.attrs:
        return list(map(str, frame.columns))
    units: Mapping[str, str] = frame.attrs["units"]
    said = {name: name.replace("_", " ") for name in map(str, frame.columns)}
    return [f"{words} ({units[name]})" if units.get(name) else words for name, words in said.items()]
