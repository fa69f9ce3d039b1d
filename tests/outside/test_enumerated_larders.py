"""Four hundred random tiny larders, every menu of each tried: cost, bound, pace, rules and waived nights agree.

Source of every right answer here: trying them all (``every_menu.best_of_all``), by a reading of the numbered rules in
DEVELOPERS.md that shares nothing with planner or checker (``own_rules``, ``own_reading``, ``own_score``); of the pace,
HiGHS on a program of its own (``second_pace.fits_at``).
"""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from itertools import product

import pytest

from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import NoMenuFits
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.plans.menu import MenuPlan
from tests.kitchens.own_reading import Question, read
from tests.kitchens.own_score import Cooked, score
from tests.outside.enumerated_larders import larder
from tests.outside.second_pace import fits_at
from tests.property.every_menu import best_of_all, cost_as_planned, menus, question_of

LARDERS = 400
AT_ONCE = 20


def disagreement(seed: int) -> str:
    """What planner or checker and the enumeration disagree about; '' where they agree."""
    home, days = larder(seed)
    try:
        plan = plan_menu(home, MenuRequest(home.today, days, gap=0.0, seconds=60))
    except NoMenuFits:
        return "" if best_of_all(read(home, home.today, days)).cost is None else "no menu was said to fit"
    question = question_of(home, plan)
    best, own = best_of_all(question), cost_as_planned(question, plan)
    if broken := broken_rules(home, plan):
        return f"broken: {broken}"
    if best.cost is None or own is None:
        return f"planned {plan.cost}; the rules read apart allow no such menu ({best.cost}, {own})"
    if abs(plan.cost - float(own)) > 1e-6 or abs(plan.cost - float(best.cost)) > 1e-3:
        return f"planned {plan.cost}, of that menu {float(own)}, the best {float(best.cost)}"
    if plan.bound > float(best.cost) + 1e-6 or plan.bound < plan.cost - 1e-2 or plan.ended != "proven":
        return f"bound {plan.bound}, the best {float(best.cost)}, {plan.ended}"
    if plan.open_roles not in best.open_roles:
        return f"{plan.open_roles} roles open; the best have {sorted(best.open_roles)}"
    if fits_at(question, float(plan.pace)) > fits_at(question, None) + 0.001 * len(plan.shares) + 1e-6:
        return f"pace {plan.pace}"
    return ready_after_all(question, plan)


@pytest.mark.parametrize("first", range(0, LARDERS, AT_ONCE))
def test_every_menu_of_tiny_larders(first: int) -> None:
    with ThreadPoolExecutor(2) as beside:
        found = dict(
            zip(range(first, first + AT_ONCE), beside.map(disagreement, range(first, first + AT_ONCE)), strict=True)
        )
    assert {seed: said for seed, said in found.items() if said} == {}


WAIVED = re.compile(r"No '(\w+)' can be ready by (.+): planned without\.")


def ready_after_all(question: Question, plan: MenuPlan) -> str:
    """A menu that has on its day what the plan says cannot be ready by then; '' where there is none."""
    on = [plan.first + timedelta(days=number) for number in range(plan.days)]
    for said in filter(None, map(WAIVED.fullmatch, plan.notes)):
        (number,) = [n for n, day in enumerate(on) if f"{day:%A} {day.day} {day:%B}" == said[2]]
        for menu, left_open in menus(question):
            if any(c.day == number and c.role == "main" and said[1] in c.dish.tags for c in menu):
                ways = product(*(product(*c.uses) for c in menu))
                cooked = ([Cooked(c, t) for c, t in zip(menu, takes, strict=True)] for takes in ways)
                if any(score(question, one, left_open) is not None for one in cooked):
                    return f"'{said[0]}', and yet: {[c.dish.name for c in menu]}"
    return ""


def test_some_of_these_larders_have_a_night_that_cannot_be_ready() -> None:
    for seed in (11, 30, 39, 50):
        home, days = larder(seed)
        plan = plan_menu(home, MenuRequest(home.today, days, gap=0.0, seconds=60))
        assert any(map(WAIVED.fullmatch, plan.notes)), seed
