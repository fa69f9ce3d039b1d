"""The packaged tables as they are shipped, and what other publications print of the same (``second/``)."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

Row = Mapping[str, str]
Packaged = Mapping[str, list[dict[str, str]]]
"""The rows of the packaged tables, by the file's name without its ending."""
SECOND = Path(__file__).parent / "second"
DATA = Path(__file__).parents[2] / "pantrymeals" / "data"


def packaged() -> dict[str, list[dict[str, str]]]:
    """The tables as they are shipped."""
    return {path.stem: read_rows(path) for path in sorted(DATA.glob("*.csv"))}


def read_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def second(name: str) -> tuple[Row, ...]:
    """The rows of a second source's table."""
    return tuple(read_rows(SECOND / f"{name}.csv"))


def source_of(row: Row) -> str:
    """The publication that a row's letter stands for."""
    return _sources()[row["source"]]


@cache
def _sources() -> Mapping[str, str]:
    return {row["code"]: row["source"] for row in second("sources")}


def span(row: Row, low: str = "low", high: str = "high") -> tuple[float, float]:
    return float(row[low]), float(row[high])
