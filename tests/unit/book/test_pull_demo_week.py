"""The demo's stored week, pulled: its book then has open what the plan says, with the same last days."""

from __future__ import annotations

import shutil
from datetime import date
from fractions import Fraction
from pathlib import Path

from typer.testing import CliRunner

from pantrymeals.actions.larder import load_larder
from pantrymeals.cli.main import app
from pantrymeals.larder.opened_life import life_of
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household, PartJar
from pantrymeals.reports.json.plan import plan_in, read_menu_file

STORED = Path(__file__).parents[2] / "golden" / "demo_week.json"


Jar = tuple[str, str, date, date | None]
"""Product, size, day opened, last day."""


def _open_then(household: Household, parts: tuple[PartJar, ...], day: date) -> dict[Jar, Fraction]:
    """What is open and not past on a day, and how much of it is left (base measure)."""
    out: dict[Jar, Fraction] = {}
    for part in parts:
        life = life_of(household.products[part.product], part)
        if not life.past(day):
            key = (part.product, part.size, part.opened, life.last)
            out[key] = out.get(key, Fraction(0)) + part.left
    return out


def test_what_is_open_after_the_week_is_the_same_in_the_plan_and_in_the_book(demo_folder: Path, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    first = date(2026, 1, 17)
    plan = plan_in(read_menu_file(STORED.read_text(encoding="utf-8")))
    before = load_larder(folder, first, first)
    after = household_after(before, plan)
    done = CliRunner().invoke(app, ["pull", str(STORED), "--larder", str(folder), "--day", str(first)])
    assert done.exit_code == 0, done.output
    book = load_larder(folder, first, first)
    # What comes in only within the week (Tuesday's loaves) is not in the book on Saturday: a pull takes what is there
    # of it already, of which standing use would have had its part by then, and opens it the same.
    to_come = {(o.product, o.day) for o in plan.openings if o.lot and o.lot.put_up and o.lot.put_up > first}
    all_open = _open_then(before, after.part_jars, after.today)
    planned = {jar: left for jar, left in all_open.items() if (jar[0], jar[2]) not in to_come}
    in_book = _open_then(before, book.part_jars, after.today)
    assert planned.items() <= in_book.items() <= all_open.items()
    assert len(planned) > 3
