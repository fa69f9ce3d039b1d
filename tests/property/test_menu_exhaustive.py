"""Random tiny kitchens: the planner against every menu there is, tried one by one."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, note, settings
from hypothesis import strategies as st

from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import NoMenuFits
from pantrymeals.menu.long.totals import bound_of_totals
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.pace import bands_at
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.records import Household
from tests.kitchens.own_reading import read
from tests.property.every_menu import best_of_all, cost_as_planned, kitchens, menus, question_of

MOST_WAYS = 3000


def few_enough(household: Household, days: int) -> bool:
    """Whether all menus can be tried in good time."""
    ways = 0
    for menu, _ in menus(read(household, household.today, days)):
        choices = 1
        for cooking in menu:
            for use in cooking.uses:
                choices *= len(use)
        ways += choices
        if ways > MOST_WAYS:
            return False
    return True


@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck))
@given(kitchens())
def test_no_menu_of_all_is_better_than_the_planned_one(made: tuple[Household, int]) -> None:
    home, days = made
    assume(few_enough(home, days))
    request = MenuRequest(home.today, days, gap=0.0, seconds=30)
    try:
        plan = plan_menu(home, request)
    except NoMenuFits:
        assert best_of_all(read(home, home.today, days)).cost is None
        return
    question = question_of(home, plan)
    best = best_of_all(question)
    note(f"{best}; planned {plan.cost}, open {plan.open_roles}")
    assert broken_rules(home, plan) == []
    assert best.cost is not None
    assert plan.cost == pytest.approx(float(best.cost), abs=0.001)
    assert plan.open_roles in best.open_roles
    as_planned = cost_as_planned(question, plan)
    assert as_planned is not None
    assert plan.cost == pytest.approx(float(as_planned), abs=1e-6)
    assert plan.bound <= plan.cost + 1e-6
    assert plan.ended == "proven"
    problem = menu_problem(home, request)
    for stretch_days, pooled in ((28, False), (14, True)):
        assert bound_of_totals(problem, bands_at(problem, plan.pace), stretch_days, pooled) <= 100 * best.cost + 1e-3


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(kitchens(), st.data())
def test_a_pin_is_kept_or_said_to_be_impossible(made: tuple[Household, int], data: st.DataObject) -> None:
    home, days = made
    assume(few_enough(home, days))
    name = data.draw(st.sampled_from(sorted(home.dishes)))
    when = home.today.fromordinal(home.today.toordinal() + data.draw(st.integers(0, days - 1)))
    pins = ((when, name),)
    request = MenuRequest(home.today, days, gap=0.0, seconds=30, pinned=(Pin(when, name),))
    try:
        plan = plan_menu(home, request)
    except NoMenuFits:
        assert best_of_all(read(home, home.today, days, pins)).cost is None
        return
    best = best_of_all(question_of(home, plan, pins))
    assert broken_rules(home, plan) == []
    assert best.cost is not None
    assert plan.cost == pytest.approx(float(best.cost), abs=0.001)
    assert any(d.dish == name and d.pinned for m in plan.meals if m.day == when for d in m.dishes)
