"""Finds out what clashes when a menu could not be whole."""

from __future__ import annotations

from pantrymeals.larder.table import fixed_night
from pantrymeals.menu.request import MenuRequest, Watch
from pantrymeals.plans.menu import MenuPlan, WhatClashes
from pantrymeals.records import Household

SECONDS = 6.0
"""Time for the clash and its mendings, beside the menu's own."""


def clash_of(household: Household, plan: MenuPlan, request: MenuRequest, watch: Watch) -> WhatClashes | None:
    """Why places stay open or fixed nights are missed; None when the menu is whole, too long to ask, or was stopped."""
    from pantrymeals.menu.clash.clashing import LONGEST_DAYS, what_clashes

    if watch.stopped() or plan.days > LONGEST_DAYS or not (plan.open_roles or nights_missed(household, plan)):
        return None
    watch.progress("what clashes", None, None, None)
    return what_clashes(household, request, fill=True, seconds=SECONDS, stopped=watch.stopped)


def why_none(household: Household, request: MenuRequest, watch: Watch) -> str:
    """What to say when no menu at all keeps the rules and what was asked for."""
    from pantrymeals.menu.clash.clashing import LONGEST_DAYS, what_clashes
    from pantrymeals.reports.terminal.clash import clash_text

    head = "No menu keeps all the house rules and what was asked for."
    if request.days > LONGEST_DAYS:
        return f"{head}\nAsk for two weeks or fewer to hear what clashes."
    watch.progress("what clashes", None, None, None)
    told = what_clashes(household, request, fill=False, seconds=3 * SECONDS, stopped=watch.stopped)
    return f"{head}\n{clash_text(told)}"


def nights_missed(household: Household, plan: MenuPlan) -> bool:
    """Whether some fixed night went without its dish, with nobody having asked for another."""
    for meal in plan.meals:
        tag = fixed_night(household, meal.meal, meal.day)
        for planned in meal.dishes if tag else ():
            dish = household.dishes.get(planned.dish)
            if planned.role == "main" and not planned.pinned and dish is not None and tag not in dish.tags:
                return True
    return False
