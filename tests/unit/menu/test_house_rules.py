"""Each promise of the planner by itself, on both sides of its edge: a menu written by hand is allowed or not."""

from __future__ import annotations

import threading
from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import Promise, Rule
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules import asked, variety
from pantrymeals.menu.week.rules import day as of_a_day
from pantrymeals.records import Dish, Household, HouseRules, Leaving, Occasion, Role
from pantrymeals.solving.linear_model import arrays
from pantrymeals.solving.solvers import Found, run_highs
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    person,
    rules,
    standing,
)

Eaten = tuple[int, str]


def table(*dishes: Dish, house: HouseRules | None = None, **changes: object) -> Household:
    """A household with flour enough for anything, and these dishes."""
    fields: dict[str, object] = {
        "products": [loose("Flour")],
        "lots": [lot("Flour", 500, "lb")],
        "dishes": dishes,
        "meals": [meal_roles(roles=("main", "side"))],
        "rules": house or rules(days_between={"main": 1, "side": 1}),
    }
    return kitchen(**(fields | changes))  # type: ignore[arg-type]


def food(name: str, **changes: object) -> Dish:
    """A dish of a pound of flour."""
    return dish(name, ["1 lb Flour"], **changes)  # type: ignore[arg-type]


def allowed(home: Household, promise: Promise, days: int, *menu: Eaten, pins: tuple[Pin, ...] = ()) -> bool:
    """Whether exactly this menu keeps the promise and the shelf."""
    problem = menu_problem(home, MenuRequest(MONDAY, days, pinned=pins))
    model = build(problem, {}, (promise,))
    wanted = set(menu)
    for candidate, col in zip(problem.candidates, model.cook, strict=True):
        cooked = int((candidate.day, candidate.dish.name) in wanted)
        wanted.discard((candidate.day, candidate.dish.name))
        if cooked > model.linear.hi[col]:
            return False
        model.linear.lo[col] = model.linear.hi[col] = cooked
    assert not wanted, f"no candidate for {wanted}"
    found = Found()
    run_highs(arrays(model.linear), found, threading.Event(), 20.0)
    assert (found.x is None) == found.infeasible
    return found.x is not None


@pytest.mark.parametrize(("days_later", "kept"), [(2, False), (3, True)])
def test_days_between_repeats(days_later: int, kept: bool) -> None:
    soup = food("Soup")
    house = rules(days_between={"main": 3})
    home = table(soup, house=house)
    assert allowed(home, variety.days_between_repeats, 5, (0, "Soup"), (days_later, "Soup")) is kept
    lately = table(soup, house=house, recent=((MONDAY - timedelta(days=1), "Soup"),))
    assert allowed(lately, variety.days_between_repeats, 5, (days_later - 1, "Soup")) is kept
    of_its_own = table(food("Soup", days_between=days_later), house=rules(days_between={"main": 9}))
    assert allowed(of_its_own, variety.days_between_repeats, 5, (0, "Soup"), (days_later, "Soup"))


def test_at_most_in_seven_days() -> None:
    soups = [food(f"Soup {n}", tags=("soup",)) for n in range(3)]
    house = rules(days_between={"main": 1}, at_most={"soup": 2})
    home = table(*soups, house=house)
    rule = variety.at_most_in_seven_days
    assert allowed(home, rule, 8, (0, "Soup 0"), (6, "Soup 1"), (7, "Soup 2"))
    assert not allowed(home, rule, 8, (0, "Soup 0"), (5, "Soup 1"), (6, "Soup 2"))
    lately = table(*soups, house=house, recent=((MONDAY - timedelta(days=1), "Soup 0"),))
    assert allowed(lately, rule, 8, (0, "Soup 1"), (6, "Soup 2"))
    assert not allowed(lately, rule, 8, (0, "Soup 1"), (5, "Soup 2"))
    assert not allowed(lately, rule, 4, (0, "Soup 1"), (3, "Soup 2"))


def test_an_occasions_own_dish_is_not_counted_on_its_day() -> None:
    feast = Occasion(day(2), day(2), "feast", kind="feast", dish="Goose")
    roasts = [food("Goose", tags=("roast",)), food("Joint", tags=("roast",))]
    house = rules(days_between={"main": 1, "side": 1}, at_most={"roast": 1})
    home = table(*roasts, house=house, occasions=(feast,))
    assert allowed(home, variety.at_most_in_seven_days, 4, (0, "Joint"), (2, "Goose"))
    assert not allowed(home, variety.at_most_in_seven_days, 4, (0, "Joint"), (3, "Goose"))
    plan = plan_menu(home, MenuRequest(MONDAY, 4, seconds=3))
    assert [d.dish for m in plan.meals for d in m.dishes].count("Goose") == 1
    assert broken_rules(home, plan) == []
    after = replace(home, today=day(3), recent=((day(2), "Goose"),))
    assert [d.dish for m in plan_menu(after, MenuRequest(day(3), 1, seconds=3)).meals for d in m.dishes]


