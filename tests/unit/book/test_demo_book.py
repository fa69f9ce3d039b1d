"""The demo's book agrees with every figure of the Tarrow household's seasons and its count.

season.yaml and stock.csv are the household's own tables; the book, summed line by line, must give
the same: put up - given - lost - used + carry-over = on hand, for every product and season.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from pantrymeals.book.book import Book
from pantrymeals.book.connect import BOOK_FILE, make, make_in_memory
from pantrymeals.book.keep import what_is_wrong
from pantrymeals.book.twin import COLUMNS, csv_rows, fill_from_rows
from pantrymeals.records import LOST_REASONS, USED_REASONS

DEMO = Path(__file__).parents[3] / "demo"
TWIN = DEMO / "put-up-book.csv"
SEASON: dict[str, Any] = yaml.safe_load((DEMO / "season.yaml").read_text(encoding="utf-8"))
ROWS = SEASON["season_2025"]
FRESH = {"Milk", "Cream", "Eggs, fresh"}
COUNT_DAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def book() -> Iterator[Book]:
    made = Book(make_in_memory(fill_from_rows(TWIN.name, csv_rows(TWIN))), TWIN)
    yield made
    made.close()


Sums = dict[tuple[str, int, str], Fraction]


@pytest.fixture(scope="module")
def sums(book: Book) -> Sums:
    """(product, season, what) -> containers: came, given, lost, used, counted, opening."""
    totals: defaultdict[tuple[str, int, str], Fraction] = defaultdict(Fraction)
    for move in book.movements():
        season = move.day.year if (move.day.month, move.day.day) >= (5, 1) else move.day.year - 1
        if move.reason in ("put up", "bought", "arrived"):
            what = "came"
        elif move.reason == "counted":
            what = "opening" if move.day == date(2023, 5, 1) else "counted"
        elif move.reason in USED_REASONS:
            what = "used"
        elif move.reason in LOST_REASONS:
            what = "lost"
        else:
            what = move.reason
        totals[move.product, season, what] += move.count
    return totals


def test_every_line_of_it_is_sound(book: Book) -> None:
    assert what_is_wrong(book) == ()
    days = [entry.day for entry in reversed(book.entries())]
    assert days == sorted(days)
    assert (days[0], days[-1]) == (date(2023, 5, 1), COUNT_DAY)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["product"])
def test_the_season_of_2025(sums: Sums, row: dict[str, Any]) -> None:
    """What a count found missing was used or lost without a stroke on the tally."""
    name = row["product"]
    carried = sum((n for (product, season, _), n in sums.items() if product == name and season < 2025), Fraction(0))
    assert carried == sum(row["carried_over"].values())
    assert sums[name, 2025, "came"] == sum(lot["count"] for lot in row["put_up"])
    assert -sums[name, 2025, "given"] == row["given"]
    gone = -sums[name, 2025, "used"] - sums[name, 2025, "lost"] - sums[name, 2025, "counted"]
    lifted = 1 if name == "Whole chicken" else 0  # Friday's bird for Sunday counts as on hand
    assert gone == row["used"] + row["lost"] + lifted
    if name != "Onions":
        assert -sums[name, 2025, "lost"] == row["lost"]


@pytest.mark.parametrize("row", SEASON["history"], ids=lambda row: f"{row['product']} {row['season']}")
def test_the_two_earlier_seasons(sums: Sums, row: dict[str, Any]) -> None:
    name, season = row["product"], row["season"]
    before = sum((n for (p, s, _), n in sums.items() if p == name and s < season), Fraction(0))
    assert before + sums[name, 2023, "opening"] * (season == 2023) == row["carried_over"]
    assert sums[name, season, "came"] == row["put_up"]
    assert -sums[name, season, "given"] - sums[name, season, "lost"] == row["given_or_lost"]
    assert -sums[name, season, "used"] == row["used"]


def test_on_hand_is_the_count_sheet_lot_by_lot(book: Book) -> None:
    with (DEMO / "stock.csv").open(encoding="utf-8-sig", newline="") as file:
        stock = sorted(
            (r["product"], r["size"], Fraction(r["count"]), r["put_up"], r["place"], r["load"], r["source"],
             r["state"], r["note"])
            for r in csv.DictReader(file)
        )  # fmt: skip
    in_book = sorted(
        (h.lot.product, h.lot.size, h.count, h.lot.put_up, h.place, h.lot.load, h.lot.source, h.state, h.lot.note)
        for h in book.on_hand()
    )
    assert in_book == stock


def test_part_jars_are_those_in_the_fridge(book: Book) -> None:
    with (DEMO / "open.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [(r["product"], r["opened"], Fraction(r["left"].split()[0])) for r in csv.DictReader(file)]
    assert sorted((j.part.product, j.part.opened.isoformat(), j.left) for j in book.part_jars()) == sorted(rows)


def test_glass_and_lids_agree(book: Book) -> None:
    glass = book.glass()
    for row in SEASON["jars"]:
        assert glass["empties", row["size"]] == row["empties"]
        assert glass["out", row["size"]] == row["out"]
    assert {kind: glass["lids", kind] for kind in ("regular", "wide")} == {"regular": 310, "wide": 54}
    used = book.db.execute(
        "SELECT -sum(count) FROM glass_movement WHERE thing = 'lids' AND count < 0 AND day >= '2025-05-01'"
    ).fetchone()[0]
    assert used == SEASON["lids"]["used_last_season"] == 984
    failed = book.db.execute("SELECT sum(count) FROM failed_seal WHERE day >= '2025-05-01'").fetchone()[0]
    assert failed == SEASON["lids"]["failed_seals_last_season"] == 9


@pytest.mark.parametrize(
    ("product", "in_book", "on_shelf"),
    [("Applesauce", 75, 72), ("Dill cucumbers", 13, 10), ("Raspberry jam", 14, 10),
     ("Venison chunks", 14, 16), ("Onions", 52, 40)],
)  # fmt: skip
def test_book_against_shelf_on_17_january(book: Book, product: str, in_book: int, on_shelf: int) -> None:
    moves = book.movements(product)
    assert sum(m.count for m in moves if not (m.reason == "counted" and m.day == COUNT_DAY)) == in_book
    assert sum(m.count for m in moves) == on_shelf


def test_what_went_on_last_year_is_in_it(book: Book) -> None:
    def lines(product: str, day: date) -> list[tuple[Fraction, str]]:
        return [(m.count, m.reason) for m in book.movements(product) if m.day == day]

    assert sum(n for n, why in lines("Eggs, beaten", date(2025, 12, 20)) if why == "spoiled") == -3
    assert sum(n for n, why in lines("Goat cheese", date(2025, 12, 20)) if why == "spoiled") == -2
    assert sum(n for n, why in lines("Whole chicken", date(2025, 10, 10)) if why == "spoiled") == -3
    ninth = lines("Green beans", date(2025, 11, 9))
    assert sum(n for n, why in ninth if why == "failed seal") == -2
    assert [n for n, why in ninth if why == "moved"] == [-5, 5], "the other five of that load were held"


def test_soups_are_eaten_in_winter_and_favourites_while_they_are_new(book: Book) -> None:
    soups = [m for m in book.movements("Vegetable soup base") if m.reason in USED_REASONS]
    summer = sum(-m.count for m in soups if m.day.month in (5, 6, 7, 8, 9))
    assert summer < -sum(m.count for m in soups) / 10
    jam = [m for m in book.movements("Raspberry jam") if m.reason in USED_REASONS and m.day < date(2025, 5, 1)]
    new = sum(-m.count for m in jam if m.day.month in (8, 9, 10, 11))
    old = sum(-m.count for m in jam if m.day.month in (3, 4, 5, 6))
    assert new > old


def test_the_script_makes_this_very_file(tmp_path: Path) -> None:
    again = tmp_path / "again.csv"
    done = subprocess.run(
        [sys.executable, str(DEMO / "make_history.py"), str(again)],
        capture_output=True, text=True, check=False,
        env={"PYTHONPATH": str(DEMO.parent), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert again.read_bytes() == TWIN.read_bytes()


def test_twenty_thousand_rows_are_built_in_a_moment(tmp_path: Path) -> None:
    """Half a second of processor time on a machine of its own; a crowded one is given three times that."""
    rows = [row for _, row in csv_rows(TWIN)]
    more = []
    for copy in range(-(-20_000 // len(rows))):
        for row in rows:
            entry = int(row[0]) + copy * 100_000
            more.append([str(entry), *row[1:4], f"{row[4]} {copy}", *row[5:]])
    more = more[:20_000]
    fewer_out = [
        row for row in more if not (row[6] in ("jars", "part jar") and row[COLUMNS.index("count")].startswith("-"))
    ]
    started = time.process_time()
    make(tmp_path / BOOK_FILE, fill_from_rows("twin.csv", enumerate(fewer_out, start=2)))
    seconds = time.process_time() - started
    print(f"{len(fewer_out)} rows built in {seconds:.2f} s")
    assert seconds * 20_000 / len(fewer_out) < 1.5
