"""The starter book in other larders: dishes of their own products, under their own names, in their own jars."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
import yaml

from pantrymeals.actions.dishes import dish_book
from pantrymeals.actions.first_count import first_count, write_count
from pantrymeals.actions.food_tables import foods
from pantrymeals.actions.start import answers_in, start
from pantrymeals.files.amounts import parts_of
from pantrymeals.files.by_thing import things_meant
from pantrymeals.files.catalogue import named, serving_as
from pantrymeals.files.each_of import word_for
from pantrymeals.files.gathering import fold
from pantrymeals.files.household import read_household
from pantrymeals.larder.nutrition import amount_nutrition
from pantrymeals.records import Dish, Household, Product
from pantrymeals.units import take_number

ROOT = Path(__file__).resolve().parents[3]
KITCHENS = ROOT / "tests" / "kitchens" / "first_evening"
PLAIN = sorted((ROOT / "recipes" / "plain").glob("*.yaml"))
DAY = date(2026, 11, 27)


def household(tmp: Path, answers: str, listed: str, *settled: str) -> Household:
    start(tmp, answers_in(KITCHENS / answers), DAY)
    write_count(tmp, first_count(tmp, KITCHENS / listed, "", settled, DAY))
    return read_household(tmp, today=DAY)


@pytest.fixture(scope="module")
def pints(tmp_path_factory: pytest.TempPathFactory) -> Household:
    return household(tmp_path_factory.mktemp("pints") / "p", "pints.txt", "pints.csv")


@pytest.fixture(scope="module")
def south(tmp_path_factory: pytest.TempPathFactory) -> Household:
    folder = tmp_path_factory.mktemp("south") / "s"
    return household(folder, "southern.txt", "southern-list.txt", "2=Tomatoes, crushed")


def uses(dish: dict[str, object]) -> Iterator[str]:
    for use in dish["uses"]:  # type: ignore[attr-defined]
        yield from parts_of(use if isinstance(use, str) else str(use["use"]))


def test_a_plain_larder_has_ninety_dishes_among_them_twenty_five_mains(pints: Household) -> None:
    assert len(pints.products) <= 50
    counted = Counter(d.role for d in pints.dishes.values())
    assert sum(counted.values()) >= 90
    assert counted["main"] >= 25
    assert min(counted[role] for role in ("side", "lunch", "breakfast", "sweet")) >= 10
    assert {d.book for d in pints.dishes.values()} == {"starter"}


def test_the_metric_southern_larder_has_its_own(south: Household) -> None:
    counted = Counter(d.role for d in south.dishes.values())
    assert sum(counted.values()) >= 90
    assert counted["main"] >= 20
    assert "Snags" in south.products
    assert "Roast chook with potatoes" in south.dishes


@pytest.mark.parametrize("meat", ["venison", "pork", "liver", "trout", "goat", "rabbit"])
def test_no_dish_goes_by_the_name_of_what_is_not_kept(meat: str, pints: Household, south: Household) -> None:
    assert not [n for n in pints.dishes if meat in fold(n) and "pork chops" not in fold(n)]
    assert not [n for n in south.dishes if meat in fold(n)]


def test_a_dish_is_called_by_what_is_kept_for_it(pints: Household, south: Household) -> None:
    """A larder of pumpkins has no squash on its menu, one of silverbeet no chard, one of lentils no split peas."""
    assert {"Pumpkin pie", "Stuffed pumpkin half", "Pumpkin and bean soup", "Silverbeet with garlic"} <= set(
        south.dishes
    )
    assert {"Lentil soup, plain", "Sausage and sweetcorn rice", "Potato cakes and apple sauce"} <= set(south.dishes)
    assert {"Stuffed squash half", "Split pea soup, plain", "Oat griddle cakes with apple butter"} <= set(pints.dishes)
    for word in ("squash", "chard", "kale", "applesauce", "split pea", "pepper", "pear butter", "dill"):
        assert not [n for n in south.dishes if word in fold(n)], word
        assert word in ("squash", "split pea", "applesauce") or not [n for n in pints.dishes if word in fold(n)], word
    halved = south.dishes["Stuffed pumpkin half"].method[0]
    assert halved.startswith("Halve the pumpkin, ")
    assert (
        south.dishes["Pumpkin and bean soup"].leaves is None
        or "Pumpkin" in south.dishes["Pumpkin and bean soup"].leaves.name
    )


def test_what_is_made_of_a_leaving_is_there_where_a_dish_leaves_it(pints: Household, south: Household) -> None:
    for home in (pints, south):
        left = {d.leaves.name for d in home.dishes.values() if d.leaves}
        made = {d.needs_left for d in home.dishes.values() if d.needs_left}
        assert made <= left
    assert "Cold chicken and jelly bread" in pints.dishes
    assert not [n for n in pints.dishes if n.startswith("Cold beef")]


def test_every_name_in_a_plain_dish_is_one_of_the_catalogue() -> None:
    assert len(PLAIN) > 50
    for path in PLAIN:
        dish = yaml.safe_load(path.read_text(encoding="utf-8"))
        if "each_of" in dish:
            assert fold(dish["each_of"]) in serving_as(), path.name
            assert "{}" in dish["name"], path.name
        for use in uses(dish):
            taken = take_number(use)
            assert taken is not None, (path.name, use)
            words = taken[1].split()
            names = [" ".join(words[start:]) for start in range(len(words))]
            assert "{}" in use or any(fold(n) in named() or fold(n) in serving_as() for n in names), (path.name, use)


def test_nothing_that_is_kept_is_called_unkept(pints: Household) -> None:
    """What a skipped dish is said to lack is truly not there: no product is such a thing, nor may stand in."""
    things = {p.thing for p in pints.products.values()}
    for name, lacking in pints.skipped_dishes.items():
        for word in lacking:
            assert not {t.name for t, stand_in in things_meant(word) if not stand_in} & things, (name, word)


def test_the_demo_has_none_of_the_plain_dishes() -> None:
    demo = read_household(ROOT / "demo")
    titles = {yaml.safe_load(p.read_text(encoding="utf-8"))["name"] for p in PLAIN}
    assert not titles & set(demo.dishes)


def taken(dish: Dish, product: str) -> Fraction:
    return next(o.amount for u in dish.uses for o in u.options if o.product == product)


def test_a_metric_kitchen_takes_jar_for_jar_and_half_a_kilo_for_a_pound(south: Household, pints: Household) -> None:
    assert taken(south.dishes["Gravy beef stew from the freezer"], "Gravy beef") == 500
    assert taken(south.dishes["Bean and tomato pot"], "Baked beans") == 500
    assert taken(south.dishes["Bread and raspberry jam"], "Raspberry jam") == Fraction(125, 2)
    assert taken(south.dishes["Boiled potatoes"], "Spuds") == 750
    assert taken(pints.dishes["Bean and tomato pot"], "Baked beans") == Fraction("473.176473")


def test_what_is_kept_by_weight_is_taken_by_the_catalogues_weight_near_a_pack(south: Household) -> None:
    """A quart of peas is read as a litre: four cups of 134 g (SR26) and a spoonful, 566 g; a 500 g bag is near."""
    assert taken(south.dishes["Buttered peas"], "Peas") == 500


def test_a_serving_of_a_plain_dish_is_neither_thin_nor_absurd(pints: Household, south: Household) -> None:
    """The same floors and ceilings as the two books have (`test_a_plate_is_enough`)."""
    bounds = {"main": (350, 900), "lunch": (255, 800), "breakfast": (220, 550), "side": (0, 300), "sweet": (150, 620)}
    weighed, wrong = 0, []
    titles = {yaml.safe_load(p.read_text(encoding="utf-8"))["name"] for p in PLAIN}
    for home in (pints, south):
        for dish in home.dishes.values():
            if dish.name not in titles or dish.role not in bounds:
                continue
            found = [
                amount_nutrition(home.products[u.options[0].product], u.options[0].amount, foods()) for u in dish.uses
            ]
            if any(f is None for f in found):
                continue
            weighed += 1
            energy = sum(f.kcal for f in found if f) / float(dish.serves)
            low, high = bounds[dish.role]
            if not low <= energy <= high:
                wrong.append((dish.name, round(energy)))
    assert weighed > 30
    assert wrong == []


@pytest.mark.parametrize(
    ("name", "thing", "word"),
    [
        ("Beef chunks", "Beef chunks", "beef"), ("Canned chicken", "Chicken pieces", "chicken"),
        ("Pork in broth", "Pork in broth", "pork"), ("Chook", "Whole chicken", "chook"),
        ("Lamb roast", "Lamb joint", "lamb"), ("Peaches in syrup", "Peaches in syrup", "peaches"),
        ("Rhubarb, stewed", "Rhubarb, stewed", "stewed rhubarb"),
        ("Strawberry jam", "Strawberry jam", "strawberry jam"),
    ],
)  # fmt: skip
def test_the_word_that_a_dish_is_called_by(name: str, thing: str, word: str) -> None:
    assert word_for(Product(name, "", "jar", "ml", (), thing=thing)) == word


def test_dishes_says_which_one_product_is_missing(pints: Household) -> None:
    book = dish_book(pints, {"Pasta and tomato": 2})
    assert len(book.fit) == len(pints.dishes)
    assert "stewing meat" in book.one_away
    assert all(len(pints.skipped_dishes[n]) == 1 for names in book.one_away.values() for n in names)
    assert book.farther == sum(len(lacking) > 1 for lacking in pints.skipped_dishes.values())
    assert {d.role for d in dish_book(pints, {}, "side").fit} == {"side"}
