"""Slips: what was bought outside the rules of a no-store month; each is added to the end of a file."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from fractions import Fraction
from pathlib import Path

from pantrymeals.cells import csv_cell, from_csv
from pantrymeals.errors import Mistake, MistakesInFiles, PantryError, Place
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.household_yaml import read_household_yaml
from pantrymeals.on_disk import append_lines
from pantrymeals.plans.no_store import Slip
from pantrymeals.units import take_number

FILE = "slips.csv"
HEADS = ("date", "what", "price_usd")
LONGEST_WORDS = 200
_SIGN = re.compile(r"^[^\d.,+\-\s]{1,4} ?(?=\d)")
"""A sign of money before a price, of four letters at most: $, NZD."""


def price_meant(text: str) -> Fraction:
    """'6.50', '$6.50' or 'NZD 6.50'. Raises PantryError when it is no price of 0 or more."""
    taken = take_number(_SIGN.sub("", text.strip()))
    if taken is None or taken[1] not in ("", "$", "£", "€", "usd", "USD") or taken[0] < 0:
        raise PantryError(f"'{text}' is no price; write it as 6.50")
    return taken[0]


def money_of(folder: Path) -> str:
    """The household's sign of money; '$' where its file cannot be read, which other commands say."""
    path = folder / "household.yaml"
    sheet = read_household_yaml(path, Gathering()) if path.exists() else None
    return sheet.money if sheet else "$"


def write_slip(folder: Path, slip: Slip) -> Path:
    """Add one slip to the household's file, on the disk before this returns.

    Raises PantryError when there is no such folder or it cannot be written.
    """
    words = " ".join(slip.what.split())
    if not words or len(words) > LONGEST_WORDS:
        raise PantryError(f"say in 1 to {LONGEST_WORDS} letters what was bought")
    path = folder / FILE
    line = _as_line((slip.day.isoformat(), words, f"{float(slip.price_usd):.2f}"))
    append_lines(path, _as_line(HEADS), line)
    return path


def _as_line(cells: tuple[str, ...]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerow(map(csv_cell, cells))
    return text.getvalue()


def read_slips(folder: Path) -> tuple[Slip, ...]:
    """Every slip of the folder, by day. Raises MistakesInFiles, naming each line that cannot be read."""
    path = folder / FILE
    if not path.exists():
        return ()
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise PantryError(f"{path}: cannot be read: {error}") from None
    slips, mistakes = [], []
    rows = csv.reader(text.splitlines())
    for row in rows:
        cells = [from_csv(cell.strip()) for cell in row]
        if not any(cells) or tuple(cells) == HEADS:
            continue
        try:
            slips.append(Slip(date.fromisoformat(cells[0]), cells[1], price_meant(cells[2])))
        except (ValueError, IndexError, PantryError):
            place = Place(FILE, rows.line_num, 1)
            mistakes.append(Mistake(place, "this is no slip", "a slip is: 2026-02-21,coffee,6.50"))
    if mistakes:
        raise MistakesInFiles(mistakes)
    return tuple(sorted(slips, key=lambda s: s.day))
