"""On a short menu a fixed night or weekly tag gives way before a supper stands empty; it is said, and checked."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.actions.larder import load_larder
from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import _where_one_is_missed, plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.swaps import swap_offers
from pantrymeals.menu.week.pace import common_pace
from pantrymeals.menu.week.problem import giving_way, menu_problem
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, lot, rules


def house(soups: int, beans: int = 8, **changes: Any) -> Household:
    """Soup is fixed for Monday and Thursday."""
    return kitchen(
        products=[jar("Beans", opened_days=4), jar("Soup", opened_days=2)],
        lots=[lot("Beans", beans), lot("Soup", soups)],
        dishes=[
            dish("Soup supper", ["1 qt Soup"], tags=["soup"], days_between=2),
            dish("Bean pot", ["1 qt Beans"], days_between=1),
        ],
        rules=rules(fixed={"Mon": "soup", "Thu": "soup"}, **changes),
    )


def mains(plan: MenuPlan) -> list[str]:
    return [d.dish for m in plan.meals for d in m.dishes if d.role == "main"]


def planned(home: Household) -> MenuPlan:
    plan = plan_menu(home, MenuRequest(MONDAY, 7, seconds=3))
    assert broken_rules(home, plan) == []
    return plan


@pytest.mark.parametrize(("soups", "given_way"), [(2, False), (1, True)])
def test_a_night_gives_way_only_where_its_supper_would_stand_empty(soups: int, given_way: bool) -> None:
    plan = planned(house(soups))
    assert plan.open_roles == 0
    assert mains(plan).count("Soup supper") == soups
    assert any(note.startswith("No 'soup' on ") for note in plan.notes) is given_way


def test_another_dish_is_offered_of_a_menu_that_misses_a_night() -> None:
    """Of such a menu every offer is one that misses no more."""
    home = house(1)
    home = replace(home, dishes=home.dishes | {"Bean stew": dish("Bean stew", ["1 qt Beans"], days_between=1)})
    plan = planned(home)
    assert dict(plan.parts)["missed"] > 0
    places = [(m.day, d.dish) for m in plan.meals for d in m.dishes]
    for on, stands in places:
        offered = {offer.dish for offer in swap_offers(home, plan, on, "supper", "main")}
        assert offered == ({"Bean pot", "Bean stew"} - {stands} if stands != "Soup supper" else set())


def test_where_nothing_else_could_stand_either_it_stays_open_and_nothing_is_said() -> None:
    plan = planned(house(1, beans=5))
    assert plan.open_roles == 1
    assert not any(note.startswith("No 'soup'") for note in plan.notes)


def test_a_tag_that_may_stand_once_a_week_lets_the_second_night_be_another() -> None:
    plan = planned(house(2, at_most={"soup": 1}))
    assert plan.open_roles == 0
    assert mains(plan).count("Soup supper") == 1


@pytest.mark.parametrize(("most", "days", "missed"), [(1, 7, False), (0, 7, True), (0, 6, False)])
def test_a_tag_of_the_week_gives_way_where_no_menu_could_have_it(most: int, days: int, missed: bool) -> None:
    home = house(2, at_least={"soup": 1}, at_most={"soup": most})
    home = replace(home, rules=replace(home.rules, fixed={}))
    plan = plan_menu(home, MenuRequest(MONDAY, days, seconds=3))
    assert broken_rules(home, plan) == []
    assert plan.open_roles == 0
    assert mains(plan).count("Soup supper") == (most if days == 7 else 0)
    note = (
        "No soup in the week that ends on Sunday 11 January: nothing could stand there without taking from other days."
    )
    assert (note in plan.notes) is missed
    assert dict(plan.parts).get("missed", 0) == 3000 * missed


def test_what_a_menu_with_a_night_missed_costs_at_least_is_no_more_than_the_best_such_costs() -> None:
    """With one soup, two soup nights: the best menu misses one, and no less than 3000 is said of any that does."""
    home = house(1)
    problem = menu_problem(home, MenuRequest(MONDAY, 7, seconds=3))
    plan = planned(home)
    assert dict(plan.parts)["missed"] == 3000
    assert 3000 <= _where_one_is_missed(problem, plan.pace) <= plan.cost + 1e-6


def test_a_question_that_gives_way_is_what_it_is_when_asked_so_from_the_first(demo_folder: Path) -> None:
    home = load_larder(demo_folder, None, date(2026, 1, 17))
    for at, first in ((home, home.today), (house(1), MONDAY)):
        asked = MenuRequest(first, 7, banned=frozenset({"Bean stew"}))
        problem, anew = menu_problem(at, asked), menu_problem(at, replace(asked, promises_give_way=True))
        assert giving_way(problem) == anew != problem
        assert common_pace(problem) == common_pace(anew)
