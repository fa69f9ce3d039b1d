"""The two recipe books as a cook would read them over: whole, measurable, reachable, and sane on a plate.

These read the files plainly (YAML and the unit table), so that they also judge the program's own reader.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from pantrymeals.units import Measure, take_number, unit_named

ROOT = Path(__file__).resolve().parents[2]
BOOKS = {"demo": ROOT / "demo" / "recipes", "starter": ROOT / "recipes"}
FILES = sorted(p for folder in BOOKS.values() for p in folder.glob("*.yaml"))
ROLES = {"main", "side", "bread", "fruit", "sweet", "breakfast", "lunch"}


def listed(text: str) -> list[str]:
    """'pork; flat bread' as its parts; lines may break anywhere between them."""
    return [" ".join(part.split()) for part in text.split(";") if part.strip()]


FIELDS = set(
    listed(
        """name; role; covers; serves; uses; minutes; hands_on_minutes; ahead; season; tags;
        contents; goes_with; not_with; days_between; leaves; keeps; needs_left; instead; only_for; weekdays; not_for;
        liking; method; note; batch; makes"""
    )
)
TAGS = set(
    listed(
        """apple; bacon; baked oats; beans; beef; beets; berry; biscuits; bread; broccoli; buckwheat; cabbage;
        cake; carrots; cheese; cherry; chicken; chili; cold soup; cold supper; cooked carrots; corn; crew; crumble;
        cucumber; custard; damson;
        egg; feast; fish; flat bread; fried; green beans; greens; griddle; ham; hash; jam; kale; kraut; lamb; leeks;
        liver; mash; meatless; mush; must-go; noodles; oat bars; oatcakes; oats; oven; patties; peach; pear; peas;
        pickle; pie; plain beets;
        pork; porridge; potato; pudding; quick pan; raw; rhubarb; rice; rice pudding; roast; roots; salad; sausage;
        soup;
        squash; starch; stew; toast; tomato; venison; zucchini"""
    )
)
NEEDS_A_DISH = listed(
    """Apple juice; Pear butter; Strawberry jam; Crab-apple jelly; Tomato juice; Green tomato relish;
    Beets, plain; Winter squash, cubed; Dill cucumbers; Gooseberry chutney; Split pea soup; Rhubarb, cut;
    Sweet peppers, diced; Blueberries; Gooseberries; Basil paste, no nuts; Elderberry syrup; Chicken backs;
    Soup bones; Rice; Dried tomatoes; Cider vinegar; Liver; Trout, canned; Apple butter; Rhubarb, stewed;
    Blackcurrant jelly; Green beans; Bread-and-butter cucumbers; Apple chutney; Chard; Kale; Split peas;
    Zucchini, shredded; Buckwheat flour; Potatoes, early red; Beets, in sand; Parsnips; Rutabagas; Cabbage;
    Apples, mid-season; Squash, thin-skinned; Squash, buttercup; Ground lamb; Venison, frozen"""
)
"""What sits, gluts, will not wait, or had no dish: each must have an honest way out of the larder."""

NEVER_EATEN = {"Elderberry jelly", "Marrow and ginger jam", "Pumpkin butter (gift)", "Unlabelled, amber"} | {
    "Tomato soup, half-gallon (gift)",
    "Black walnuts, in shell",
    "Coffee",
}
"""Held jars, gifts, and what is drunk rather than cooked."""

OTHER_LARDERS: dict[str, Measure] = {
    "Apples": "g", "Basil paste": "ml", "Beans, canned": "ml", "Beans, dry": "g", "Beef stock": "ml",
    "Fish, canned": "ml", "Ground beef": "g", "Jam": "ml", "Soft cheese": "ml", "Stew beef": "g",
    "Sweet cider": "ml", "Vegetable stock": "ml", "Venison": "g", "White beans, canned": "ml",
    "White beans, dry": "g",
}  # fmt: skip
"""Products that the starter book names for other larders: how each is measured."""


@cache
def products() -> dict[str, tuple[str, Measure, frozenset[str], frozenset[str]]]:
    """Name or alias in lower case -> (product, measure, names of its sizes, marks of its contents)."""
    found: dict[str, tuple[str, Measure, frozenset[str], frozenset[str]]] = {}
    with (ROOT / "demo" / "products.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    for aliased in (True, False):  # a product's own name wins over another's alias
        for row in rows:
            sizes = [s.strip() for s in row["sizes"].split(";")]
            marks = frozenset(m.strip() for m in row["contents"].split(";") if m.strip())
            entry = (row["product"], measure_of(sizes[0]), frozenset(s.split(" = ")[0] for s in sizes), marks)
            names = row["also_called"].split(";") if aliased else [row["product"]]
            found.update({n.strip().lower(): entry for n in names if n.strip()})
    found |= {n.lower(): (n, m, frozenset(), frozenset()) for n, m in OTHER_LARDERS.items()}
    return found


def measure_of(size: str) -> Measure:
    """The base measure of a size as products.csv writes it: 'qt', 'qt bag = 1 qt', 'bird'."""
    name, _, content = size.partition(" = ")
    if content:
        taken = take_number(content)
        assert taken is not None, size
        name = taken[1]
    unit = unit_named(name)
    return unit[0] if unit else "each"


@cache
def dishes() -> tuple[dict[str, Any], ...]:
    """Every dish and batch day of both books, with its file and book beside it."""
    out = []
    for path in FILES:
        written = yaml.safe_load(path.read_text(encoding="utf-8"))
        out.append({**written, "file": path, "book": "demo" if path.parent == BOOKS["demo"] else "starter"})
    return tuple(out)


def named(name: str) -> dict[str, Any]:
    return next(d for d in dishes() if d["name"] == name)


def of_role(role: str, book: str = "") -> list[dict[str, Any]]:
    return [d for d in dishes() if d.get("role") == role and book in ("", d["book"])]


def tags(dish: dict[str, Any]) -> set[str]:
    return set(dish.get("tags", []))


def alternatives(use: str | dict[str, str]) -> list[str]:
    """The alternatives of one use, stand-ins last, as written."""
    written = [use] if isinstance(use, str) else [use["use"], use["stand_in"]]
    return [o.strip() for w in written for o in w.split(" or ")]


def options(use: str | dict[str, str]) -> list[str]:
    """The same, a range as its least and its most."""
    return [end for o in alternatives(use) for end in ends(o)]


def ends(option: str) -> list[str]:
    """'1 1/2-2 lb Sausage' as '1 1/2 lb Sausage' and '2 lb Sausage'; else the option itself."""
    found = re.fullmatch(r"([0-9 /.]+)-([0-9 /.]+)( .*)", option)
    return [found[1] + found[3], found[2] + found[3]] if found else [option]


def read_option(text: str) -> tuple[str, Fraction]:
    """(product, number) of '2 qt bag Kale'; fails when the unit does not measure the product."""
    taken = take_number(text)
    assert taken is not None, text
    number, rest = taken
    matches = [n for n in products() if rest.lower().endswith(" " + n)]
    assert matches, f"no such product: {text}"
    name = max(matches, key=len)
    product, measure, sizes, _ = products()[name]
    unit_text = rest[: -len(name)].strip()
    if unit_text not in sizes:
        unit = unit_named(unit_text)
        assert unit is not None, f"no such unit or container: {text}"
        assert unit[0] == measure, f"{product} is not measured so: {text}"
    return product, number


def drawn(dish: dict[str, Any]) -> set[str]:
    """Every product that a dish may draw, by any option."""
    return {read_option(o)[0] for u in dish["uses"] for o in options(u)}


def marks(dish: dict[str, Any]) -> set[str]:
    """Marks of a dish: its own, and those of anything it may draw."""
    out = set(dish.get("contents", []))
    for product in drawn(dish):
        out |= products()[product.lower()][3]
    return out


def months(dish: dict[str, Any]) -> set[int]:
    season = str(dish.get("season", "1-12"))
    first, last = (int(m) for m in season.split("-"))
    return {m for m in range(1, 13) if (first <= m <= last if first <= last else m >= first or m <= last)}


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_each_file_is_one_whole_dish_named_after_itself(path: Path) -> None:
    dish = yaml.safe_load(path.read_text(encoding="utf-8"))
    plain = dish["name"].lower().replace("'", "")
    assert path.stem == re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    assert set(dish) <= FIELDS | {"called"}
    for word in dish.get("called", ()):  # a word of its name, and of what it takes
        assert word in dish["name"].lower()
        assert word in str(dish["uses"]).lower()
    assert dish["uses"]
    assert dish["minutes"] > 0
    if dish.get("batch"):
        assert dish["makes"]
        assert "role" not in dish
        return
    assert dish["role"] in ROLES
    assert set(dish.get("covers", [])) <= ROLES - {dish["role"]}
    assert dish["serves"] > 0
    assert 0 < dish["hands_on_minutes"] <= dish["minutes"]
    assert -2 <= dish.get("liking", 0) <= 2
    assert dish.get("only_for", "") in ("", "feast", "crew")
    assert tags(dish) <= TAGS
    assert tags(dish), "a dish without tags escapes every house rule"


def test_no_name_stands_twice_in_the_two_books() -> None:
    counts = Counter(d["name"].casefold() for d in dishes())
    assert [n for n, c in counts.items() if c > 1] == []


def test_every_known_tag_is_in_use() -> None:
    assert set().union(*(tags(d) for d in dishes())) == TAGS


def test_pairings_name_a_tag_or_a_dish_that_exists() -> None:
    """The demo book may name a starter dish; the starter book goes to other larders, so names its own."""
    starter = {d["name"] for d in dishes() if d["book"] == "starter"}
    for dish in dishes():
        known = TAGS | (starter if dish["book"] == "starter" else {d["name"] for d in dishes()})
        for other in [*dish.get("goes_with", []), *dish.get("not_with", [])]:
            assert other in known, f"{dish['name']}: {other}"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_amount_measures_its_product(path: Path) -> None:
    dish = yaml.safe_load(path.read_text(encoding="utf-8"))
    for use in dish["uses"] + [u for i in dish.get("instead", []) for u in i.get("uses", [])]:
        read = [read_option(o) for o in options(use)]
        assert all(number > 0 for _, number in read)
        assert len({product for product, _ in read}) == len(alternatives(use)), f"an option is written twice: {use}"
    for made in dish.get("makes", []):
        assert read_option(made)[1] > 0


def test_the_demo_book_speaks_only_of_the_demo_larder() -> None:
    for dish in (d for d in dishes() if d["book"] == "demo"):
        assert not drawn(dish) & set(OTHER_LARDERS), dish["name"]


def test_every_starter_dish_can_be_cooked_from_the_demo_larder() -> None:
    for dish in (d for d in dishes() if d["book"] == "starter"):
        for use in dish["uses"]:
            assert any(read_option(o)[0] not in OTHER_LARDERS for o in options(use)), dish["name"]


def test_the_demo_household_has_its_own_dishes_and_those_of_summer_and_feasts() -> None:
    counts = Counter(d.get("role", "batch") for d in dishes() if d["book"] == "demo")
    assert counts == {"main": 94, "side": 31, "breakfast": 21, "lunch": 34, "sweet": 21, "bread": 1, "batch": 4}


def test_the_starter_book_spreads_over_the_meals() -> None:
    counts = Counter(d.get("role", "batch") for d in dishes() if d["book"] == "starter")
    least = {"main": 24, "side": 14, "breakfast": 10, "lunch": 12, "sweet": 12, "bread": 2, "fruit": 2}
    assert {r: c for r, c in least.items() if counts[r] < c} == {}
    mains = of_role("main", "starter")
    assert sum("meatless" in tags(d) for d in mains) >= 7
    assert sum(d["minutes"] <= 35 for d in mains) >= 6


@pytest.mark.parametrize("product", NEEDS_A_DISH)
def test_what_sits_or_gluts_has_a_dish(product: str) -> None:
    users = [d["name"] for d in dishes() if not d.get("batch") and product in drawn(d)]
    assert users, f"no dish draws {product}"


def test_held_jars_gifts_and_coffee_are_in_no_dish() -> None:
    for dish in dishes():
        assert not drawn(dish) & NEVER_EATEN, dish["name"]


def without_alternative(mark: str, whom: set[str]) -> set[str]:
    eaten = [d for d in dishes() if not d.get("batch") and mark in marks(d)]
    assert eaten, f"nothing carries the mark {mark}"
    return {d["name"] for d in eaten if not any(i["for"] in whom for i in d.get("instead", []))}


def test_salty_dishes_all_have_something_for_the_low_salt_plate() -> None:
    assert without_alternative("salty", {"Edda", "low salt", "salty"}) == set()


def test_only_the_oat_bars_are_barred_outright_by_honey() -> None:
    assert without_alternative("honey", {"baby", "honey"}) == {"Honey oat bars"}


def test_no_dish_holds_a_tree_nut() -> None:
    assert [d["name"] for d in dishes() if "tree nut" in marks(d)] == []


def test_meatless_mains_hold_no_meat_or_fish() -> None:
    meat = re.compile("beef|pork|ham\\b|bacon|sausage|chicken|venison|lamb|liver|trout|fish|bones|baked", re.I)
    for dish in (d for d in dishes() if "meatless" in tags(d)):
        assert [p for p in drawn(dish) if meat.search(p)] == [], dish["name"]


def test_dishes_of_cooked_carrots_have_raw_sticks_for_linnet() -> None:
    cooked = [d for d in dishes() if "cooked carrots" in tags(d)]
    assert len(cooked) >= 8
    for dish in cooked:
        assert any(i["for"] == "Linnet" for i in dish["instead"]), dish["name"]
    for dish in (d for d in dishes() if d.get("role") in ("main", "side") and "raw" not in tags(d)):
        if drawn(dish) & {"Carrots, in sand", "Carrots, sliced"}:
            assert "cooked carrots" in tags(dish), dish["name"]


def test_every_leaving_has_a_dish_and_every_such_dish_a_leaving() -> None:
    left = {d["leaves"]["name"] for d in dishes() if "leaves" in d}
    needed = {d["needs_left"] for d in dishes() if "needs_left" in d}
    assert left == needed
    assert {"cold meat loaf", "cold chicken", "ham bone", "cold roast beef"} <= left


def test_the_fixed_nights_have_more_than_one_dish_each_in_winter() -> None:
    house = yaml.safe_load((ROOT / "demo" / "household.yaml").read_text(encoding="utf-8"))["house_rules"]
    for weekday, tag in house["fixed"].items():
        fit = [
            d["name"]
            for d in of_role("main")
            if tag in tags(d)
            and 2 in months(d)
            and d["minutes"] <= house["longest_minutes"][weekday]
            and not d.get("only_for")
            and not d.get("needs_left")
        ]
        assert len(fit) >= 5, f"{weekday} ({tag}): {fit}"


def may_stand_together(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Two dishes on one plate: neither refuses the other, and nothing the house forbids comes twice."""
    twice = {"beans", "potato", "cabbage"} & tags(one) & tags(other)
    refused = set(one.get("not_with", [])) & (tags(other) | {other["name"]})
    refusing = set(other.get("not_with", [])) & (tags(one) | {one["name"]})
    return not (twice or refused or refusing)


