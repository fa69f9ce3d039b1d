"""What would mend a clash: one rule relaxed by so much, or one purchase; each tried by solving again."""

from __future__ import annotations

import time
from collections.abc import Mapping
from datetime import timedelta
from fractions import Fraction

import numpy as np
from msgspec.structs import replace

from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.menu.clash.stock import STOCK, held, so_many, stock_said
from pantrymeals.menu.clash.switches import Switched
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import Rule
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.asked import FIXED_NIGHT
from pantrymeals.menu.week.rules.rule import HouseholdAsked, Shown
from pantrymeals.menu.week.rules.table import BY_KIND, CONSTRAINTS
from pantrymeals.plans.menu import Mending, MendingStep
from pantrymeals.records import Arrival, Household
from pantrymeals.solving.linear_model import arrays
from pantrymeals.solving.solvers import solved
from pantrymeals.words import long_day, priced, sentence


def rule_said(household: Household, problem: MenuProblem, rule: Rule) -> str:
    """The rule as the house keeps it: 'Friday 23 January is flat bread'."""
    said = stock_said if rule.kind == STOCK else BY_KIND[rule.kind].said
    assert said is not None, f"{rule} never gives way"
    return said(household, problem, rule)


def step_for(
    kitchen: HouseholdAsked, out: Switched, x: np.ndarray, rule: Rule, by: int
) -> tuple[HouseholdAsked, MendingStep]:
    """The kitchen with one rule relaxed or one thing bought, and the step in words."""
    if rule.kind == STOCK:
        return _buy(kitchen, out, x, rule, by)
    relax = BY_KIND[rule.kind].relax
    assert not isinstance(relax, str), f"{rule} never gives way: {relax}"
    changed, said = relax(kitchen, shown_by(out, x), rule, by)
    return changed, MendingStep("rule", sentence(said))


def shown_by(out: Switched, x: np.ndarray) -> Shown:
    """The menu of a decision."""
    candidates = out.problem.candidates
    return Shown(out.problem, tuple(c for c, col in zip(candidates, out.model.cook, strict=True) if x[col] > 0.5))


def _buy(
    kitchen: HouseholdAsked, out: Switched, x: np.ndarray, rule: Rule, by: int
) -> tuple[HouseholdAsked, MendingStep]:
    """So many containers bought, at the latest on the day that the menu found runs short of them."""
    product = kitchen.household.products[rule.what]
    number = _day_short(kitchen, out, x, rule.what)
    day = kitchen.request.first + timedelta(days=max(0, number - product.thaw_days))
    amount = by * product.sizes[0].content
    coming = Arrival(rule.what, amount, day, "bought")
    said = f"buy or barter {so_many(product, Fraction(by))} by {long_day(day)}"
    if product.price_usd is not None:
        said += f" (about {priced(product.price_usd * by, kitchen.household.money)} in the store)"
    step = MendingStep("purchase", sentence(said), product.name, amount, day)
    return kitchen.having(arrivals=(*kitchen.household.arrivals, coming)), step


def _day_short(kitchen: HouseholdAsked, out: Switched, x: np.ndarray, name: str) -> int:
    """The first day on which the menu found has taken more of a product than is really there."""
    index, stock = next((i, s) for i, s in enumerate(out.problem.stocks) if s.name == name)
    truth = held(kitchen.household, kitchen.request, stock, on_shelf(kitchen.household)[name])
    taken = [0] * out.problem.days
    for day, col, grains in out.model.taken(index):
        taken[day] += grains * round(x[col])
    total = 0
    for day, grains in enumerate(taken):
        total += grains
        if total > truth.supply[day] - truth.standing[day]:
            return day
    return 0


def mending(
    kitchen: HouseholdAsked, out: Switched, x: np.ndarray, rules: Mapping[Rule, int], fill: bool, seconds: float
) -> Mending:
    """The mending in words, tried by solving again with the household changed so."""
    changed = kitchen
    steps = []
    for rule, by in sorted(rules.items()):
        changed, step = step_for(changed, out, x, rule, by)
        steps.append(step)
    nights = {(r.day, r.what) for r in out.switch if r.kind == FIXED_NIGHT.kind and r not in rules}
    works = whole_menu(changed, set(out.empty), fill, seconds, shown_by(out, x), nights)
    said = " And: ".join(step.said for step in steps)
    return Mending(tuple(steps), said, works)


def whole_menu(
    kitchen: HouseholdAsked,
    empty: set[tuple[int, str]],
    fill: bool,
    seconds: float,
    shown: Shown | None = None,
    nights: set[tuple[int, str]] | None = None,
) -> bool:
    """Whether a menu keeps every rule of this kitchen, with every place filled when ``fill``.

    empty: places that nothing can fill. shown: a menu to try first. nights: (day, tag) of fixed nights
    that may not be waived. False too when the time is up before any menu is found.
    """
    until = time.monotonic() + seconds
    problem = menu_problem(kitchen.household, kitchen.request)
    if nights and any(waived in nights for waived in problem.waived):
        return False
    model = build(problem, {}, CONSTRAINTS)
    linear = replace(arrays(model.linear), cost=np.zeros(model.linear.width), fixed_cost=0.0)
    if fill:
        for place, col in model.open.items():
            if place not in empty:
                linear.hi[col] = 0
    if shown is not None:
        same = {(c.table, c.dish.name) for c in shown.chosen}
        as_shown = replace(linear, lo=linear.lo.copy(), hi=linear.hi.copy())
        there = 0
        for i, c in enumerate(problem.candidates):
            wanted = (c.table, c.dish.name) in same
            there += wanted
            as_shown.hi[model.cook[i]] = min(wanted, as_shown.hi[model.cook[i]])
        if there == len(same) and solved(as_shown, max(0.2, until - time.monotonic())).x is not None:
            return True
    return solved(linear, max(0.2, until - time.monotonic())).x is not None
