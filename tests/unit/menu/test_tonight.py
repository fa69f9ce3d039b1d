"""What can be cooked today as it stands: each reason to wait, on both sides of its edge."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest

from pantrymeals.actions.dishes import takers
from pantrymeals.larder.on_hand import covered
from pantrymeals.menu.tonight import AHEAD, BARRED, LATELY, LEFT, LONGER, SHORT, THAW, tonight
from pantrymeals.records import Ahead, Household, Leaving
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    part_jar,
    person,
    qty,
    rules,
    use,
)

YESTERDAY = MONDAY - timedelta(days=1)
MILK: dict[str, Any] = {"contents": frozenset({"milk"})}
PORK = jar("Pork", kind="freezer", thaw_days=1, opened_days=2)


def house(*uses: str, about: dict[str, Any] | None = None, **changes: Any) -> Household:
    fields: dict[str, Any] = {"minutes": 30} | (about or {})
    products = [jar("Beans", opened_days=4), loose("Carrots"), PORK]
    lots = changes.pop("lots", [lot("Beans", 2), lot("Carrots", 4, "lb"), lot("Pork", 3, where="F")])
    return kitchen(products=products, lots=lots, dishes=[dish("Stew", uses or ["1 qt Beans"], **fields)], **changes)


def why(household: Household, minutes: int | None = None) -> list[str]:
    found = tonight(household, "supper", minutes)
    return list(found.waits) if not found.found else ["can be cooked"]


@pytest.mark.parametrize(
    ("household", "minutes", "expected"),
    [
        (house(), None, "can be cooked"),
        (house(), 30, "can be cooked"),
        (house(), 29, LONGER),
        (house("2 qt Beans"), 30, "can be cooked"),
        (house("3 qt Beans"), 30, SHORT),
        (house("3 qt Beans", arrivals=(arrival("Beans", "1 qt", MONDAY),)), 30, "can be cooked"),
        (house("1 qt Pork"), 30, THAW),
        (house("1 qt Pork or 1 lb Carrots"), 30, "can be cooked"),
        (house("1 qt Pork", part_jars=(part_jar("Pork", "1 qt", YESTERDAY),)), 30, "can be cooked"),
        (house("1 qt Pork", part_jars=(part_jar("Pork", "1 qt", MONDAY),)), 30, THAW),
        (house(people=(person("Ann"), person("Ben", must_not=frozenset({"milk"})))), 30, "can be cooked"),
        (house(people=(person("Ann"), person("Ben", must_not=frozenset({"milk"}))), about=MILK), 30, BARRED),
        (house("3 qt Beans", people=(person("Ben", must_not=frozenset({"milk"})),), about=MILK), 30, BARRED),
        (house(people=(person("Ben", will_not=frozenset({"milk"})),), about=MILK), 30, "can be cooked"),
        (house(about={"ahead": (Ahead(1, "soak"),)}), 30, AHEAD),
        (house(about={"ahead": (Ahead(0, "warm the oven"),)}), 30, "can be cooked"),
        (house(about={"days_between": 5}, recent=((MONDAY - timedelta(4), "Stew"),)), 30, LATELY),
        (house(about={"days_between": 5}, recent=((MONDAY - timedelta(5), "Stew"),)), 30, "can be cooked"),
        (house(about={"needs_left": "bones"}), 30, LEFT),
    ],
)  # fmt: skip
def test_each_reason_to_wait(household: Household, minutes: int | None, expected: str) -> None:
    assert why(household, minutes) == [expected]


def test_what_was_left_last_night_can_be_eaten_once() -> None:
    roast = dish("Roast", ["1 qt Pork"], leaves=Leaving("cold pork", Fraction(4), 2), days_between=9)
    pie = dish("Pie", ["1 lb Carrots"], needs_left="cold pork")
    base = house()
    home = kitchen(
        products=base.products.values(), lots=base.lots, dishes=[roast, pie], recent=((YESTERDAY, "Roast"),)
    )  # fmt: skip
    assert [each.dish.name for each in tonight(home, "supper").found] == ["Pie"]


def test_nothing_barred_is_offered_and_those_refused_come_last() -> None:
    products = [jar("Beans"), jar("Nuts", contents=frozenset({"tree nut"}))]
    dishes = [
        dish("Nut loaf", ["1 qt Nuts"]),
        dish("Bean pot", ["1 qt Beans"], liking=2, tags=["beans"]),
        dish("Bean soup", ["1 qt Beans"]),
    ]
    people = [person("Ann", must_not=["tree nut"], will_not=frozenset({"beans"}))]
    home = kitchen(products=products, lots=[lot("Beans", 4), lot("Nuts", 4)], dishes=dishes, people=people)
    found = tonight(home, "supper").found
    assert [each.dish.name for each in found] == ["Bean soup", "Bean pot"]
    assert found[1].refused == ("Ann",)
    assert found[0].places == {"Beans": "P"}


def test_a_meal_nobody_eats_and_the_quickest_of_what_takes_longer() -> None:
    assert tonight(house(), "lunch").portions is None
    found = tonight(house(meals=[meal_roles("supper", ("main", "side"))], rules=rules()), "supper", 10)
    assert found.quickest is not None
    assert (found.quickest.name, found.roles) == ("Stew", ("main", "side"))


def test_one_option_for_each_use_even_where_the_first_choice_would_starve_the_next() -> None:
    uses = [use("1 qt Beans or 1 lb Carrots"), use("1 qt Beans")]
    wanted = [tuple((o, o.amount) for o in each.options) for each in uses]
    there = {"Beans": qty("1 qt"), "Carrots": qty("1 lb")}
    assert [c.product for c in covered(wanted, there) or ()] == ["Carrots", "Beans"]
    assert covered(wanted, there | {"Carrots": Fraction(0)}) is None


@pytest.mark.parametrize(("came", "waits"), [("1 qt", ""), ("1/2 qt", "for want of Beans")])
def test_what_takes_it_counts_what_comes_in_today_and_says_for_want_of_what_it_waits(came: str, waits: str) -> None:
    home = house("3 qt Beans", "1 lb Carrots", arrivals=(arrival("Beans", came, MONDAY),))
    assert [each.why_not for each in takers(home, "carrots").dishes] == [waits]
    assert bool(tonight(home, "supper").found) is (not waits)


def test_one_jar_for_two_uses_of_a_dish_is_not_enough_to_either_who_ask() -> None:
    home = house("1 qt Beans", "1 qt Beans", lots=[lot("Beans", 1)])
    assert [each.why_not for each in takers(home, "beans").dishes] == ["for want of more Beans"]
    assert not tonight(home, "supper").found