def test_at_least_in_seven_days() -> None:
    pot, side = food("Pot", tags=("meatless",)), food("Greens", role="side", tags=("meatless",))
    home = table(pot, food("Ham"), side, house=rules(days_between={"main": 1}, at_least={"meatless": 1}))
    rule = variety.at_least_in_seven_days
    assert allowed(home, rule, 7, (6, "Pot"))
    assert not allowed(home, rule, 7, (0, "Ham"), (1, "Greens"))  # a side is no main
    assert allowed(home, rule, 6, (0, "Ham"))  # no full seven days
    assert not allowed(home, rule, 9, (7, "Pot"))  # the first seven days have none
    assert allowed(table(food("Ham"), house=home.rules), rule, 7, (0, "Ham"))  # no dish has the tag


def test_not_two_days_running() -> None:
    beef, more, gravy = (
        food("Beef", tags=("beef",)),
        food("Stew", tags=("beef",)),
        food("Gravy", role="side", tags=("beef",)),
    )
    home = table(beef, more, gravy, house=rules(days_between={"main": 1}, not_running=("beef",)))
    rule = variety.not_two_days_running
    assert not allowed(home, rule, 3, (0, "Beef"), (1, "Stew"))
    assert allowed(home, rule, 3, (0, "Beef"), (2, "Stew"))
    assert allowed(home, rule, 3, (0, "Beef"), (1, "Gravy"))
    lately = table(beef, more, gravy, house=home.rules, recent=((MONDAY - timedelta(days=1), "Beef"),))
    assert not allowed(lately, rule, 3, (0, "Stew"))
    assert allowed(lately, rule, 3, (1, "Stew"))


def test_not_twice_in_a_meal() -> None:
    home = table(
        food("Pot", tags=("beans",)),
        food("Beans", role="side", tags=("beans",)),
        food("Roots", role="side", tags=("roots",)),
        house=rules(not_twice=("beans",)),
    )
    rule = variety.not_twice_in_a_meal
    assert not allowed(home, rule, 2, (0, "Pot"), (0, "Beans"))
    assert allowed(home, rule, 2, (0, "Pot"), (0, "Roots"))
    assert allowed(home, rule, 2, (0, "Pot"), (1, "Beans"))


TWO_MEALS = {"meals": [meal_roles("lunch", ("lunch", "bread")), meal_roles(roles=("main", "side", "bread"))]}


@pytest.mark.parametrize(("role", "days", "kept"), [("lunch", 1, False), ("bread", 1, True), ("bread", 2, False)])
def test_a_cooked_dish_stands_once_a_day_and_everyday_bread_as_often_as_wanted(
    role: Role, days: int, kept: bool
) -> None:
    """The meals here share the role, so that the dish could stand at either."""
    meals = [meal_roles("lunch", (role,)), meal_roles(roles=(role,))]
    home = table(food("Dish", role=role, days_between=days), meals=meals, house=rules())
    problem = menu_problem(home, MenuRequest(MONDAY, 1))
    model = build(problem, {}, (variety.days_between_repeats,))
    for col in model.cook:
        model.linear.lo[col] = 1
    found = Found()
    run_highs(arrays(model.linear), found, threading.Event(), 20.0)
    assert len(model.cook) == 2
    assert (found.x is not None) is kept


def test_not_twice_in_a_day() -> None:
    flask, stew, roots, rest = (
        food("Flask", role="lunch", tags=("soup",)),
        food("Stew", tags=("soup",)),
        food("Roots", role="side", tags=("soup",)),
        food("Rest of the stew", role="lunch", tags=("soup",), needs_left="stew"),
    )
    home = table(flask, stew, roots, rest, house=rules(not_twice_a_day=("soup",)), **TWO_MEALS)
    rule = variety.not_twice_in_a_day
    assert not allowed(home, rule, 2, (0, "Flask"), (0, "Stew"))
    assert not allowed(home, rule, 2, (0, "Roots"), (0, "Stew"))
    assert allowed(home, rule, 2, (0, "Flask"), (1, "Stew"))
    assert allowed(home, rule, 2, (0, "Rest of the stew"), (0, "Stew"))
    assert allowed(table(flask, stew, **TWO_MEALS), rule, 2, (0, "Flask"), (0, "Stew"))


