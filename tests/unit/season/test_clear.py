"""How soon a sitter can be eaten down under the house rules, against what a pencil gives."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pantrymeals.larder.table import batches
from pantrymeals.records import Dish, HouseRules, Option, Use
from pantrymeals.season.clear import clear_down, may_stand
from pantrymeals.season.ends import ends_of
from pantrymeals.units import UNITS

F = Fraction
QT = UNITS["qt"][1]


def dish(name="Stew", quarts=1, gap=10, **more):
    known = {"role": "main", "serves": F(4), "uses": (Use((Option("Trout", quarts * QT, "1 qt"),)),)}
    return Dish(name=name, days_between=gap, **(known | more))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cookings=st.integers(1, 6), gap=st.integers(1, 30))
def test_one_dish_takes_its_gap_each_time(a_household, a_product, cookings, gap):
    home = a_household(a_product("Trout"), dishes=(dish(gap=gap),))
    found = clear_down(home, "Trout", cookings * QT, home.today)
    apart = max(gap, 7)  # at most once in seven days
    assert found.proven
    assert len(found.days) == cookings
    assert found.days[-1][0] == home.today + timedelta(days=(cookings - 1) * apart)


def test_two_dishes_take_turns(a_household, a_product):
    home = a_household(a_product("Trout"), dishes=(dish("Stew", gap=14), dish("Cakes", gap=14)))
    found = clear_down(home, "Trout", 4 * QT, home.today)
    assert (found.days[-1][0] - home.today).days == 21
    assert found.weeks == 4


def test_what_is_only_put_up_with_comes_every_fortnight(a_household, a_product):
    home = a_household(a_product("Trout"), dishes=(dish(gap=1, liking=-1),))
    assert (clear_down(home, "Trout", 3 * QT, home.today).days[-1][0] - home.today).days == 28


def test_no_dish_no_clearing(a_household, a_product):
    home = a_household(a_product("Trout"))
    assert clear_down(home, "Trout", QT, home.today).weeks is None


def test_more_than_a_year_is_said_so(a_household, a_product):
    home = a_household(a_product("Trout"), dishes=(dish(gap=30),))
    assert clear_down(home, "Trout", 40 * QT, home.today).weeks is None


def test_batches_follow_the_stretch(a_household, a_product):
    home = a_household(a_product("Trout"), rules=HouseRules(stretch=F(1, 4)))
    assert batches(home, dish(serves=F(4)), F(5)) == 1
    assert batches(home, dish(serves=F(4)), F(501, 100)) == 2


@pytest.mark.parametrize(
    ("more", "stands"),
    [
        ({}, True),
        ({"season": frozenset({7})}, False),
        ({"hands_on_minutes": 61}, False),
        ({"minutes": 91}, False),
        ({"only_for": "feast"}, False),
    ],
)
def test_month_minutes_and_feasts_are_kept(a_household, a_product, more, stands):
    rules = HouseRules(hands_on_minutes={"Sat": 60}, longest_minutes={"Sat": 90})
    home = a_household(a_product("Trout"), rules=rules)
    assert may_stand(home, dish(**more), home.today) == stands


def test_a_fixed_night_wants_its_tag(a_household, a_product):
    home = a_household(a_product("Trout"), rules=HouseRules(fixed={"Sat": "soup"}))
    assert not may_stand(home, dish(), home.today)
    assert may_stand(home, dish(tags=frozenset({"soup"})), home.today)


def test_cut_short_it_says_so_and_says_it_again(a_household, a_product, asked):
    """A search that is stopped early by its work finds the same each time, and never claims 'not within a year'."""
    dishes = tuple(dish(f"Dish {n}", gap=5 + 3 * n, season=frozenset({1, 3, 5, 8, 11})) for n in range(4))
    home = a_household(a_product("Trout"), dishes=dishes)
    found = [clear_down(home, "Trout", 11 * QT, home.today, work=1e-5) for _ in range(2)]
    assert found[0] == found[1]
    assert not found[0].proven
    eat = ends_of(asked(home), home.products["Trout"], found[0])[0].words
    assert "not to be cleared" not in eat
    assert ("perhaps sooner" in eat) if found[0].days else ("how soon was not found" in eat)
