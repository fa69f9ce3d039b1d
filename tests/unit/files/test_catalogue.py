"""The catalogue of stored things: sound in itself, filling what is left blank, never over a household's own."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.files.catalogue import Garden, catalogue, garden_at, sources
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.household import read_household
from pantrymeals.files.products import ACIDS, KINDS, foods_known, read_products, sizes_and_measure
from pantrymeals.files.values import months
from pantrymeals.records import Product

ROOT = Path(__file__).resolve().parents[3]
HEAD = "product,thing,kind,sizes,opened_days,contents,weight_g,must_last_to,deadline,acid,loose\n"


@pytest.fixture
def product(tmp_path: Path) -> Callable[..., Product]:
    """The one product of a row, or an error with what is wrong with it."""

    def read(row: str, garden: Garden | None = None, today: date | None = None) -> Product:
        (tmp_path / "products.csv").write_text(HEAD + row + "\n", encoding="utf-8")
        gathering = Gathering()
        known = read_products(tmp_path / "products.csv", gathering, garden, today)
        if gathering.found:
            raise ValueError("; ".join(map(str, gathering.found)))
        return next(iter(known.by_name.values()))

    return read


def test_every_row_can_stand_in_products_csv_and_every_figure_has_a_source() -> None:
    groups = {r["family"] for r in csv.DictReader((ROOT / "pantrymeals/data/food_groups.csv").open(encoding="utf-8"))}
    assert len(catalogue()) >= 300
    for thing in catalogue().values():
        assert thing.kind in KINDS, thing.name
        assert thing.acid in ACIDS, thing.name
        assert (thing.kind == "jar") == bool(thing.acid), thing.name
        assert thing.family in groups, thing.name
        assert thing.food == "" or thing.food.zfill(5) in foods_known(), thing.name
        sizes_and_measure(thing.sizes)
        sizes_and_measure(thing.sizes_metric)
        assert all(months(text) for text in thing.harvest.values()), thing.name
        figures = {
            "acid": thing.acid, "sizes": thing.sizes, "opened": thing.opened_days, "thaw": thing.thaw_days,
            "best": thing.best_months, "contents": thing.contents, "harvest": thing.harvest,
            "weight": thing.cup_g or thing.each_g, "fresh": thing.fresh_days,
        }  # fmt: skip
        assert {name for name, figure in figures.items() if figure} == set(thing.sources), thing.name
        assert set(thing.sources.values()) <= set(sources()), thing.name
    assert {s.how for s in sources().values()} == {"read", "from memory", "common practice"}


def test_no_name_means_two_things_that_are_kept_in_the_same_way() -> None:
    said = Counter((fold(n), t.kind) for t in catalogue().values() for n in {t.name, *t.also_called})
    assert [name for name, times in said.items() if times > 1] == []


def test_sizes_of_one_kitchen_have_no_unit_of_the_other() -> None:
    us = {"qt", "pt", "hp", "lb", "oz", "gal"}
    for thing in catalogue().values():
        assert not us & set(thing.sizes_metric.replace(";", " ").split()), thing.name
        assert not {"ml", "l", "g", "kg"} & set(thing.sizes.replace(";", " ").split()), thing.name


def test_what_is_fresh_is_loose_stands_in_the_fridge_or_cellar_and_goes_before_things_that_keep() -> None:
    by_name = {thing.name: thing for thing in catalogue().values()}
    fresh = [thing for thing in by_name.values() if thing.fresh_days is not None]
    assert len(fresh) >= 25
    for thing in fresh:
        assert thing.loose, thing.name
        assert thing.kind in ("fridge", "cellar"), thing.name
        assert 1 <= (thing.fresh_days or 0) <= 14, thing.name
        assert all(by_name[name].fresh_days is None for name in thing.eaten_before), thing.name
        assert not thing.harvest or thing.kind == "cellar", thing.name
    assert not [thing.name for thing in by_name.values() if thing.eaten_before and thing.fresh_days is None]


@pytest.mark.parametrize(
    ("thing", "days"),
    [
        # University of Illinois Extension, Cold Storage: Fruits and Veggies, refrigerator shelf life (read)
        ("Sweet corn, fresh", 2), ("Peaches, fresh", 4), ("Sweet peppers, fresh", 5), ("Brussels sprouts, fresh", 5),
        ("Zucchini, fresh", 5), ("Green beans, fresh", 7), ("Salad greens", 7),
    ],
)  # fmt: skip
def test_days_of_what_was_read_are_those_of_its_source(thing: str, days: int) -> None:
    found = catalogue()[fold(thing)]
    assert (found.fresh_days, found.sources["fresh"]) == (days, "uiext")


def test_a_fresh_row_gets_its_days_and_what_waits_of_this_larder(tmp_path: Path) -> None:
    rows = """product,thing,sizes,fresh_days,eaten_before
