"""The first days of a longer question are asked as a question of their own."""

from __future__ import annotations

import pytest

from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.no_store.runs import first_days, fits
from pantrymeals.no_store.search_time import SearchTime
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, loose, lot, meal_roles, rules


@pytest.mark.parametrize(("days", "nights"), [(2, 0), (3, 1), (9, 1), (10, 2)])
def test_fixed_nights_beyond_the_first_days_are_left_out(days: int, nights: int) -> None:
    """Of a fortnight from a Monday, with flat bread on Wednesdays that nine jars of sauce last for."""
    household = kitchen(
        products=[loose("Carrots"), jar("Sauce")],
        lots=[lot("Carrots", 99, "lb"), lot("Sauce", 9)],
        dishes=[
            dish("Plain", ["1 lb Carrots"], days_between=1),
            dish("Flat", ["1 qt Sauce"], tags=["flat bread"], days_between=5),
        ],
        meals=[meal_roles(roles=("main",))],
        rules=rules(fixed={"Wed": "flat bread"}),
    )
    whole = menu_problem(household, MenuRequest(MONDAY, 14))
    assert len(whole.nights) == 2
    first = first_days(whole, days)
    assert len(first.nights) == nights
    assert fits(first, SearchTime(20.0)) is True
