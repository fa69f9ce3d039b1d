"""The demo household's files agree with one another, count by count, and its traps are set."""

from __future__ import annotations

import csv
from collections import Counter
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from pantrymeals.units import parse_amount, unit_named

DEMO = Path(__file__).parents[2] / "demo"
FOODS = Path(__file__).parents[2] / "pantrymeals" / "data" / "foods.csv"

LIDDED = {"half-gal", "qt", "pt", "hp"}


def _table(name: str) -> list[dict[str, str]]:
    with (DEMO / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _tree(name: str) -> dict[str, Any]:
    tree = yaml.safe_load((DEMO / name).read_text(encoding="utf-8"))
    assert isinstance(tree, dict)
    return tree


PRODUCTS = {row["product"]: row for row in _table("products.csv")}
GARDEN = {name for name, row in PRODUCTS.items() if row["fresh_days"]}
FRESH = {"Eggs, fresh", "Milk", "Cream"} | GARDEN
"""What comes in by the week: kept besides the 120 products of the season's book."""
STOCK = _table("stock.csv")
OPEN = _table("open.csv")
STANDING = _table("standing.csv")
HOUSEHOLD = _tree("household.yaml")
CALENDAR = _tree("calendar.yaml")
SEASON = _tree("season.yaml")
SEASON_ROWS: list[dict[str, Any]] = SEASON["season_2025"]


def _first_size(product: str) -> str:
    return PRODUCTS[product]["sizes"].split(";")[0].split("=")[0].strip()


def _sizes(product: str) -> set[str]:
    return {part.split("=")[0].strip() for part in PRODUCTS[product]["sizes"].split(";")}


def _on_hand() -> Counter[str]:
    """Containers by product: the count sheet, and the bird that is thawing (part jars are extra)."""
    count: Counter[str] = Counter()
    for row in STOCK:
        if row["product"] not in FRESH:
            count[row["product"]] += int(row["count"])
    count["Whole chicken"] += sum(row["product"] == "Whole chicken" for row in OPEN)
    return count


def _lots(product: str, state: str | None = None) -> list[dict[str, str]]:
    return [row for row in STOCK if row["product"] == product and state in (None, row["state"])]


def _put_up(row: dict[str, Any]) -> int:
    return sum(lot["count"] for lot in row["put_up"])


def test_there_are_120_products_and_what_comes_in_fresh() -> None:
    assert len(_table("products.csv")) == len(PRODUCTS) == 120 + len(FRESH)
    assert {row["product"] for row in SEASON_ROWS} == set(PRODUCTS) - FRESH


@pytest.mark.parametrize("row", SEASON_ROWS, ids=lambda row: row["product"])
def test_on_hand_is_what_came_less_what_went(row: dict[str, Any]) -> None:
    came = sum(row["carried_over"].values()) + _put_up(row)
    went = row["given"] + row["lost"] + row["used"]
    assert came - went == row["on_hand"]
    assert _on_hand()[row["product"]] == row["on_hand"]


@pytest.mark.parametrize("row", SEASON_ROWS, ids=lambda row: row["product"])
def test_no_lot_on_the_shelf_is_larger_than_it_was_put_up(row: dict[str, Any]) -> None:
    came: Counter[str] = Counter({str(year): count for year, count in row["carried_over"].items()})
    for lot in row["put_up"]:
        came[str(lot["day"])] += lot["count"]
    left: Counter[str] = Counter()
    for lot in _lots(row["product"]):
        left[lot["put_up"] or "unknown"] += int(lot["count"])
    assert all(left[when] <= came[when] for when in left), (left, came)


@pytest.mark.parametrize(
    ("product", "on_hand"),
    # The scenario's own counts, so that a slip made in both files at once is seen.
    [
        ("Applesauce", 72),
        ("Green beans", 54),
        ("Tomatoes, crushed", 17),
        ("Pears in syrup", 8),
        ("Apple juice", 47),
        ("Whole chicken", 21),
        ("Ham, half", 4),
        ("Potatoes, main crop", 240),
        ("Onions", 40),
        ("Coffee", 3),
    ],
)
def test_counts_told_twice(product: str, on_hand: int) -> None:
    assert _on_hand()[product] == on_hand


@pytest.mark.parametrize(("size", "full"), [("half-gal", 49), ("qt", 346), ("pt", 415), ("hp", 116)])
def test_full_jars_by_size_are_the_jar_table(size: str, full: int) -> None:
    """Every jar product, and the five quarts of maple syrup, which stand in jars on the cellar rack."""
    in_jars = {name for name, row in PRODUCTS.items() if row["kind"] == "jar"} | set(SEASON["in_jars_besides"])
    counted = sum(int(row["count"]) for row in STOCK if row["product"] in in_jars and row["size"] == size)
    (said,) = [row for row in SEASON["jars"] if row["size"] == size]
    assert counted == said["full"] == full
    assert said["full"] + said["empties"] + said["out"] == said["owned"]


def test_lids_that_went_are_the_jars_put_up_and_the_failed_seals() -> None:
    jars = sum(_put_up(row) for row in SEASON_ROWS if PRODUCTS[row["product"]]["kind"] == "jar")
    assert jars == 975
    assert jars + SEASON["lids"]["failed_seals_last_season"] == SEASON["lids"]["used_last_season"]


def test_three_seasons_of_the_book_follow_from_one_another() -> None:
    rows = {(row["product"], row["season"]): row for row in SEASON["history"]}
    now = {row["product"]: sum(row["carried_over"].values()) for row in SEASON_ROWS}
    assert len(rows) == 32
    for (product, season), row in rows.items():
        after = rows.get((product, season + 1))
        over = row["carried_over"] + row["put_up"] - row["given_or_lost"] - row["used"]
        assert over == (after["carried_over"] if after else now[product]), (product, season)


def test_load_records_count_every_jar() -> None:
    for load in SEASON["load_records"]:
        assert load["sealed"] + load["failed"] == load["jars_in"], load
    sealed_of_a_day = {(r["product"], str(r["day"])): r["sealed"] for r in SEASON["load_records"]}
    for row in SEASON_ROWS:
        for lot in row["put_up"]:
            sealed = sealed_of_a_day.get((row["product"], str(lot["day"])))
            if sealed is not None and row["product"] != "Applesauce":  # its record spans two days
                assert sealed == lot["count"], row["product"]


def test_every_place_is_known_and_used() -> None:
    codes = [place["code"] for place in HOUSEHOLD["places"]]
    assert len(codes) == len(set(codes))
    assert {row["place"] for row in STOCK + OPEN} <= set(codes)
    assert {"Held", "Shed", "F1", "F2", "Loft", "C-rack A", "C-rack B"} <= {row["place"] for row in STOCK}


def test_sizes_in_stock_and_fridge_are_sizes_of_their_product() -> None:
    for row in STOCK + OPEN:
        assert row["size"] in _sizes(row["product"]), row


def test_standing_use_and_arrivals_speak_of_known_products_in_their_own_measure() -> None:
    named = [(row["product"], row["amount"]) for row in STANDING]
    named += [(row["product"], row["amount"]) for row in CALENDAR["coming_in"]]
    assert len(named) > 150
    for product, amount in named:
        assert product in PRODUCTS
        if amount.split(" ", 1)[1] in _sizes(product):
            continue
        first = unit_named(_first_size(product))
        assert first is not None, (product, amount)
        assert parse_amount(amount).measure == first[0], (product, amount)


def test_reserves_are_no_more_than_the_shelf_and_in_the_products_own_words() -> None:
    for name, row in PRODUCTS.items():
        if row["reserve"]:
            count, size = row["reserve"].split(" ", 1)
            assert size == _first_size(name)
            assert Fraction(count) <= _on_hand()[name]


def test_foods_are_in_the_food_table_and_weights_are_given() -> None:
    with FOODS.open(encoding="utf-8", newline="") as lines:
        known = {row["ndb_no"] for row in csv.DictReader(lines)}
    without = {name for name, row in PRODUCTS.items() if not row["food"]}
    assert {row["food"] for row in PRODUCTS.values() if row["food"]} <= known
    assert without == {
        "Rhubarb, stewed", "Rhubarb, cut", "Rhubarb, fresh", "Soup bones", "Coffee", "Black walnuts, in shell",
        "Marrow and ginger jam", "Pumpkin butter (gift)", "Tomato soup, half-gallon (gift)",
        "Unlabelled, amber",
    }  # fmt: skip
    for name, row in PRODUCTS.items():
        by_weight = row["sizes"].split("=")[-1].strip().endswith("lb")
        assert bool(row["weight_g"]) == bool(row["food"] and not by_weight), name


def test_new_crops_hoped_for_are_the_same_in_both_files() -> None:
    hoped = [
        (row["product"], row["amount"], row["day"])
        for row in CALENDAR["coming_in"]
        if row.get("note") == "new crop, hoped for"
    ]
    assert hoped == [(row["product"], row["amount"], row["day"]) for row in SEASON["expected"]]
    assert len(hoped) > 100
    assert min(day for _, _, day in hoped) > HOUSEHOLD["today"]


def test_harvests_gardens_and_odds_speak_of_the_same_crops() -> None:
    crops = {row["crop"] for row in SEASON["harvest"]}
    for part in ("garden", "trees", "failure_odds"):
        assert {row["crop"] for row in SEASON[part]} <= crops
    assert {product for row in SEASON["harvest"] for product in row["products"]} <= set(PRODUCTS)
    assert sum(row["count"] for row in SEASON["trees"]) == 19


def test_trap_seed_potatoes_and_promised_hams() -> None:
    assert sum(int(lot["count"]) for lot in _lots("Potatoes, main crop", "seed")) == 40
    assert [lot["count"] for lot in _lots("Ham, half", "promised")] == ["1", "1"]
    assert not PRODUCTS["Potatoes, main crop"]["reserve"]
    assert not PRODUCTS["Ham, half"]["reserve"]


def test_trap_held_jars() -> None:
    held = {row["product"] for row in STOCK if row["state"] == "held"}
    assert held == {
        "Pumpkin butter (gift)", "Tomato soup, half-gallon (gift)", "Unlabelled, amber",
        "Elderberry jelly", "Marrow and ginger jam",
    }  # fmt: skip
    for product in held:
        assert {lot["state"] for lot in _lots(product)} == {"held"}
    assert _lots("Marrow and ginger jam")[0]["source"] == ""


def test_trap_beans_of_the_load_that_let_go_can_be_told_apart() -> None:
    (load,) = [lot for lot in _lots("Green beans") if lot["load"] == "beans 12 Aug load 3"]
    assert (load["count"], load["state"]) == ("5", "")
    assert "let go" in load["note"]
    assert "looked over" in load["note"]


def test_trap_walnuts_are_on_no_menu() -> None:
    assert [name for name, row in PRODUCTS.items() if row["on_menus"] == "no"] == ["Black walnuts, in shell"]
    assert PRODUCTS["Black walnuts, in shell"]["contents"] == "tree nut"
    (linnet,) = [person for person in HOUSEHOLD["people"] if person["name"] == "Linnet"]
    assert linnet["must_not"] == ["tree nut"]
    assert "cooked carrots" in linnet["will_not"]


def test_trap_honey_and_salt() -> None:
    marked = {name: row["contents"].split("; ") for name, row in PRODUCTS.items()}
    assert {name for name, marks in marked.items() if "honey" in marks} == {"Honey", "Elderberry syrup"}
    assert {name for name, marks in marked.items() if "salty" in marks} == {"Sauerkraut", "Bean and ham soup"}
    people = {person["name"]: person for person in HOUSEHOLD["people"]}
    assert people["Odo"]["born"] == date(2025, 4, 20)
    assert people["Edda"]["must_not"] == ["salty"]


def test_trap_pears_were_put_up_in_other_years_but_not_last() -> None:
    (pears,) = [row for row in SEASON_ROWS if row["product"] == "Pears in syrup"]
    assert _put_up(pears) == 0
    assert all(r["put_up"] > 30 for r in SEASON["history"] if r["product"] == "Pears in syrup")


def test_trap_apples_for_the_taking_move_from_rack_a_to_rack_b() -> None:
    def rows(product: str) -> dict[str, str]:
        return {row["months"]: row["amount"] for row in STANDING if row["product"] == product}

    assert rows("Apples, mid-season")["1-2"] == "7 lb"
    assert "3-5" not in rows("Apples, mid-season")
    assert (rows("Apples, long keepers")["1-2"], rows("Apples, long keepers")["3-5"]) == ("4 lb", "8 lb")


def test_trap_winter_food_is_not_eaten_in_july() -> None:
    for product in ("Vegetable soup base", "Bean and ham soup", "Chili base, no beans", "Sauerkraut"):
        first, last = map(int, PRODUCTS[product]["eaten_in"].split("-"))
        assert first > 7 > last, product


def test_trap_half_jars_stand_in_the_fridge() -> None:
    left = {row["product"]: (row["left"], row["opened"]) for row in OPEN}
    assert left["Salsa"] == ("1/2 pt", "2026-01-06")
    assert left["Whole chicken"] == ("1 bird", "2026-01-16")
    assert len(left) == 7


def test_the_table_is_six_people_of_5_4_portions_and_grows_on_feast_days() -> None:
    portions = [person["portion"] for person in HOUSEHOLD["people"]]
    assert len(portions) == 6
    assert sum(portions) == pytest.approx(5.4)
    easter = [o for o in CALENDAR["occasions"] if o.get("dish") == "Ham supper"]
    assert [o["day"] for o in easter] == [date(2026, 4, 5), date(2026, 12, 24)]
