"""Keep next season's list as the household's own: put-up-list.csv, by which what comes in is reckoned from then on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from pantrymeals.actions.season import SeasonSheet
from pantrymeals.cells import csv_cell
from pantrymeals.errors import PantryError
from pantrymeals.files.put_up_list import COLUMNS, FILE
from pantrymeals.on_disk import write_safely
from pantrymeals.tables.sheets import rows_as_csv
from pantrymeals.words import plural


def accept(folder: Path, sheet: SeasonSheet) -> list[str]:
    """Write the list as it fits into the household's folder; what to say of it.

    A list of before is kept as 'put-up-list former 1.csv'. Raises PantryError where nothing can be written.
    """
    rows = list(_rows(sheet))
    path, former = folder / FILE, None
    try:
        if path.exists():
            former = _former(path)
            write_safely(former, path.read_bytes())
        cells = [[csv_cell(cell) for cell in row] for row in rows]
        write_safely(path, rows_as_csv(COLUMNS, cells))
    except OSError as error:
        raise PantryError(f"{path}: cannot be written: {error.strerror}; the list was not accepted") from None
    put_up = len({row[0] for row in rows if row[2] != "0"})
    none = len({row[0] for row in rows if row[2] == "0"})
    lines = [
        f"Accepted for the season of {sheet.wanted.called()}: {plural(put_up, 'product')} to put up, none of {none} "
        f"others; kept in {path.name}, which may be edited.",
        "Menus, run-out and all else reckon with what comes in by it; calendar.yaml speaks of the rest.",
    ]
    return lines + ([f"The list of before is kept as {former.name}."] if former else [])


def _rows(sheet: SeasonSheet) -> Iterator[tuple[str, str, str, str, str]]:
    """Product, size, count, day and note: a row for each week in which it comes in; 0 of what is left alone."""
    days: dict[tuple[str, date], int] = {}
    for item in sheet.fitted.days:
        days[item.product, item.day] = days.get((item.product, item.day), 0) + item.loads
    for line in sheet.wanted.lines:
        ours = [(day, loads) for (product, day), loads in sorted(days.items()) if product == line.product]
        if line.product not in sheet.fitted.loads:  # no limit touches it: it comes in when its crop does
            ours = [(line.first, line.loads)]
        for day, loads in ours:
            yield line.product, line.size, str(loads * line.load), day.isoformat(), ""
        if not ours:
            yield line.product, line.size, "0", "", "none of it fits"
    for name, _ in sheet.wanted.none:
        yield name, sheet.household.products[name].sizes[0].name, "0", "", "none this season"


def _former(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.stem} former {number}{path.suffix}")).exists():
        number += 1
    return name
