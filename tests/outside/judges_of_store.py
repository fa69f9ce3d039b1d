"""How long things keep, how cold, how they thaw and what they weigh, against other publications: see judges."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import ceil
from pathlib import Path

from pantrymeals.files import catalogue
from pantrymeals.forecast.keeping import bad_neighbours, keeping_rows, published_keeping
from pantrymeals.records import Household
from tests.kitchens.tiny import kitchen, loose, lot
from tests.outside.judged import Judged
from tests.outside.second_sources import Packaged, Row, read_rows, second, source_of, span

POUND_G = 453.59237


def months_kept(tables: Packaged) -> Iterator[Judged]:
    """The months that a product keeps at its best, both ends: within twice or half, as the publications differ."""
    rows = keeping_rows(tables["keeping"])
    for row in second("keeping"):
        ours = published_keeping(loose(row["name"], family=row["family"], kind=row["kind"]), rows)
        assert ours is not None, row["name"]
        figure = f"months kept, {row['name']}"
        yield Judged(figure, source_of(row), span(row), ours.high_months, times=2)
        shortest = (0.0, span(row)[1])  # a careful least is never too short
        yield Judged(f"least {figure}", source_of(row), shortest, (ours.low_months, ours.high_months), times=2)


def cold_and_damp(tables: Packaged) -> Iterator[Judged]:
    """How cold and how damp a cellar crop lies best: within 8 degrees F and ten points of humidity.

    Each of our rows of that crop is asked, whatever publication it is from; winter squash by kind as winter squash.
    """
    for row in second("cellar"):
        ours = [r for r in tables["keeping"] if r["class"] == "cellar crop" and r["item"] == row["item"]]
        assert ours, row["item"]
        for each in ours:
            for what, low, high, within in (
                ("deg F", "temp_f_low", "temp_f_high", 8),
                ("humidity", "rh_pct_low", "rh_pct_high", 10),
            ):
                if each[low]:
                    figure = f"{what}, {row['item']}, by {each['source'][:20]}"
                    yield Judged(figure, source_of(row), span(row, low, high), span(each, low, high), within)


BEST = {
    # thing -> class, item and first words of a source of the handbook's table other than the one it is typed from
    "Peas": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Broccoli": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Kale": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Chard": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Sweet corn, frozen": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Green beans, frozen": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Raspberries": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Blueberries": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Strawberries": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Rhubarb, cut": ("frozen", "fruits and vegetables, home-frozen", "USDA, Canning, Freezing"),
    "Ground beef, frozen": ("frozen", "ground meat", "National Center"),
    "Ground lamb": ("frozen", "ground meat", "National Center"),
    "Chicken legs": ("frozen", "poultry", "National Center"),
    "Bacon": ("frozen", "cured or processed meat", "National Center"),
    "Sausage": ("frozen", "cured or processed meat", "National Center"),
    "Sweet potatoes": ("cellar crop", "sweet potatoes", "Iowa"),
    "Squash, acorn": ("cellar crop", "winter squash, acorn", "Iowa"),
    "Squash, blue keeper": ("cellar crop", "winter squash, hubbard", "USDA Agriculture Handbook 66"),
    "Squash, butternut": ("cellar crop", "winter squash, all kinds", "Rodale"),
    "Rice": ("dry, ordinary package", "white rice", "state extension"),
    "Applesauce": ("jar", "canned apples, applesauce", "Utah"),
    "Green beans": ("jar", "home-canned food, all", "Canner's Corner"),
}


@cache
def _of_the_handbook() -> tuple[Row, ...]:
    return tuple(read_rows(Path(__file__).parent / "handbook" / "keeping.csv"))


def best_months(tables: Packaged) -> Iterator[Judged]:
    """Months of best quality of a thing of the catalogue, by a second source of the handbook: twice or half."""
    things = {row["thing"]: row for row in tables["things"]}
    for name, (stored, item, source) in BEST.items():
        found = [
            r for r in _of_the_handbook()
            if r["class"] == stored and r["item"].startswith(item) and r["source"].startswith(source)
        ]  # fmt: skip
        assert found, name
        low = min(float(r["life_low"]) for r in found)
        high = max(float(r["life_high"]) for r in found)
        how = "read" if all(r["how_obtained"] == "read" for r in found) else "from memory"
        ours = span(things[name], "best_months_low", "best_months_high")
        yield Judged(f"months at its best, {name}", found[0]["source"], (low, high), ours, times=2, how=how)


def opened_life(tables: Packaged) -> Iterator[Judged]:
    """Days that a jar is good once it is opened, and meat once it is thawed, as other charts have it."""
    things = {row["thing"]: row for row in tables["things"]}
    for row in second("opened"):
        days = float(things[row["thing"]]["opened_days"])
        yield Judged(f"days good once open, {row['thing']}", row["source"], span(row), days)


WHOLE = ("Whole chicken", "Whole turkey", "Whole duck", "Beef roast", "Pork roast", "Lamb joint", "Ham, half")
SMALL = (
    "Ground beef, frozen", "Stew beef, frozen", "Chicken legs", "Pork chops", "Venison, frozen", "Sausage",
    "Trout, frozen",
)  # fmt: skip


def thawing(tables: Packaged) -> Iterator[Judged]:
    """Nights in the fridge: a pound of ground or cut meat one, a whole piece one for every five, one to spare."""
    things = {row["thing"]: row for row in tables["things"]}
    source = source_of({"source": "Os"})
    for name in WHOLE:
        days = ceil(float(things[name]["each_g"]) / POUND_G / 5)
        yield Judged(f"days to thaw, {name}", source, (days, days + 1), float(things[name]["thaw_days"]))
    for name in SMALL:
        yield Judged(f"days to thaw, {name}", source, 1, float(things[name]["thaw_days"]))


def good_as_it_comes(tables: Packaged) -> Iterator[Judged]:
    """Days that something fresh is good in a refrigerator: within twice or half."""
    things = {row["thing"]: row for row in tables["things"]}
    for row in second("fresh"):
        days = float(things[row["thing"]]["fresh_days"])
        yield Judged(f"days good fresh, {row['thing']}", source_of(row), span(row), days, times=2)


def grams_a_cup(tables: Packaged) -> Iterator[Judged]:
    """Grams of a cup, to an eighth: how it is filled differs so much; fruit by its pieces, a third."""
    things = {row["thing"]: row for row in tables["things"]}
    for row in second("cup"):
        ours = catalogue._thing(things[row["thing"]]).cup_g
        assert ours is not None
        times = 1.34 if row["source"] in ("M", "W") else 1.13
        yield Judged(f"grams of a cup, {row['thing']}", source_of(row), float(row["grams"]), float(ours), times=times)


def grams_apiece(tables: Packaged) -> Iterator[Judged]:
    """Grams of one, by how many of middling size make a pound: to three fifths more or less, as kinds differ."""
    things = {row["thing"]: row for row in tables["things"]}
    for row in second("each"):
        few, many = span(row, "pieces_low", "pieces_high")
        grams = float(row["to_pounds"]) * POUND_G
        ours = float(things[row["thing"]]["each_g"])
        figure = f"grams of one, {row['thing']}"
        yield Judged(figure, source_of(row), (round(grams / many), round(grams / few)), ours, times=1.6)


def kept_apart(tables: Packaged) -> Iterator[Judged]:
    """What must not lie together: pairs that Western Australia's department of agriculture names, and one it does not.

    The table's words are judged by it too: each 'keep apart' row speaks of a pair that is named there.
    """
    source = "Western Australia, Department of Primary Industries, Mixed storage of fruits and vegetables"
    for fruit, root, apart in APART:
        found = bad_neighbours(in_one_place(fruit, root))
        yield Judged(f"{fruit} with {root}", source, apart, "apart" if found else "together")
    for row in tables["keeping"]:
        if row["class"] == "keep apart" and row["item"] != "winter squash":  # which no second source names
            text = f"{row['item']} {row['note']}".casefold()
            named = any(one in text and two in text for one, two in NAMED_APART)
            yield Judged(f"keep apart: {row['item']}", source, "named", "named" if named else "not named")


APART = (
    ("Apples", "Potatoes", "apart"), ("Apples", "Carrots", "apart"), ("Apples", "Cabbage", "apart"),
    ("Apples", "Onions", "apart"), ("Apples", "Celery", "apart"), ("Pears", "Potatoes", "apart"),
    ("Pears", "Carrots", "apart"), ("Pears", "Cabbage", "apart"), ("Pears", "Onions", "apart"),
    ("Onions", "Potatoes", "apart"), ("Carrots", "Cabbage", "together"), ("Apples", "Pears", "together"),
)  # fmt: skip
NAMED_APART = (
    ("apples", "potatoes"), ("apples", "carrots"), ("cabbage", "apples"), ("apples", "vegetables"),
    ("potatoes", "onions"),
)  # fmt: skip


def in_one_place(*names: str) -> Household:
    """A cellar with nothing but these, side by side."""
    products = [loose(name, family=name.casefold(), kind="cellar") for name in names]
    return kitchen(products=products, lots=[lot(name, 5, where="C1") for name in names])
