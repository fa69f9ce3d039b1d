"""The whole folder: what is read from a tiny household."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.errors import MistakesInFiles, Place
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.household import read_household
from pantrymeals.files.products import read_products
from pantrymeals.files.recipes import starter_folder
from pantrymeals.files.stock import read_stock
from pantrymeals.records import Household, Lot, Person
from pantrymeals.season_facts import SeasonFacts
from pantrymeals.units import parse_amount

STARTER = Path(__file__).parents[2] / "kitchens" / "hut_starter"
Read = Callable[..., Household]
QT = parse_amount("1 qt").quantity
LB = parse_amount("1 lb").quantity


def test_people_meals_and_rules(read: Read) -> None:
    household = read()
    wren, tam = household.people
    assert wren == Person(
        "Wren",
        date(1990, 5, 2),
        Fraction(1),
        must_not=frozenset({"tree nut"}),
        lunch_tin_days=frozenset({"Mon", "Tue", "Wed", "Thu", "Fri"}),
        place=Place("household.yaml", 7, 5),
    )
    assert (tam.portion, tam.will_not) == (Fraction(1, 10), frozenset({"soup"}))
    lunch, supper = household.meals
    assert (lunch.meal, lunch.eaters["Sun"]) == ("lunch", "tins")
    assert (supper.roles["Sat"], supper.roles["Sun"]) == (("main", "side"), ("main", "side", "sweet"))
    assert (supper.eaters["Fri"], supper.eaters["Sat"]) == ("all", "home")
    assert (lunch.see_to_themselves, supper.see_to_themselves) == (True, False)
    rules = household.rules
    assert rules.meal_minutes == {"supper": dict.fromkeys(("Mon", "Tue", "Wed", "Thu", "Fri"), 40)}
    assert (rules.days_between, rules.at_most, rules.fixed) == ({"main": 10}, {"soup": 3}, {"Fri": "soup"})
    assert rules.hands_on_minutes == {**dict.fromkeys(("Mon", "Tue", "Wed", "Thu", "Fri"), 60), "Sun": 120}
    assert (rules.not_running, rules.stretch) == (frozenset({"beans"}), Fraction(1, 4))
    assert (household.last_frost, household.altitude_ft) == ((5, 25), 2750)
    assert [p.code for p in household.places] == ["N1", "Bin 1"]
    assert household.no_store.purse_usd_week == Fraction(15, 2)


def test_products(read: Read) -> None:
    products = read().products
    beans = products["Green beans"]
    assert [(s.name, s.content) for s in beans.sizes] == [("qt", QT), ("pt", QT / 2)]
    assert (beans.whole, beans.reserve, beans.opened_days) == (True, 2 * QT, 4)
    assert beans.grams_per_base == Fraction(960) / QT
    chicken = products["Whole chicken"]
    assert (chicken.measure, chicken.reserve, chicken.grams_per_base) == ("each", 1, 2000)
    assert products["Kale"].eaten_in == frozenset({10, 11, 12, 1, 2, 3})
    potatoes = products["Potatoes, main crop"]
    assert (potatoes.whole, potatoes.reserve, potatoes.deadline_kind) == (False, 40 * LB, "keeps to")
    walnuts = products["Walnuts"]
    assert (walnuts.on_menus, walnuts.contents) == (False, frozenset({"tree nut"}))


def test_lots_part_jars_and_standing_use(read: Read) -> None:
    household = read()
    first, second, third = household.lots
    assert first == Lot(
        "Green beans",
        "qt",
        Fraction(12),
        date(2025, 8, 9),
        where="N1",
        load="load 2",
        tested_source="tested, book p. 4",
        place=Place("stock.csv", 2),
    )
    assert (second.product, second.size, second.where, second.state) == ("Green beans", "pt", "N1", "held")
    assert (second.put_up, second.year_only) == (date(2024, 1, 1), True)
    assert third.count == Fraction("120.5")
    (jar,) = household.part_jars
    assert (jar.product, jar.left, jar.opened) == ("Green beans", QT / 2, date(2026, 1, 15))
    (use,) = household.standing
    daily = LB * 7 / 2
    assert use.weekly == tuple(daily + (7 * LB if m in (10, 11, 12, 1, 2, 3) else 0) for m in range(1, 13))
    assert use.note == "for the hens"


def test_standing_use_has_months_or_days_of_every_year(read: Read) -> None:
    rows = "product,amount,every,from,to\nGreen beans,1 qt,week,,\nGreen beans,2 qt,week,06-20,09-01\n"
    (use,) = read({"standing.csv": rows}).standing
    assert use.weekly == (QT,) * 12
    assert use.within == (((6, 20), (9, 1), 2 * QT),)


def test_what_comes_in_is_spread_over_its_days_from_today_on(read: Read) -> None:
    arrivals = read().arrivals
    days = [(a.product, a.day.isoformat(), a.amount) for a in arrivals]
    potatoes, beans = ("Potatoes, main crop", 10 * LB), ("Green beans", QT * 3 / 2)
    # 14 January lies before the count; every fourth day goes on from it all the same.
    assert days == [
        (beans[0], "2026-01-18", beans[1]),
        (potatoes[0], "2026-01-19", potatoes[1]),
        (potatoes[0], "2026-01-21", potatoes[1]),
        (beans[0], "2026-01-22", beans[1]),
        (potatoes[0], "2026-01-26", potatoes[1]),
        (beans[0], "2026-01-26", beans[1]),
        (potatoes[0], "2026-01-28", potatoes[1]),
        ("Whole chicken", "2026-02-01", 2),
    ]


def test_a_line_without_an_end_goes_on_for_400_days(read: Read) -> None:
    text = "coming_in:\n  - {product: Kale, amount: 1 qt bag, every: week}\n"
    days = [a.day for a in read({"calendar.yaml": text}).arrivals]
    assert (days[0], days[1], len(days)) == (date(2026, 1, 17), date(2026, 1, 24), 58)


def test_occasions_spell_people_and_dishes_as_their_owners_do(read: Read) -> None:
    neighbour, easter, sugaring = read().occasions
    assert (neighbour.first, neighbour.weekdays) == (date(2026, 1, 17), frozenset({"Sun"}))
    assert (neighbour.last, neighbour.meals) == (date(2027, 2, 21), ("supper",))
    assert (easter.dish, easter.guests, easter.kind) == ("Bean soup", Fraction(5, 2), "feast")
    assert (sugaring.away, sugaring.meals) == (frozenset({"Tam"}), ("lunch",))
    assert sugaring.weekdays == frozenset({"Sat"})


def test_dishes(read: Read) -> None:
    household = read()
    soup = household.dishes["Bean soup"]
    assert [[(o.product, o.stand_in, o.note) for o in u.options] for u in soup.uses] == [
        [("Green beans", False, ""), ("Green beans", False, "")],
        [("Stock or broth", False, ""), ("Potatoes, main crop", False, "")],
        [("Kale", False, ""), ("Eggs, beaten", True, "stirred in")],
    ]
    assert (soup.tags, soup.season) == (frozenset({"soup", "beans"}), frozenset({10, 11, 12, 1, 2, 3}))
    assert soup.goes_with == frozenset({"Boiled potatoes"})
    assert household.dishes["Flask of soup"].needs_left == "cold soup"
    assert household.dishes["Flask of soup"].uses == ()
    batch = household.batch_days["Egg day"]
    assert (batch.makes[0].product, batch.makes[0].amount, batch.minutes) == ("Eggs, beaten", 4, 90)


def test_options_may_be_listed_under_or(read: Read) -> None:
    text = (
        "name: New dish\nrole: side\nserves: 2\nuses:\n"
        "  - {use: 1 qt bag Kale, or: [1 qt Green beans, 2 lb Potatoes], note: boiled}\n"
    )
    (use,) = read({"recipes/new.yaml": text}).dishes["New dish"].uses
    assert [(o.product, o.note) for o in use.options] == [
        ("Kale", "boiled"),
        ("Green beans", "boiled"),
        ("Potatoes, main crop", "boiled"),
    ]


def test_a_count_of_nothing_is_taken_only_where_shelf_and_book_are_compared(hut: Path, read: Read) -> None:
    household = read()
    (hut / "stock.csv").write_text("product,size,count\nGreen beans,qt,0\n")
    known = KnownProducts.of(household.products.values())
    gathering = Gathering()
    lots = read_stock(hut / "stock.csv", known, household.places, gathering, nothing_counts=True)
    assert not gathering.found
    assert [lot.count for lot in lots] == [0]


def test_the_household_stands_before_the_starter_book(read: Read) -> None:
    dishes = read().dishes
    assert dishes["Boiled potatoes"].book == "household"
    assert "BOILED  potatoes" not in dishes
    assert dishes["Roast chicken"].book == "starter"


def test_a_starter_dish_loses_what_is_not_kept_and_is_skipped_when_nothing_is_left(read: Read) -> None:
    household = read()
    chicken = household.dishes["Roast chicken"]
    assert [[o.product for o in u.options] for u in chicken.uses] == [
        ["Whole chicken"],
        ["Potatoes, main crop"],  # parsnips are not kept
        ["Stock or broth"],
    ]
    assert chicken.uses[2].options[0].stand_in
    assert chicken.instead == ()  # its parsnips are not kept either
    assert household.skipped_dishes == {"Beets and kale": ("Beets", "Beetroot", "Kale in lb")}


def test_the_season_is_read_with_the_rest(read: Read) -> None:
    assert read().season == SeasonFacts()
    text = "jars: [{size: qt, empties: 40}]\nharvest:\n  - {crop: kale, from: 06-01, to: 06-30, products: [kale]}\n"
    season = read({"season.yaml": text}).season
    assert (season.empties, season.harvests[0].products) == ({"qt": 40}, ("Kale",))


def test_files_that_may_be_absent(hut: Path) -> None:
    for name in ("open.csv", "standing.csv", "calendar.yaml"):
        (hut / name).unlink()
    household = read_household(hut, starter=STARTER)
    assert (household.part_jars, household.standing, household.arrivals) == ((), (), ())


def test_the_day_is_the_one_asked_for_then_the_files_then_the_callers(hut: Path) -> None:
    asked, clock = date(2026, 2, 1), date(2026, 3, 1)
    assert read_household(hut, asked, STARTER, calendar_day=clock).today == asked
    assert read_household(hut, None, STARTER, calendar_day=clock).today == date(2026, 1, 17)
    sheet = hut / "household.yaml"
    sheet.write_text(sheet.read_text().replace("today: 2026-01-17\n", ""))
    assert read_household(hut, None, STARTER, calendar_day=clock).today == clock
    with pytest.raises(MistakesInFiles, match=r"^household.yaml: no day is given; write today: 2026-01-17"):
        read_household(hut, None, STARTER)


def test_stock_is_needed_unless_a_book_stands_in(hut: Path) -> None:
    (hut / "stock.csv").unlink()
    with pytest.raises(MistakesInFiles) as caught:
        read_household(hut, starter=STARTER)
    assert str(caught.value) == ("stock.csv: this file is missing; write one row for each lot on the shelf")
    assert read_household(hut, starter=STARTER, need_stock=False).lots == ()


def test_no_household_at_all(tmp_path: Path, hut: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    for folder, message in (
        (empty, "no household.yaml here; it says who eats and where things are kept; 'start' begins one"),
        (tmp_path / "nowhere", "there is no such folder; name the folder that holds household.yaml"),
        (hut / "stock.csv", "this is a file, not a folder; name the folder that holds household.yaml"),
    ):
        with pytest.raises(MistakesInFiles) as caught:
            read_household(folder, starter=STARTER)
        assert str(caught.value) == f"{folder}: {message}"


def test_the_starter_book_is_found() -> None:
    assert starter_folder().is_dir()
    assert any(starter_folder().glob("*.yaml"))


HEAD = "product,kind,sizes,loose,must_last_to,eat_by,deadline\n"


def products_of(tmp_path: Path, row: str) -> tuple[KnownProducts, Gathering]:
    file, gathering = tmp_path / "products.csv", Gathering()
    file.write_text(f"{HEAD}{row}\n", encoding="utf-8")
    return read_products(file, gathering), gathering


@pytest.mark.parametrize(
    "row",
    [
        "Leeks,cellar,each,,,2026-03-31,",
        "Leeks,cellar,each,,,2026-03-31,keeps to",
        "Leeks,cellar,each,,2026-03-31,,keeps to",
    ],
)
def test_what_does_not_keep_has_its_day_in_eat_by_or_with_keeps_to(tmp_path: Path, row: str) -> None:
    known, gathering = products_of(tmp_path, row)
    assert len(gathering) == 0
    leeks = known.by_name["Leeks"]
    assert (leeks.must_last_to, leeks.deadline_kind) == (date(2026, 3, 31), "keeps to")


@pytest.mark.parametrize(
    "row", ["Leeks,cellar,each,,2026-09-01,2026-03-31,", "Leeks,cellar,each,,,2026-03-31,new crop"]
)
def test_a_thing_is_not_to_be_gone_and_to_last(tmp_path: Path, row: str) -> None:
    _, gathering = products_of(tmp_path, row)
    [mistake] = gathering.found
    assert str(mistake) == (
        "products.csv:2:6: it is to be eaten by a day, and to last to one; "
        "write a day to be gone by in eat_by alone, one to reach in must_last_to"
    )
