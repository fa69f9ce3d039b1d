"""DEVELOPERS.md lists the columns of every table of `pantrymeals.tables`, as they are."""

from __future__ import annotations

import os
import re
from importlib import import_module
from pathlib import Path

from pantrymeals import tables
from pantrymeals.tables.shapes import Shape
from pantrymeals.tables.stores import ON_HAND, USE_BY_WEEK

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"
LIST = re.compile(r"(<!-- tables -->\n)(.*?)(<!-- end of tables -->)", re.DOTALL)


def columns(units: dict[str, str]) -> str:
    return ", ".join(f"{name} ({unit})" if unit else name for name, unit in units.items())


def described() -> str:
    """One line a table: its name, what a row is, its columns with their units."""
    lines = [
        f"- **on hand**: one row, a product. {columns(ON_HAND)}.",
        f"- **used by week**: one row, a product in a week in which any was used or lost. {columns(USE_BY_WEEK)}.",
    ]
    for name in dict.fromkeys(getattr(tables, each).__module__ for each in tables.__all__):
        for shape in vars(import_module(name)).values():
            if isinstance(shape, Shape):
                lines.append(f"- **{shape.name}**: one row, {shape.one_row}. {columns(shape.columns)}.")
    return "\n".join(sorted(dict.fromkeys(lines))) + "\n"


def test_every_column_of_every_table_is_written_down() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    if os.environ.get("RENEW_GOLDEN"):
        text = LIST.sub(lambda m: m[1] + described() + m[3], text)
        DEVELOPERS.write_text(text, encoding="utf-8")
    found = LIST.search(text)
    assert found is not None
    assert found[2] == described()
    assert len(found[2].splitlines()) >= 28
