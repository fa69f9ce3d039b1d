"""A lot put up, or a jar opened, on a day that has not come is a slip of the pen: it is said, wherever it is read."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.book.pantry import pantry_book, read_pantry
from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.household import read_household
from tests.unit.files.conftest import STARTER

STOCK = "product,size,count,put_up\n"
OPEN = "product,size,left,opened\n"


def test_the_day_of_a_lot_and_of_an_opened_jar(told: Callable[..., list[str]]) -> None:
    assert told(
        {
            "stock.csv": STOCK + "Green beans,qt,1,2026-01-17\nGreen beans,qt,2,2026-01-18\nGreen beans,qt,3,2026\n"
            "Green beans,qt,4,2027\n",
            "open.csv": OPEN + "Green beans,qt,1/2 qt,2026-01-17\nGreen beans,qt,1/2 qt,2062-01-17\n",
        }
    ) == [
        "open.csv:3:4: 2062-01-17 is ahead of today, 2026-01-17; look at the year again",
        "stock.csv:3:4: 2026-01-18 is ahead of today, 2026-01-17; look at the year again",
        "stock.csv:5:4: 2027 is ahead of today, 2026-01-17; look at the year again",
    ]


def test_who_asks_for_an_earlier_day_is_not_told_that_the_shelf_is_to_come(hut: Path) -> None:
    (hut / "stock.csv").write_text(STOCK + "Green beans,qt,1,2026-01-17\n", encoding="utf-8")
    (lot,) = read_household(hut, date(2025, 12, 1), STARTER).lots
    assert lot.put_up == date(2026, 1, 17)
    (hut / "stock.csv").write_text(STOCK + "Green beans,qt,1,2026-03-01\n", encoding="utf-8")
    (lot,) = read_household(hut, None, STARTER, calendar_day=date(2026, 3, 1)).lots
    assert lot.put_up == date(2026, 3, 1)


def test_who_asks_about_a_later_day_is_told_all_the_same(hut: Path) -> None:
    (hut / "stock.csv").write_text(STOCK + "Green beans,qt,1,2026-12-01\n", encoding="utf-8")
    with pytest.raises(MistakesInFiles, match="2026-12-01 is ahead of today, 2026-03-01"):
        read_household(hut, date(2027, 1, 1), STARTER, calendar_day=date(2026, 3, 1))


def test_no_book_is_made_of_such_a_count(hut: Path) -> None:
    ahead = date(date.today().year + 1, 1, 1)
    (hut / "stock.csv").write_text(STOCK + f"Green beans,qt,1,{ahead}\n", encoding="utf-8")
    pantry = read_pantry(hut, None, date.today())
    with pytest.raises(MistakesInFiles, match=rf"stock\.csv:2:4: {ahead} is ahead of today"), pantry_book(pantry):
        pass
    assert not (hut / "put-up-book.sqlite").exists()


def test_nobody_at_table_is_still_to_be_born(told: Callable[..., list[str]], hut: Path) -> None:
    sheet = (hut / "household.yaml").read_text(encoding="utf-8")
    assert "born: 1990-05-02" in sheet
    (said,) = told({"household.yaml": sheet.replace("born: 1990-05-02", "born: 2026-05-02")})
    assert said == "household.yaml:7:5: Wren: born 2026-05-02 is ahead of today, 2026-01-17; look at the year again"
