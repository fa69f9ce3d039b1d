"""What five households are told to put up, how long it lasts and what a few days without the store come to.

A couple in its first month, a table in its first year, a hungry one (6 parts of 100 of its stock), a southern one and one
with a long book: each answer as it is printed at 80 columns. The no-store days are planned by work and not by the clock.
Renew on purpose, after reading every line: RENEW_GOLDEN=1 python -m pytest tests/golden
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.no_store import make_no_store, no_store_answer
from pantrymeals.actions.run_out import Chance, Larder, open_with_book, run_out_answer
from pantrymeals.actions.season import SeasonAsked, question_of, season_answer
from pantrymeals.records import Movement
from tests.unit.cli.test_dish_add import KITCHENS, begun

TODAY = date(2026, 1, 17)
STORED = Path(__file__).parent / "households"
NO_STORE_DAYS = 3


def first_month(_demo: Path, folder: Path) -> Larder:
    """An elderly couple with pints on the day of its first count."""
    begun(folder, "pints.txt", "pints.csv")
    return _with_season(folder, "pints")


def southern(_demo: Path, folder: Path) -> Larder:
    """A metric four in the south on the day of its first count."""
    begun(folder, "southern.txt", "southern-list.txt", "2=Tomatoes, crushed")
    return _with_season(folder, "southern")


def _with_season(folder: Path, which: str) -> Larder:
    (folder / "season.yaml").write_bytes((KITCHENS / "first_evening" / f"{which}-season.yaml").read_bytes())
    return open_with_book(folder, TODAY, TODAY)


def long_book(demo: Path, _folder: Path) -> Larder:
    """The demo's household as it is."""
    return open_with_book(demo, TODAY, TODAY)


def first_year(demo: Path, _folder: Path) -> Larder:
    """The same shelves with a book of thirty weeks, begun with a count, and no years written before."""
    larder = open_with_book(demo, TODAY, TODAY)
    begin = TODAY - timedelta(weeks=30)
    there: dict[tuple[str, str], Fraction] = {}
    for line in larder.book:
        if line.day < begin:
            there[line.product, line.size] = there.get((line.product, line.size), Fraction(0)) + line.amount
    counted = [Movement(begin, product, size, n, "counted") for (product, size), n in there.items() if n > 0]
    season = replace(larder.household.season, years=(), this_season=())
    return Larder(
        replace(larder.household, season=season), (*counted, *(line for line in larder.book if line.day >= begin))
    )


def hungry(demo: Path, _folder: Path) -> Larder:
    """The demo's household with 6 parts of 100 of what each lot holds, whole containers, and nothing coming in."""
    larder = open_with_book(demo, TODAY, TODAY)
    whole = {name: product.whole for name, product in larder.household.products.items()}
    lots = [
        replace(lot, count=Fraction(round(lot.count * 6 / 100)) if whole[lot.product] else lot.count * 6 / 100)
        for lot in larder.household.lots
    ]
    home = replace(larder.household, lots=tuple(lot for lot in lots if lot.count > 0), arrivals=())
    return Larder(home, larder.book)


HOUSES: dict[str, Callable[[Path, Path], Larder]] = {
    "first_month": first_month,
    "first_year": first_year,
    "hungry": hungry,
    "southern": southern,
    "long_book": long_book,
}


def told(larder: Larder) -> str:
    """The three answers, one after another."""
    home = larder.household
    sheet = make_no_store(home, TODAY, NO_STORE_DAYS, 1, None, pace=larder.pace, alike=True)
    answers = {
        "season": season_answer(question_of(larder), SeasonAsked()),
        "run-out": run_out_answer(larder, Chance(), everything=False),
        f"no-store --days {NO_STORE_DAYS} --seed 1": no_store_answer(sheet, whole_menu=False),
    }
    return "".join(f"\n===== {asked} =====\n{answer.text(colour=False)}" for asked, answer in answers.items())


@pytest.mark.parametrize("house", HOUSES)
def test_what_a_household_is_told(house: str, demo_folder: Path, tmp_path: Path) -> None:
    text = told(HOUSES[house](demo_folder, tmp_path))
    if os.environ.get("RENEW_GOLDEN"):
        (STORED / f"{house}.txt").write_text(text, encoding="utf-8")
    assert text == (STORED / f"{house}.txt").read_text(encoding="utf-8")
    assert max(len(line) for line in text.splitlines()) <= 80
