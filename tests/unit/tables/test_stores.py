"""The household's own frames against sums done apart: by the book's SQL, and by hand from its text twin."""

from __future__ import annotations

import csv
import shutil
import sqlite3
from collections import defaultdict
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pandas as pd
import pytest

from pantrymeals import tables
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.book.counts import PARTS
from tests.kitchens.seasons import open_season

DEMO = Path(__file__).parents[3] / "demo"
DAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("tables") / "demo"
    shutil.copytree(DEMO, copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    return copy


@pytest.fixture(scope="module")
def larder(folder: Path) -> Larder:
    return open_with_book(folder, None, DAY)


@pytest.fixture(scope="module")
def in_sql(folder: Path, larder: Larder) -> sqlite3.Connection:
    """The book itself, with what one container of each size holds of its product's first size."""
    assert larder.book
    db = sqlite3.connect(f"file:{folder / 'put-up-book.sqlite'}?mode=ro", uri=True)
    db.execute("CREATE TEMP TABLE held (product TEXT, size TEXT, up INTEGER, down INTEGER)")
    for product in larder.household.products.values():
        for size in product.sizes:
            share = size.content / product.sizes[0].content
            db.execute("INSERT INTO held VALUES (?, ?, ?, ?)", (product.name, size.name, *share.as_integer_ratio()))
    return db


def all_exact(frame: pd.DataFrame, *columns: str) -> bool:
    return all(isinstance(value, Fraction | int) for column in columns for value in frame[column])


def test_on_hand_is_the_books_sum_by_state(larder: Larder, in_sql: sqlite3.Connection) -> None:
    frame = tables.on_hand(larder.household)
    by_sql: dict[tuple[str, str], Fraction] = defaultdict(Fraction)
    for product, state, parts, up, down in in_sql.execute(
        "SELECT lot.product, state, sum(parts), up, down FROM movement JOIN lot ON lot.id = lot"
        " JOIN held ON held.product = lot.product AND held.size = lot.size GROUP BY lot.product, lot.size, state"
    ):
        by_sql[product, state] += Fraction(parts, PARTS) * Fraction(up, down)
    columns = {"": "on_the_shelf", "held": "held", "suspect": "suspect", "promised": "promised", "seed": "seed"}
    for state, column in columns.items():
        there = {row.product: getattr(row, column) for row in frame.itertuples() if getattr(row, column)}
        assert there == {name: left for (name, of), left in by_sql.items() if of == state and left}
    assert sum(bool(value) for value in frame["held"]) > 0
    assert all_exact(frame, *columns.values(), "reserve", "to_plan", "part_jars")
    assert (frame["to_plan"] + frame["reserve"] == frame["on_the_shelf"]).all()
    apples = frame.set_index("product").loc["Applesauce"]
    assert (apples.on_the_shelf, apples.reserve, apples.part_jars, apples["size"]) == (72, 6, Fraction(1, 2), "qt")


def test_lots_and_products_are_all_there(larder: Larder, in_sql: sqlite3.Connection) -> None:
    lots = tables.lots(larder.household)
    (standing,) = in_sql.execute("SELECT count(*) FROM stock WHERE parts > 0").fetchone()
    assert len(lots) == standing == 172
    assert lots["put_up"].map(type).isin([date, str, type(None)]).all()
    with (DEMO / "products.csv").open(encoding="utf-8-sig", newline="") as file:
        named = [row["product"] for row in csv.DictReader(file)]
    assert tables.products(larder.household)["product"].tolist() == named


def test_use_by_week_is_what_the_text_twin_says_was_used_and_lost(larder: Larder) -> None:
    """By hand from put-up-book.csv: jars eaten, pulled or made over, and what a count found missing."""
    used: dict[tuple[date, str], Fraction] = defaultdict(Fraction)
    lost: dict[tuple[date, str], Fraction] = defaultdict(Fraction)
    first: dict[str, str] = {}
    with (DEMO / "put-up-book.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["what"] == "jars"]
    undone = {row["undoes"] for row in rows} - {""}
    assert not undone, "this sum by hand knows no undoing"
    for row in sorted(rows, key=lambda row: row["day"]):
        first.setdefault(row["product"], row["day"])
        product, day = larder.household.products[row["product"]], date.fromisoformat(row["day"])
        size = product.size(row["size"])
        assert size is not None
        count = Fraction(row["count"]) * size.content / product.sizes[0].content
        missing = row["reason"] == "counted" and not (row["day"] == first[row["product"]] and count > 0)
        week = day - timedelta(days=day.weekday()), product.name
        if row["reason"] in ("eaten", "pulled", "made over") or (
            missing and not (count < 0 and product.kind == "cellar")
        ):
            used[week] -= count
        elif missing or row["reason"] in ("spoiled", "failed seal", "to the hens", "compost"):
            lost[week] -= count
    frame = tables.use_by_week(larder.household, larder.book)
    for column, by_hand in (("used", used), ("lost", lost)):
        there = {(row.week, row.product): getattr(row, column) for row in frame.itertuples() if getattr(row, column)}
        assert there == {key: amount for key, amount in by_hand.items() if amount}
    assert len(used) > 4000
    assert all_exact(frame, "used", "lost")


def test_seasons_add_up_and_say_the_same_as_the_weeks(folder: Path, larder: Larder) -> None:
    seasons = tables.seasons(open_season(folder, None, DAY).years)
    sums = seasons["carried_in"] + seasons["put_up"] - seasons["given"] - seasons["lost"] - seasons["used"]
    assert (sums == seasons["carried_out"]).all()
    weeks = tables.use_by_week(larder.household, larder.book)
    by_book = seasons[seasons["season"] >= 2023].groupby("product")["used"].agg(lambda s: sum(s, Fraction(0)))
    by_week = weeks.groupby("product")["used"].agg(lambda s: sum(s, Fraction(0)))
    written_too = {row.product for row in seasons.itertuples() if row.product not in by_week.index}
    for name in set(by_week.index) - written_too:
        assert by_book[name] == by_week[name], name


def test_movements_are_the_books_lines(larder: Larder) -> None:
    frame = tables.movements(larder.household, larder.book)
    total: dict[str, Fraction] = defaultdict(Fraction)
    for row in frame.itertuples():
        total[row.product] += row.in_first_size
    assert {name: left for name, left in total.items() if left} == {
        row.product: left
        for row in tables.on_hand(larder.household).itertuples()
        if (left := row.on_the_shelf + row.held + row.suspect + row.promised + row.seed)
    }
    assert frame.attrs["units"]["count"] == "of the size, + in, - out"


def test_an_empty_book_has_every_column_and_nothing_in_it(folder: Path, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    shutil.copytree(folder, empty)
    for file in (*empty.glob("put-up-book*"), empty / "stock.csv", empty / "open.csv", empty / "season.yaml"):
        file.unlink()
    (empty / "stock.csv").write_text("product,size,count\n")
    larder = open_with_book(empty, None, DAY)
    assert larder.book == ()
    for frame in (
        tables.lots(larder.household), tables.movements(larder.household, ()), tables.seasons(()),
        tables.use_by_week(larder.household, ()),
    ):  # fmt: skip
        assert len(frame) == 0
        assert list(frame.columns) == list(frame.attrs["units"])
    on_hand = tables.on_hand(larder.household)
    assert len(on_hand) == len(larder.household.products)
    assert sum(on_hand["on_the_shelf"] + on_hand["held"] + on_hand["part_jars"]) == 0
