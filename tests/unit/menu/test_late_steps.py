"""A dish that should have been begun yesterday: taken where nothing else is there, or where it is asked for."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.cost import liking_and_effort
from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.records import Ahead, Household
from tests.kitchens.tiny import cooked, day, dish, kitchen, menu, supper

SOAK = (Ahead(1, "soak the beans"),)


def _home(**more: object) -> Household:
    beans, plain = dish("Beans", ["1 qt Beans"], ahead=SOAK, liking=2), dish("Plain", ["1 qt Beans"], liking=-2)
    return kitchen(dishes=[beans, plain], **more)


def _first(home: Household, request: MenuRequest) -> str:
    plan = plan_menu(home, replace(request, seconds=5))
    assert broken_rules(home, plan) == []
    return plan.meals[0].dishes[0].dish


def test_beans_for_tonight_were_to_be_soaked_last_night() -> None:
    home = _home()
    assert _first(home, MenuRequest(day(0), 1)) == "Plain"
    assert _first(home, MenuRequest(day(1), 1)) == "Beans"  # planned the day before
    assert _first(home, MenuRequest(day(0), 1, pinned=(Pin(day(0), "Beans"),))) == "Beans"
    assert _first(replace(home, dishes={"Beans": home.dishes["Beans"]}), MenuRequest(day(0), 1)) == "Beans"


@pytest.mark.parametrize(("before", "on", "late"), [(1, 0, True), (1, 1, False), (2, 1, True), (2, 2, False)])
def test_a_step_that_is_too_late_costs_600_once(before: int, on: int, late: bool) -> None:
    steps = (Ahead(before, "soak"), Ahead(before, "salt"))
    home = kitchen(dishes=[dish("Beans", ["1 qt Beans"], ahead=steps), dish("Plain", ["1 qt Beans"])])
    costs = []
    for name in ("Beans", "Plain"):
        nights = [supper(day(n), *([cooked(home, name)] if n == on else [])) for n in range(3)]
        costs.append(liking_and_effort(home, menu(home, nights)))
    assert costs[0] - costs[1] == Fraction(600) * late
