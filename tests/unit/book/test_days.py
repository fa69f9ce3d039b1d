"""Days in the book: within 1900 to 2100, none ahead unasked, and today by the household's own clock."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE
from pantrymeals.book.lines import AnyLine, Line, LotFacts, NewEntry, PartFacts, PartLine, ServedLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import write
from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError
from pantrymeals.serve.house import House
from tests.unit.book.kitchen import SAUCE_24, TODAY

HUT = Path(__file__).parents[2] / "kitchens" / "hut"


def run(folder: Path, *args: str) -> Result:
    return CliRunner().invoke(app, [*args, "--larder", str(folder)], catch_exceptions=True)


@pytest.fixture
def hut(tmp_path: Path) -> Path:
    return Path(shutil.copytree(HUT, tmp_path / "hut"))


@pytest.mark.parametrize(
    "line",
    [
        Line(SAUCE_24, "K", Fraction(1), "counted", day=date(1899, 12, 31)),
        Line(LotFacts("Applesauce", "qt", "2101-01-01"), "K", Fraction(1), "counted"),
        Line(LotFacts("Applesauce", "qt", "1899"), "K", Fraction(1), "counted"),
        PartLine(PartFacts("Applesauce", "qt", date(9999, 12, 31)), Fraction(1), "counted"),
        ServedLine(date(2101, 1, 1), "supper", "Stew"),
    ],
)
def test_no_line_of_a_day_outside_1900_to_2100_is_written(book: Book, line: AnyLine) -> None:
    with pytest.raises(BookTrouble, match="is not a day within 1900 to 2100, so nothing was entered"):
        write(book, NewEntry(TODAY, "x"), lambda _: [line])
    assert book.number_of_entries() == 0


def test_days_typed_are_within_1900_to_2100(hut: Path) -> None:
    for words in (("--day", "9999-12-31"), ("--day", "1899-12-31")):
        said = run(hut, "tally", "1 qt", "bean", *words)
        assert said.exit_code == 2
        assert "within 1900 to 2100" in said.output
    assert not (hut / "put-up-book.sqlite").exists()


def test_a_day_ahead_is_refused_where_nobody_can_be_asked(hut: Path) -> None:
    ahead = f"{max(date.today(), date(2026, 1, 5)) + timedelta(days=2)}"
    for words in (("--day", ahead), ("--when", ahead), ("--when", "2099")):
        said = run(hut, "put-up", "1 qt beans", *words)
        assert isinstance(said.exception, PantryError), said.output
        assert "is ahead of today" in str(said.exception)
    log = run(hut, "book", "log")
    assert "put-up" not in log.stdout


def test_a_slip_is_dated_by_the_households_own_day_as_all_else_is(hut: Path) -> None:
    said = run(hut, "slip", "coffee", "6.50")
    assert said.exit_code == 0, said.output
    today = next(x for x in (hut / "household.yaml").read_text().splitlines() if x.startswith("today:")).split()[1]
    assert (hut / "slips.csv").read_text().splitlines()[-1] == f"{today},coffee,6.50"


def test_a_new_name_is_dated_by_the_households_own_day(hut: Path) -> None:
    assert run(hut, "tally", "potatoes").exit_code == 0
    assert run(hut, "book", "whose", "The Huts").exit_code == 0
    with open_book(hut / BOOK_FILE, reading=True) as book:
        assert book.entries(1)[0].day == date(2026, 1, 17)


def test_a_day_of_the_household_that_is_past_is_said_wherever_it_dates_something(hut: Path) -> None:
    for words in (["part-jars"], ["eat-first"], ["tally", "potatoes"], ["announce"]):
        said = run(hut, *words)
        assert "as household.yaml says ('today:'); the calendar says" in said.stderr, words
    assert "as household.yaml says" not in run(hut, "eat-first", "--today", "2026-01-06").stderr


@pytest.fixture
def zone() -> Iterator[None]:
    before = os.environ.get("TZ")
    yield
    os.environ.pop("TZ", None)
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()


@pytest.mark.parametrize("name", ["America/Los_Angeles", "UTC", "Pacific/Auckland"])
def test_today_is_the_day_by_the_clock_on_the_wall(hut: Path, name: str) -> None:
    """At any moment two of three such zones lie on the two sides of somebody's midnight: each has its own day."""
    text = (hut / "household.yaml").read_text()
    (hut / "household.yaml").write_text("".join(x for x in text.splitlines(True) if not x.startswith("today:")))
    env = {**os.environ, "TZ": name}
    code = "from datetime import date; print(date.today())"

    def wall() -> str:
        done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True)
        return done.stdout.strip()

    before = wall()
    said = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "slip", "coffee", "1", "--larder", str(hut)],
        env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert said.returncode == 0, said.stderr
    assert (hut / "slips.csv").read_text().splitlines()[-1].split(",")[0] in (before, wall())


@pytest.mark.usefixtures("zone")
@pytest.mark.parametrize("name", ["America/New_York", "Europe/Berlin", "Asia/Kolkata"])
@pytest.mark.parametrize("clock", ["2026-03-28 23:30", "2026-03-29 00:30", "2026-11-01 00:30", "2026-10-31 23:30"])
def test_half_an_hour_on_either_side_of_midnight(
    hut: Path, name: str, clock: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """23:30 is still the old day and 00:30 the new one, in the nights when the clocks are changed, too."""
    os.environ["TZ"] = name
    time.tzset()
    moment = datetime.strptime(clock, "%Y-%m-%d %H:%M").astimezone().timestamp()
    assert datetime.fromtimestamp(moment, UTC) != datetime.fromisoformat(clock).replace(tzinfo=UTC)

    class Wall(date):
        @classmethod
        def today(cls) -> date:
            return cls.fromtimestamp(moment)

    for module in ("cli.no_store", "actions.book.keeping", "cli.book.common", "serve.house"):
        monkeypatch.setattr(f"pantrymeals.{module}.date", Wall)
    text = (hut / "household.yaml").read_text()
    (hut / "household.yaml").write_text("".join(x for x in text.splitlines(True) if not x.startswith("today:")))
    assert run(hut, "slip", "coffee", "1").exit_code == 0
    assert (hut / "slips.csv").read_text().splitlines()[-1].split(",")[0] == clock.split()[0]
    assert run(hut, "bring-in", "1 lb potatoes").exit_code == 0
    with open_book(hut / BOOK_FILE, reading=True) as book:
        assert book.entries(1)[0].day.isoformat() == clock.split()[0]
        assert clock.split()[0] in {lot.put_up for _, lot in book.lots("Potatoes, main crop")}
    kitchen = House(hut)
    assert kitchen.pantry().today == kitchen.written().today == date.fromisoformat(clock.split()[0])
    moment += 3600  # the page is served on, over midnight where it was half past eleven
    later = datetime.fromtimestamp(moment).date()
    assert kitchen.pantry().today == kitchen.written().today == later
    assert (later > date.fromisoformat(clock.split()[0])) == clock.endswith("23:30")