Beans off the row,"Green beans, fresh",lb,,
Our beans,green beans,qt,,
"Peas, fresh",,lb,2,none
Peas,,qt bag = 1 qt,,
Rhubarb out there,"rhubarb, fresh",lb,,Peas
"""
    (tmp_path / "products.csv").write_text(rows, encoding="utf-8")
    gathering = Gathering()
    known = read_products(tmp_path / "products.csv", gathering, Garden("cool"), date(2026, 4, 20)).by_name
    assert gathering.found == []
    beans, peas, rhubarb = (known[n] for n in ("Beans off the row", "Peas, fresh", "Rhubarb out there"))
    assert (beans.fresh_days, beans.eaten_before, beans.must_last_to) == (7, ("Our beans",), None)
    assert {"fresh_days", "eaten_before"} <= beans.from_catalogue
    assert (peas.fresh_days, peas.eaten_before) == (2, ())
    assert (rhubarb.fresh_days, rhubarb.eaten_before) == (5, ("Peas",))
    assert not {"fresh_days", "eaten_before"} & peas.from_catalogue


def test_blank_columns_are_filled_and_said_to_be(product: Callable[..., Product]) -> None:
    mince = product("Mince for the week,ground beef,,kg,,,,,,,")
    assert (mince.name, mince.thing, mince.kind, mince.family) == (
        "Mince for the week", "Ground beef, frozen", "freezer", "beef",
    )  # fmt: skip
    assert (mince.thaw_days, mince.opened_days, mince.food) == (1, 2, "23572")
    assert mince.from_catalogue >= {"kind", "family", "thaw_days", "opened_days", "food"}
    assert "sizes" not in mince.from_catalogue


def test_what_the_household_writes_wins(product: Callable[..., Product]) -> None:
    jar = product("Tomatoes,crushed tomatoes,,500 ml jar,3,,,,,high,")
    assert (jar.opened_days, jar.acid) == (3, "high")
    assert not {"opened_days", "acid"} & jar.from_catalogue


def test_a_row_that_says_its_kind_and_no_thing_is_as_it_is_written(product: Callable[..., Product]) -> None:
    peas = product("Peas,,freezer,qt bag = 1 qt,,,,,,,")
    assert (peas.thing, peas.family, peas.opened_days, peas.from_catalogue) == ("", "", None, frozenset())


def test_a_name_alone_is_enough_where_it_is_the_only_one(product: Callable[..., Product]) -> None:
    assert product("SPUDS,,,kg,,,,,,,").thing == "Potatoes"
    assert product("Beets,,,lb,,,,,,,").thing == "Beets"  # its own name goes before another's other name
    with pytest.raises(ValueError, match=r"'rhubarb, xx' is not in the catalogue"):
        product('"rhubarb, xx",,,qt,,,,,,,')


def test_a_thing_kept_otherwise_is_refused_with_what_it_is(product: Callable[..., Product]) -> None:
    with pytest.raises(ValueError, match="Beef chunks is kept in jars, and this row says freezer"):
        product("Beef,beef chunks,freezer,lb,,,,,,,")
    with pytest.raises(ValueError, match=r"'ground beaf' is not in the catalogue; did you mean 'ground beef'\?"):
        product("Beef,ground beaf,,lb,,,,,,,")


def test_marks_are_filled_and_may_be_taken_away(product: Callable[..., Product]) -> None:
    assert product("Butter,,,lb,,,,,,,").contents == {"milk"}
    assert product("Butter,,,lb,,none,,,,,").contents == frozenset()
    assert product("Snags,,,kg,,,,,,,").contents == {"salty"}


def test_weights_are_of_the_container_whatever_its_size(product: Callable[..., Product]) -> None:
    honey = product("Honey,,,500 ml,,,,,,,")
    assert honey.grams_per_base == Fraction(339) / Fraction("236.5882365")  # a cup is 339 g: SR26
    assert "weight_g" in honey.from_catalogue
    assert product("Honey,,,500 ml,,,700,,,,").grams_per_base == Fraction(700, 500)


def test_a_crop_lasts_to_its_next_harvest_by_latitude(product: Callable[..., Product]) -> None:
    row, today = "Crushed tomatoes,,,500 ml,,,,,,,", date(2026, 4, 20)
    assert product(row, garden_at(Fraction(-37), None), today).must_last_to == date(2027, 1, 1)
    assert product(row, garden_at(Fraction(40), None), today).must_last_to == date(2026, 7, 1)
    assert product(row, garden_at(Fraction(52), None), today).must_last_to == date(2026, 8, 1)
    assert product(row, None, today).must_last_to is None
    own = product("Crushed tomatoes,,,500 ml,,,,2026-08-20,new crop,,", garden_at(Fraction(40), None), today)
    assert own.must_last_to == date(2026, 8, 20)
    assert "must_last_to" not in own.from_catalogue


@pytest.mark.parametrize(
    ("latitude", "frost", "garden"),
    [
        (Fraction(40), None, Garden("mid")),
        (Fraction(-42), (10, 20), Garden("mid", True)),
        (Fraction(34), None, Garden("warm")),
        (Fraction(45), None, Garden("cool")),
        (None, (5, 25), Garden("cool")),
        (None, (4, 20), Garden("mid")),
        (None, (3, 10), Garden("warm")),
        (None, (10, 20), Garden("mid", True)),
        (None, None, None),
    ],
)
def test_where_a_garden_lies(latitude: Fraction | None, frost: tuple[int, int] | None, garden: Garden | None) -> None:
    assert garden_at(latitude, frost) == garden


def test_the_demo_household_is_as_it_wrote_itself() -> None:
    demo = read_household(ROOT / "demo")
    assert all(not p.thing and not p.from_catalogue for p in demo.products.values())


@pytest.mark.parametrize(
    ("size", "measure", "content"),
    [
        ("500 ml jar", "ml", Fraction(500)),
        ("1 l", "ml", Fraction(1000)),
        ("1/2 l jar", "ml", Fraction(500)),
        ("0.75 l bottle", "ml", Fraction(750)),
        ("2 kg bag", "g", Fraction(2000)),
        ("4-lb bag", "each", Fraction(1)),
        ("pack of 6", "each", Fraction(1)),
        ("500 ml jar of mine", "each", Fraction(1)),
    ],
)
def test_a_container_whose_name_says_its_measure_holds_it(size: str, measure: str, content: Fraction) -> None:
    sizes, found = sizes_and_measure(size)
    assert (sizes[0].name, sizes[0].content, found) == (size, content, measure)
