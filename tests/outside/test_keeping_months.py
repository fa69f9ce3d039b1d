"""Keeping months of products against the published ranges, read from the handbook's own table."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.food_tables import keeping
from pantrymeals.forecast.eat_first import best_until
from pantrymeals.forecast.keeping import keeping_of, published_keeping
from tests.kitchens.tiny import jar, loose, lot

HANDBOOK = Path(__file__).parent / "handbook" / "keeping.csv"


def figures(stored: str, item: str) -> set[tuple[float, float, str]]:
    """(low, high, source) of every row of that class and item, straight from the file."""
    with HANDBOOK.open(encoding="utf-8", newline="") as file:
        return {
            (float(r["life_low"]), float(r["life_high"] or r["life_low"]), r["source"])
            for r in csv.DictReader(file)
            if r["class"] == stored and r["item"] == item and r["life_unit"] == "month" and r["life_low"]
        }


# Product, family, kind -> class and item of the published table.
PUBLISHED = [
    ("Ground beef, frozen", "beef", "freezer", "frozen", "ground meat"),
    ("Sausage", "sausage", "freezer", "frozen", "sausage, raw"),
    ("Bacon", "bacon", "freezer", "frozen", "bacon"),
    ("Pork chops", "pork", "freezer", "frozen", "chops"),
    ("Whole chicken", "chicken", "freezer", "frozen", "chicken or turkey, whole"),
    ("Chicken backs", "chicken", "freezer", "frozen", "chicken or turkey, pieces"),
    ("Trout, frozen", "trout", "freezer", "frozen", "fish"),
    ("Venison, frozen", "venison", "freezer", "frozen", "venison and wild game, uncooked"),
    ("Beef roast", "beef", "freezer", "frozen", "beef, pork, lamb, veal roasts"),
    ("Butter", "butter", "freezer", "frozen", "butter"),
    ("Peas", "pea", "freezer", "frozen", "fruits and vegetables, home-frozen"),
    ("Gooseberries", "gooseberry", "freezer", "frozen", "fruits and vegetables, home-frozen"),
    ("Apple slices", "apple", "freezer", "frozen", "apples, frozen"),
    ("Green beans", "green bean", "jar", "jar", "home-canned food, all"),
    ("Potatoes, main crop", "potato", "cellar", "cellar crop", "potatoes"),
    ("Carrots, in sand", "carrot", "cellar", "cellar crop", "carrots"),
    ("Beets, in sand", "beet", "cellar", "cellar crop", "beets"),
    ("Onions", "onion", "cellar", "cellar crop", "onions"),
    ("Garlic", "garlic", "cellar", "cellar crop", "garlic"),
    ("Cabbage", "cabbage", "cellar", "cellar crop", "cabbage"),
    ("Parsnips", "parsnip", "cellar", "cellar crop", "parsnips"),
    ("Rutabagas", "rutabaga", "cellar", "cellar crop", "rutabagas"),
    ("Squash, buttercup", "squash", "cellar", "cellar crop", "winter squash, buttercup or turban"),
    ("Apples, long keepers", "apple", "cellar", "cellar crop", "apples, fall and winter kinds"),
    ("Rice", "rice", "dry", "dry, ordinary package", "white rice"),
    ("Noodles", "noodles", "dry", "dry", "rice and dried pasta"),
]


@pytest.mark.parametrize(("name", "family", "kind", "stored", "item"), PUBLISHED)
def test_keeping_is_a_published_range(name: str, family: str, kind: str, stored: str, item: str) -> None:
    found = published_keeping(loose(name, family=family, kind=kind), keeping())
    assert found is not None
    printed = figures(stored, item)
    assert printed, "the handbook has no such row"
    assert (found.low_months, found.high_months, found.source) in printed


def test_what_no_table_names_is_not_guessed() -> None:
    assert published_keeping(loose("Elderberry syrup", kind="freezer"), keeping()) is None


def test_the_households_own_figure_comes_first() -> None:
    found = keeping_of(loose("Onions", family="onion", keeps_months=4), keeping())
    assert found is not None
    assert (found.high_months, "household" in found.source) == (4, True)


def test_best_until_counts_months_from_the_day_or_the_years_summer() -> None:
    keeps = published_keeping(jar("Beans"), keeping())
    assert keeps is not None
    assert keeps.high_months == 12, "the NCHFP year, not the column that says 12 to 18"
    assert best_until(lot("Beans", 1, put_up=date(2025, 1, 1)), keeps) == date(2026, 1, 1)
    year = lot("Beans", 1, put_up=date(2024, 1, 1), year_only=True)
    assert best_until(year, keeps) == date(2025, 9, 1)
    assert best_until(lot("Beans", 1, put_up=None), keeps) is None