def test_a_tag_of_both_lists_has_one_row_a_day_and_none_a_meal() -> None:
    home = table(food("Pot", tags=("beans",)), food("Beans", role="side", tags=("beans",)))
    kept = (Rule("not twice", "beans"), Rule("not twice a day", "beans"))
    for lists, names in (((True, False), kept[:1]), ((False, True), kept[1:]), ((True, True), kept[1:])):
        a_meal, a_day = (("beans",) if listed else () for listed in lists)
        house = rules(not_twice=a_meal, not_twice_a_day=a_day)
        problem = menu_problem(table(*home.dishes.values(), house=house), MenuRequest(MONDAY, 3))
        model = build(problem, {}, (variety.not_twice_in_a_meal, variety.not_twice_in_a_day))
        assert [r for r in model.linear.kept if r in kept] == list(names) * 3


def test_a_dish_of_certain_weekdays_stands_on_those_only() -> None:
    home = table(food("Roast", weekdays=("Sun", "Wed")), food("Pot"))
    problem = menu_problem(home, MenuRequest(MONDAY, 14))
    assert [c.day for c in problem.candidates if c.dish.name == "Roast"] == [2, 6, 9, 13]
    assert [c.day for c in problem.candidates if c.dish.name == "Pot"] == list(range(14))


@pytest.mark.parametrize(("eaters", "there"), [("tins", False), ("home", True), ("all", True)])
def test_what_cannot_be_carried_is_in_no_lunch_tin(eaters: str, there: bool) -> None:
    ann, ben = person("Ann", lunch_tin_days=frozenset({"Mon"})), person("Ben")
    home = table(
        food("Bread", role="lunch"),
        food("Fry", role="lunch", not_for=("tins",)),
        people=[ann, ben],
        meals=[meal_roles("lunch", ("lunch",), eaters)],
    )
    names = {c.dish.name for c in menu_problem(home, MenuRequest(MONDAY, 1)).candidates}
    assert names == ({"Bread", "Fry"} if there else {"Bread"})


@pytest.mark.parametrize(("minutes", "kept"), [(20, True), (21, False)])
def test_minutes_of_the_day(minutes: int, kept: bool) -> None:
    dishes = (food("Pot", hands_on_minutes=40), food("Roots", role="side", hands_on_minutes=minutes))
    house = rules(hands_on_minutes={"Mon": 60})
    menu = ((0, "Pot"), (0, "Roots"))
    assert allowed(table(*dishes, house=house), of_a_day.minutes_of_the_day, 1, *menu) is kept
    feast = Occasion(MONDAY, MONDAY, "wedding", kind="feast")
    assert allowed(table(*dishes, house=house, occasions=(feast,)), of_a_day.minutes_of_the_day, 1, *menu)


def test_sane_pairs() -> None:
    home = table(
        food("Pie", not_with=("starch",)),
        food("Ham", not_with=("Kraut",)),
        food("Potatoes", role="side", tags=("starch",)),
        food("Kraut", role="side"),
    )
    rule = of_a_day.sane_pairs
    assert not allowed(home, rule, 1, (0, "Pie"), (0, "Potatoes"))
    assert allowed(home, rule, 1, (0, "Pie"), (0, "Kraut"))
    assert not allowed(home, rule, 1, (0, "Ham"), (0, "Kraut"))
    assert allowed(home, rule, 2, (0, "Ham"), (1, "Kraut"))


def test_every_role_filled_once() -> None:
    home = table(food("Stew", covers=("side",)), food("Ham"), food("Roots", role="side"))
    rule = of_a_day.every_role_filled_once
    assert not allowed(home, rule, 1, (0, "Stew"), (0, "Roots"))
    assert not allowed(home, rule, 1, (0, "Stew"), (0, "Ham"))
    assert allowed(home, rule, 1, (0, "Stew"))
    assert allowed(home, rule, 1, (0, "Ham"), (0, "Roots"))
    assert allowed(home, rule, 1, (0, "Roots"))  # the main is left open


