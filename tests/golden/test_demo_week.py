"""Whole reports of a stored week of the demo, compared as text.

The stored plan is what `menu --larder demo --json` printed once: menus that are equally good differ
between solvers, so reports are judged from a plan that stands still. Renew on purpose, after looking
at every change: RENEW_GOLDEN=1 python -m pytest tests/golden
"""

from __future__ import annotations

import json
import os
import re
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.menu import lay_out, menu_answer, with_cover
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.forecast.foresee import foresee
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household
from pantrymeals.reports.json.plan import menu_json, plan_in, read_menu_file
from pantrymeals.reports.pages.menu import menu_pdf
from pantrymeals.reports.pages.typeset import Printing
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet
from tests.outside.printed import pages_of

HERE = Path(__file__).parent
STORED = HERE / "demo_week.json"


@pytest.fixture(scope="module")
def larder(demo_folder: Path) -> Larder:
    return open_with_book(demo_folder, date(2026, 1, 17), date(2026, 1, 17))


@pytest.fixture(scope="module")
def household(larder: Larder) -> Household:
    return larder.household


@pytest.fixture(scope="module")
def sheet(larder: Larder) -> MenuSheet:
    plan = plan_in(read_menu_file(STORED.read_text(encoding="utf-8")))
    return with_cover(lay_out(larder.household, plan, pace=larder.pace))


def agrees(name: str, made: str) -> None:
    file = HERE / name
    if os.environ.get("RENEW_GOLDEN"):
        file.write_text(made, encoding="utf-8")
    assert made == file.read_text(encoding="utf-8")


def test_the_stored_week_keeps_every_rule(sheet: MenuSheet) -> None:
    assert sheet.broken == ()


def test_the_week_as_a_cook_reads_it(sheet: MenuSheet) -> None:
    agrees("demo_week.txt", menu_answer(sheet).text(colour=False))


def test_the_week_in_full(sheet: MenuSheet) -> None:
    agrees("demo_week_full.txt", menu_answer(sheet, full=True).text(colour=False))


@pytest.mark.parametrize("full", [False, True])
def test_the_week_with_colour_says_the_same_words(sheet: MenuSheet, full: bool) -> None:
    coloured = re.sub(r"\x1b\[[0-9;]*m", "", menu_answer(sheet, full=full).text(colour=True))
    assert max(len(line) for line in coloured.splitlines()) <= 80
    assert coloured.replace("·", "-") == menu_answer(sheet, full=full).text(colour=False)


def test_the_sheet_to_hang_up_fits_110_lines_of_80_columns(sheet: MenuSheet) -> None:
    lines = menu_answer(sheet).text(colour=False).splitlines()
    assert len(lines) <= 110
    assert max(map(len, lines)) <= 80


def test_the_week_as_json(sheet: MenuSheet) -> None:
    agrees("demo_week.json", menu_json(sheet) + "\n")


def test_the_week_in_the_document_of_weeks(sheet: MenuSheet, larder: Larder) -> None:
    after = household_after(sheet.household, sheet.plan)
    done = WeeksSheet((sheet,), foresee(after, larder.pace))
    agrees("demo_weeks.md", weeks_text(done))


def test_the_week_on_paper(sheet: MenuSheet) -> None:
    """The week and its pull list are two pages, on either paper; in large letters all its days still are one."""
    for printing in (Printing("letter"), Printing("a4")):
        assert len(pages_of(menu_pdf(sheet, printing))) == 2
    large = pages_of(menu_pdf(sheet, Printing("letter", large=True)))
    assert "The menu at" in large[0]
    assert all(day in large[0] for day in ("Sat 17", "Sun 18", "Mon 19", "Tue 20", "Wed 21", "Thu 22", "Fri 23"))
    assert "Open already" in large[1]
    assert "The pull list" in large[2]


def test_the_json_has_the_line_that_heads_the_sheet(sheet: MenuSheet) -> None:
    told = json.loads(menu_json(sheet))["food_lasts"]
    line = next(s for s in (HERE / "demo_week.txt").read_text(encoding="utf-8").splitlines() if "food lasts" in s)
    figures = [int(told[key]) for key in ("meal_days", "energy_days", "protein_days")]
    assert [int(n) for n in re.findall(r"(\d+) days", line)] == figures