def test_every_bare_main_has_a_choice_of_sides_in_winter() -> None:
    sides = [d for d in of_role("side") if 2 in months(d)]
    bare = [d for d in of_role("main") if "side" not in d.get("covers", [])]
    assert len(bare) >= 20
    for main in bare:
        fit = [s["name"] for s in sides if may_stand_together(main, s)]
        assert len(fit) >= 6, f"{main['name']}: {fit}"


@pytest.mark.parametrize(
    ("main", "side"),
    [
        ("Beef and noodles", "Fried red potatoes"),
        ("Cottage pie", "Mashed potatoes"),
        ("Cottage pie", "Rutabaga mash"),
        ("Flat-bread supper", "Warm kraut"),
        ("Chili supper", "Plain green beans"),
        ("Sausage and kraut", "Slaw from the cellar"),
        ("Pan trout", "Warm kraut"),
        ("Lamb patties with chutney", "Rice with peas"),
        ("Noodles with basil and peas", "Buttered peas"),
        ("Pork chops and apples", "Fried apples"),
        ("Leek and potato soup", "Mashed potatoes"),
    ],
)
def test_plates_no_cook_would_set_down(main: str, side: str) -> None:
    assert not may_stand_together(named(main), named(side))


@pytest.mark.parametrize(
    ("main", "side"),
    [
        ("Chicken and dumplings", "Plain green beans"),
        ("Flat-bread supper", "Slaw from the cellar"),
        ("Pork shoulder, slow", "Fried red potatoes"),
        ("Bean and ham soup supper", "Slaw from the cellar"),
        ("Pan trout", "Buttered peas"),
        ("Chili supper", "Slaw from the cellar"),
        ("Meat loaf and roots", "Garlic kale"),
        ("Beef and noodles", "Dill cucumber plate"),
    ],
)
def test_plates_every_cook_knows(main: str, side: str) -> None:
    assert may_stand_together(named(main), named(side))


def test_no_note_speaks_of_process_or_calls_a_jar_safe() -> None:
    forbidden = re.compile(r"\b(safe|expire\w*|best by|use by|psi|headspace|processing)\b", re.I)
    for dish in dishes():
        assert not forbidden.search(dish["file"].read_text(encoding="utf-8")), dish["name"]