@pytest.mark.parametrize(
    ("menu", "kept"),
    [
        (((0, "Roast"), (0, "Cold plate")), False),  # not on the day it is cooked
        (((0, "Roast"), (1, "Cold plate")), True),
        (((0, "Roast"), (2, "Cold plate")), True),
        (((0, "Roast"), (3, "Cold plate")), False),  # it keeps two days
        (((0, "Roast"), (1, "Cold plate"), (2, "Cold plate")), False),  # one cooking, one use
        (((0, "Roast"), (1, "Roast"), (2, "Cold plate"), (3, "Cold plate")), True),
        (((1, "Cold plate"),), False),
    ],
)
def test_leavings_are_there(menu: tuple[Eaten, ...], kept: bool) -> None:
    roast = food("Roast", leaves=Leaving("cold cuts", Fraction(2), 2))
    home = table(roast, food("Cold plate", role="side", needs_left="cold cuts"))
    assert allowed(home, of_a_day.leavings_are_there, 5, *menu) is kept
    little = table(
        food("Roast", leaves=Leaving("cold cuts", Fraction(1), 2)),
        food("Cold plate", role="side", needs_left="cold cuts"),
    )
    assert not allowed(little, of_a_day.leavings_are_there, 3, (0, "Roast"), (1, "Cold plate"))


def test_pins_and_a_feasts_own_dish() -> None:
    home = table(food("Pot"), food("Ham"))
    pins = (Pin(day(1), "Ham"),)
    rule = asked.pinned_dishes
    assert allowed(home, rule, 2, (0, "Pot"), (1, "Ham"), pins=pins)
    assert not allowed(home, rule, 2, (0, "Ham"), (1, "Pot"), pins=pins)
    easter = Occasion(day(1), day(1), "Easter", kind="feast", dish="Ham")
    feast = table(food("Pot"), food("Ham"), occasions=(easter,))
    assert not allowed(feast, asked.feasts_own_dish, 2, (1, "Pot"))
    assert allowed(feast, asked.feasts_own_dish, 2, (1, "Ham"))


def test_an_announced_meal_is_changed_only_at_a_price() -> None:
    home = table(food("Liked", liking=2), food("Less", liking=-2), meals=[meal_roles()])
    keep = ((MONDAY, "supper", "main", "Less"),)
    free = plan_menu(home, MenuRequest(MONDAY, 1, gap=0.0, seconds=20))
    kept = plan_menu(home, MenuRequest(MONDAY, 1, gap=0.0, seconds=20, keep=keep))  # type: ignore[arg-type]
    cheap = plan_menu(home, MenuRequest(MONDAY, 1, gap=0.0, seconds=20, keep=keep, change_price=31))  # type: ignore[arg-type]
    names = [[d.dish for m in plan.meals for d in m.dishes] for plan in (free, kept, cheap)]
    assert names == [["Liked"], ["Less"], ["Liked"]]  # four steps of liking are 32 points
    assert cheap.cost == pytest.approx(free.cost + 31)


@pytest.mark.parametrize(
    ("jars", "reserve", "a_week", "kept"),
    [(2, "0 qt", "0 qt", True), (1, "0 qt", "0 qt", False), (2, "1/2 qt", "0 qt", False), (3, "1 qt", "0 qt", True),
     (3, "0 qt", "3 qt", True), (2, "0 qt", "3 qt", False)],
)  # fmt: skip
def test_the_shelf_is_never_overdrawn(jars: int, reserve: str, a_week: str, kept: bool) -> None:
    from tests.kitchens.tiny import qty

    home = table(
        dish("Soup", ["3/4 qt Beans"], days_between=1),
        products=[jar("Beans", opened_days=1, reserve=qty(reserve))],
        lots=[lot("Beans", jars)],
        standing=(standing("Beans", a_week),),
    )
    # Two days of three quarters, from jars that keep a day: two jars; standing use takes one by the second day.
    assert allowed(home, of_a_day.every_role_filled_once, 2, (0, "Soup"), (1, "Soup")) is kept


@pytest.mark.parametrize(("life", "kept"), [(2, False), (3, True)])
def test_an_opened_jar_serves_again_within_its_life_only(life: int, kept: bool) -> None:
    home = table(
        dish("Soup", ["1/2 qt Beans"], days_between=1),
        products=[jar("Beans", opened_days=life)],
        lots=[lot("Beans", 1)],
    )
    assert allowed(home, of_a_day.every_role_filled_once, 4, (0, "Soup"), (2, "Soup")) is kept


@pytest.mark.parametrize(("when", "kept"), [(1, True), (2, False)])
def test_what_comes_in_counts_from_its_day(when: int, kept: bool) -> None:
    home = table(
        dish("Soup", ["1 qt Beans"], days_between=1),
        dish("Beans", ["1 qt Beans"], role="side", days_between=1),
        products=[jar("Beans", opened_days=3)],
        lots=[lot("Beans", 1)],
        arrivals=(arrival("Beans", "1 qt", day(when)),),
    )
    assert allowed(home, of_a_day.every_role_filled_once, 3, (1, "Soup"), (1, "Beans")) is kept
