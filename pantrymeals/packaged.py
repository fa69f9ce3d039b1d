"""The published tables that come with the program, as they lie in ``data/``."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).with_name("data")


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table, by their columns."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
