"""The catalogue's published figures against the tables they are from, and, of many kinds, against a second source.

First sources: the handbook's tables (each row of which names its document). Second sources, each beside its check.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest

from pantrymeals.files.catalogue import Thing, catalogue, sources
from pantrymeals.files.gathering import fold
from tests.outside.judges_of_store import BEST as BEST_ELSEWHERE
from tests.outside.ph import BORDERLINE, PH

HANDBOOK = Path(__file__).parent / "handbook"


def rows(name: str) -> list[dict[str, str]]:
    with (HANDBOOK / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def thing(name: str) -> Thing:
    return catalogue()[fold(name)]


KEEPING = rows("keeping.csv")


def keeping(stored: str, item: str, source: str) -> set[tuple[int, int]]:
    """(least, most) of the rows of a class, an item and a source, straight from the file."""
    return {
        (round(float(r["life_low"])), round(float(r["life_high"] or r["life_low"])))
        for r in KEEPING
        if r["class"] == stored and r["item"].startswith(item) and r["source"].startswith(source) and r["life_low"]
    }


BEST = {
    # thing -> class, item and first words of the source in the handbook's table
    "Peas": ("frozen", "vegetables", "National Center"),
    "Broccoli": ("frozen", "vegetables", "National Center"),
    "Raspberries": ("frozen", "fruits", "National Center"),
    "Strawberries": ("frozen", "fruits", "National Center"),
    "Trout, frozen": ("frozen", "fish", "National Center"),
    "Ham, half": ("frozen", "cured or processed meat", "National Center"),
    "Ground beef, frozen": ("frozen", "ground beef, veal", "FoodSafety.gov"),
    "Beef steak, frozen": ("frozen", "beef, pork, lamb, veal steaks", "FoodSafety.gov"),
    "Stew beef, frozen": ("frozen", "beef, pork, lamb, veal steaks", "FoodSafety.gov"),
    "Beef roast": ("frozen", "beef, pork, lamb, veal roasts", "FoodSafety.gov"),
    "Lamb joint": ("frozen", "beef, pork, lamb, veal roasts", "FoodSafety.gov"),
    "Pork chops": ("frozen", "chops", "FoodSafety.gov"),
    "Whole chicken": ("frozen", "chicken or turkey, whole", "FoodSafety.gov"),
    "Chicken legs": ("frozen", "chicken or turkey, pieces", "FoodSafety.gov"),
    "Sausage": ("frozen", "sausage, raw", "FoodSafety.gov"),
    "Bacon": ("frozen", "bacon", "FoodSafety.gov"),
    "Soup, frozen": ("frozen", "soups and stews", "FoodSafety.gov"),
    "Venison, frozen": ("frozen", "venison and wild game, uncooked", "USDA FSIS"),
    "Chicken stock, frozen": ("frozen", "meat broth and gravy", "FDA"),
    "Butter": ("frozen", "butter", "Alabama"),
    "Bread, loaves": ("frozen", "bread, baked", "Alabama"),
    "Green beans": ("jar", "home-canned food, all", "National Center"),
    "Beef chunks": ("jar", "home-canned food, all", "National Center"),
    "Raspberry jam": ("jar", "home-canned food, all", "National Center"),
    "Beets": ("cellar crop", "beets", "Rodale"),
    "Cabbage": ("cellar crop", "cabbage", "Rodale"),
    "Carrots": ("cellar crop", "carrots", "Rodale"),
    "Garlic": ("cellar crop", "garlic", "Rodale"),
    "Onions": ("cellar crop", "onions", "Rodale"),
    "Parsnips": ("cellar crop", "parsnips", "Rodale"),
    "Potatoes": ("cellar crop", "potatoes", "Rodale"),
    "Pumpkins": ("cellar crop", "pumpkins", "Rodale"),
    "Rutabagas": ("cellar crop", "rutabagas", "Rodale"),
    "Sweet potatoes": ("cellar crop", "sweet potatoes", "Rodale"),
    "Turnips": ("cellar crop", "turnips", "Rodale"),
    "Celeriac": ("cellar crop", "celery", "Rodale"),
    "Horseradish": ("cellar crop", "horseradish", "Rodale"),
    "Squash, acorn": ("cellar crop", "winter squash, acorn", "two garden"),
    "Squash, butternut": ("cellar crop", "winter squash, butternut", "two garden"),
    "Squash, blue keeper": ("cellar crop", "winter squash, hubbard", "two garden"),
    "Squash, buttercup": ("cellar crop", "winter squash, buttercup", "two garden"),
    "Squash, delicata": ("cellar crop", "winter squash, spaghetti", "state extension"),
    "Apples": ("cellar crop", "apples, fall and winter", "USDA Home and Garden Bulletin 119"),
    "Pears, fresh": ("cellar crop", "pears", "USDA Home and Garden Bulletin 119"),
    "Rice": ("dry", "rice and dried pasta", "USDA FSIS"),
    "Pasta": ("dry", "rice and dried pasta", "USDA FSIS"),
    "Brown rice": ("dry", "brown rice", "Utah"),
    "Barley": ("dry", "barley", "Utah"),
    "Bread flour": ("dry, ordinary package", "flour, all-purpose", "state extension"),
    "Whole wheat flour": ("dry, ordinary package", "flour, whole wheat", "state extension"),
    "Rolled oats": ("dry, ordinary package", "rolled oats", "state extension"),
    "Cornmeal": ("dry, ordinary package", "cornmeal, whole-grain", "state extension"),
    "Brown beans, dry": ("dry, ordinary package", "dry beans", "state extension"),
    "Sugar": ("dry, ordinary package", "sugar, granulated", "state extension"),
    "Honey": ("dry, ordinary package", "honey", "state extension"),
}


@pytest.mark.parametrize("name", BEST)
def test_best_months_are_those_of_their_source(name: str) -> None:
    assert thing(name).best_months in keeping(*BEST[name])


PUBLISHED_AS = {
    # code of the catalogue's source -> first words of the handbook's, for all its rows of any class
    "aces": "Alabama Cooperative", "extdry": "state extension pantry", "extsq": "state extension storage",
    "fdafz": "FDA freezer storage chart", "fscold": "FoodSafety.gov", "fsis": "USDA FSIS, Shelf-Stable",
    "fsisfz": "USDA FSIS, Freezing", "hgb119": "USDA Home and Garden Bulletin 119", "nchfp05": "National Center",
    "nchfp09": "National Center", "rodale": "Rodale", "usu": "Utah State", "web2": "two garden articles",
}  # fmt: skip
NOT_IN_THE_HANDBOOK = {"fscoldmem"}
"""An older edition, from memory, for two kinds of variety meat."""


def test_every_published_figure_of_best_months_stands_in_the_table_of_its_source() -> None:
    checked = 0
    for each in catalogue().values():
        code = each.sources.get("best", "")
        if each.best_months is None or code in NOT_IN_THE_HANDBOOK:
            continue
        published = {
            (round(float(r["life_low"])), round(float(r["life_high"] or r["life_low"])))
            for r in KEEPING
            if r["source"].startswith(PUBLISHED_AS[code]) and r["life_low"]
        }
        assert each.best_months in published, (each.name, code, each.best_months)
        checked += 1
    unchecked = [t.name for t in catalogue().values() if t.sources.get("best") in NOT_IN_THE_HANDBOOK]
    assert len(unchecked) == 2
    assert checked == sum(t.best_months is not None for t in catalogue().values()) - len(unchecked) > 300


def test_every_opened_and_acid_figure_names_its_source_and_how_it_was_come_by() -> None:
    """Each group of figures has a code that the table of sources explains; published ones say read or from memory."""
    for each in catalogue().values():
        for group, code in each.sources.items():
            assert sources()[code].how in ("read", "from memory", "common practice"), (each.name, group)
        assert (each.best_months is None) == ("best" not in each.sources), each.name
        assert (each.opened_days is None) == ("opened" not in each.sources), each.name
        assert not each.acid or "acid" in each.sources, each.name


OPENED_IN_EXTENSION_GUIDANCE = {
    # thing -> item of extension guidance on opened jars (from memory), a second word beside USDA FSIS
    "Tomatoes, crushed": "tomatoes", "Tomato sauce": "tomatoes", "Peaches in syrup": "fruit", "Applesauce": "fruit",
    "Pears in syrup": "fruit", "Green beans": "vegetables", "Carrots, sliced": "vegetables",
    "Sweet corn": "vegetables", "Beets, plain": "vegetables", "Beef chunks": "meat, poultry, fish, broth",
    "Chicken pieces": "meat, poultry, fish, broth", "Chicken stock": "meat, poultry, fish, broth",
    "Sauerkraut": "sauerkraut", "Dill cucumbers": "pickles", "Raspberry jam": "jam and jelly", "Ketchup": "ketchup",
}  # fmt: skip


def test_opened_days_are_those_of_fsis_and_no_longer_than_extension_guidance() -> None:
    home_canned = keeping("opened jar", "home-canned", "USDA FSIS")
    most = max(days for _, days in home_canned)
    jars = [each for each in catalogue().values() if each.kind == "jar"]
    assert len(jars) > 150
    assert {(each.opened_days, each.sources["opened"]) for each in jars} == {(most, "fsis")}
    for name, item in OPENED_IN_EXTENSION_GUIDANCE.items():
        days = thing(name).opened_days
        assert days is not None
        assert days <= max(longest for _, longest in keeping("opened jar", item, "extension")), name


@pytest.mark.parametrize("name", PH)
def test_acid_or_low_acid_agrees_with_a_second_source(name: str) -> None:
    low, high = PH[name]
    if thing(name).acid == "low":
        assert low > 4.6
    else:
        assert thing(name).acid in ("high", "acidified")
        assert high <= 4.6


@pytest.mark.parametrize("name", BORDERLINE)
def test_what_lies_about_the_line_is_called_borderline(name: str) -> None:
    low, high = BORDERLINE[name]
    assert thing(name).acid == "borderline"
    assert high >= 4.6 >= low or high == 4.6


def test_sixty_kinds_have_a_second_source() -> None:
    """Published ones alone: what is from memory (``OPENED_IN_EXTENSION_GUIDANCE``) is not counted."""
    with (HANDBOOK.parent / "second" / "opened.csv").open(encoding="utf-8", newline="") as file:
        opened = {row["thing"] for row in csv.DictReader(file)}
    with (HANDBOOK.parent / "second" / "keeping.csv").open(encoding="utf-8", newline="") as file:
        kept = {row["name"] for row in csv.DictReader(file)}
    assert all(fold(name) in catalogue() for name in (*PH, *BORDERLINE, *BEST_ELSEWHERE, *opened))
    second = {name for name in (*PH, *BORDERLINE, *BEST_ELSEWHERE, *opened, *kept) if fold(name) in catalogue()}
    assert len(second) >= 90


TESTED = {
    # thing -> product of the handbook's table of tested processes
    "Green beans": "green beans", "Beets, plain": "beets", "Carrots, sliced": "carrots",
    "Sweet corn": "sweet corn, whole kernel", "Peas, canned": "peas", "Lima beans": "lima beans, fresh",
    "Okra, canned": "okra", "Spinach, canned": "spinach and other greens", "Potatoes, diced": "potatoes, white",
    "Winter squash, cubed": "pumpkin and winter squash, cubes", "Sweet potatoes, canned": "sweet potatoes",
    "Applesauce": "applesauce", "Apple slices, canned": "apples, sliced", "Peaches in syrup": "peaches",
    "Pears in syrup": "pears", "Plums in syrup": "plums", "Raspberries, canned": "berries, whole",
    "Sweet cherries": "cherries, whole", "Grape juice": "grape juice", "Apple juice": "apple juice",
    "Beets, pickled": "pickled beets", "Dill cucumbers": "dill pickles, quick fresh-pack",
    "Raspberry jam": "jams and jellies", "Chicken stock": "chicken or turkey stock", "Beef stock": "meat stock (broth)",
    "Bean soup": "soups: vegetable, dried bean or pea, meat, poultry", "Brown beans, canned": "dry beans or peas",
    "Beef chunks": "meat strips, cubes or chunks (beef, pork, lamb, veal, venison, bear)",
    "Ground beef, canned": "ground or chopped meat", "Chicken pieces": "chicken or rabbit without bones",
}  # fmt: skip


@pytest.mark.parametrize("name", TESTED)
def test_acid_class_is_that_of_the_tested_process(name: str) -> None:
    classes = {r["acidity_class"] for r in rows("canning_limits.csv") if r["product"] == TESTED[name]}
    assert classes == {{"low": "low acid", "high": "high acid", "acidified": "acidified"}[thing(name).acid]}


def test_weights_of_a_cup_are_those_of_the_handbook() -> None:
    cups: dict[str, set[Fraction]] = {}
    for r in rows("measures.csv"):
        if r["kind"] == "food":
            cups.setdefault(r["ndb_no"], set()).add(Fraction(r["value"]) / Fraction(r["quantity"]))
    checked = [t for t in catalogue().values() if t.sources.get("weight") == "sr26"]
    assert len(checked) >= 60
    for each in checked:
        assert each.cup_g in cups[each.food], each.name


def test_thawing_is_as_published() -> None:
    """University of Nebraska-Lincoln Extension, How to Thaw Meat and Poultry Safely (read): a pound takes a day in the
    fridge, four to five pounds a day more; then ground and stewing meat, poultry and fish within 1 to 2 days, cuts
    within 3 to 5. University of Illinois Extension, Thawing (read), says the same: 1-2 and 3-5 days."""
    for name in ("Ground beef, frozen", "Stew beef, frozen", "Whole chicken", "Chicken legs", "Trout, frozen"):
        assert thing(name).opened_days == 2, name
    for name in ("Beef steak, frozen", "Pork chops", "Beef roast", "Lamb joint", "Venison, frozen"):
        assert thing(name).opened_days == 3, name
    for each in catalogue().values():
        if each.sources.get("thaw") == "fsisthaw":
            pounds = (each.each_g or 0) / Fraction("453.59237")
            assert each.thaw_days is not None
            if pounds > 2:  # one piece: a day for each four to five pounds, and a day to spare
                assert ceil(pounds / 5) <= each.thaw_days <= ceil(pounds / 4) + 1, each.name
            else:
                assert each.thaw_days == 1, each.name
    assert sources()["fsisthaw"].how == "read"
