"""What five households are told to put up, how long it lasts, and how three days without the store would go.

A couple in its first month, a hungry table (6 parts of 100 of its stock), a southern one, and the demo's by the first
thirty weeks of a book and by all of it: each answer as it is printed at 80 columns. What is searched for is searched by
work, or so small that it is proven; of the three large ones' season the list alone stands, for what its search finds in
its time is no golden answer.
Renew on purpose, after reading every line: RENEW_GOLDEN=1 python -m pytest tests/golden
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from textwrap import fill
from time import strptime

import pytest
from msgspec.structs import replace

from pantrymeals.actions.no_store import make_no_store, no_store_answer
from pantrymeals.actions.run_out import Chance, run_out_answer
from pantrymeals.actions.season import SeasonAsked, question_of, season_answer
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.no_store import search_time
from pantrymeals.records import Movement
from pantrymeals.season.put_up_list import put_up_list
from tests.golden.test_first_month import list_told
from tests.unit.cli.test_dish_add import DAY, KITCHENS, begun

TODAY = date(2026, 1, 17)
STORED = Path(__file__).parent / "households"


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
    return open_with_book(folder, TODAY, DAY)


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


def long_book(demo: Path, _folder: Path) -> Larder:
    """The demo's household, by its book of three seasons."""
    return open_with_book(demo, TODAY, TODAY)


FIRST_YEAR = timedelta(weeks=30)


def first_year(demo: Path, _folder: Path) -> Larder:
    """The same shelves, with a book that begins with a count thirty weeks ago, and nothing written of years before."""
    larder, begin = long_book(demo, _folder), TODAY - FIRST_YEAR
    there: dict[tuple[str, str], Fraction] = {}
    for line in larder.book:
        if line.day < begin:
            there[line.product, line.size] = there.get((line.product, line.size), Fraction(0)) + line.count
    counted = [Movement(begin, name, size, count, "counted") for (name, size), count in there.items() if count > 0]
    season = replace(larder.household.season, years=(), this_season=())
    return Larder(replace(larder.household, season=season), (*counted, *(x for x in larder.book if x.day >= begin)))


HOUSES: dict[str, Callable[[Path, Path], Larder]] = {
    "first_month": first_month, "first_year": first_year, "hungry": hungry, "long_book": long_book,
    "southern": southern,
}  # fmt: skip
NO_STORE_DAYS, NO_STORE_WORK = 3, 4.0


def told(house: str, larder: Larder) -> str:
    """The three answers, one after another."""
    question = question_of(larder)
    small = house in ("first_month", "southern")
    answers = {
        "season": season_answer(question, SeasonAsked()).text(colour=False)
        if small
        else "\n".join(fill(line, 80, subsequent_indent="  ") for line in list_told(put_up_list(question)).split("\n")),
        "run-out": run_out_answer(larder, Chance(), everything=False).text(colour=False),
    }
    alone = make_no_store(larder.household, TODAY, NO_STORE_DAYS, 1, NO_STORE_WORK, pace=larder.pace, alike=True)
    answers["no-store"] = no_store_answer(alone).text(colour=False)
    return "".join(f"\n===== {asked} =====\n{answer}" for asked, answer in answers.items())


@pytest.mark.parametrize("house", HOUSES)
def test_what_a_household_is_told(
    house: str, demo_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # a busy machine's clock would end a search before its work or its proof
    for name, much in (("OF_WORK", 1000.0), ("SETTING_UP", 10000.0)):
        monkeypatch.setattr(search_time, name, much)
    text = told(house, HOUSES[house](demo_folder, tmp_path))
    if os.environ.get("RENEW_GOLDEN"):
        (STORED / f"{house}.txt").write_text(text, encoding="utf-8")
    assert text == (STORED / f"{house}.txt").read_text(encoding="utf-8")
    assert max(len(line) for line in text.splitlines()) <= 80


def _read_day(words: str) -> date:
    """'4 May' of the year from 17 January 2026 on, or '1 January 2027'."""
    day, month, *year = words.split()
    found = strptime(f"{day} {month} {year[0] if year else TODAY.year}", "%d %B %Y")
    return date(found.tm_year, found.tm_mon, found.tm_mday)


def test_how_long_before_its_day_the_last_one_goes_is_as_the_two_days_say() -> None:
    """Read back by a calendar alone: no sentence says three weeks of two days that lie five days apart."""
    said = []
    for path in STORED.glob("*.txt"):
        text = " ".join(path.read_text(encoding="utf-8").split())
        for due, out, much in re.findall(
            r"(?:Must last to|Eat by) ([^:.;]+): the last one goes(?: about)? ([^,;.]+), ([^;.]+) before", text
        ):
            days = (_read_day(due) - _read_day(out)).days
            weeks = {"a day": 0, "some days": 0, "a week": 1}.get(much)
            said.append((path.name, due, out, much))
            assert abs(days / 7 - (int(much.split()[0]) if weeks is None else weeks)) <= 0.65, said[-1]
    assert len(said) >= 60
