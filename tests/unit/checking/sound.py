"""A plan's shares filled in, so that a test of another rule hears of that rule alone."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor
from typing import Any

from msgspec.structs import replace

from pantrymeals.checking.cost import WISHES
from pantrymeals.checking.evenness import drawn, even_share, step_of
from pantrymeals.checking.menu import all_names_are_known, broken_rules
from pantrymeals.checking.shelf import gone_through
from pantrymeals.checking.words import containers
from pantrymeals.plans.menu import MenuPlan, Opening, PlannedMeal, ShareRow
from pantrymeals.records import Household
from tests.kitchens.tiny import day, menu, with_uses


def with_shares(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with a share row for each product that it uses; the figures are judged in test_evenness."""
    if any(all_names_are_known(household, plan)):
        return plan
    rows = []
    for name in sorted({u.product for m in plan.meals for d in m.dishes for u in d.uses}):
        product = household.products[name]
        hurried = product.deadline_kind == "keeps to" and 0 <= (product.must_last_to - plan.first).days < 56
        pace = Fraction(1) if hurried else plan.pace
        share = containers(product, even_share(household, product, plan.first, plan.days)) * pace
        taken = containers(product, drawn(household, plan, product))
        step = step_of(household, product)
        standing = containers(product, gone_through(household, plan, product))
        low = Fraction(max(0, step * (floor(share / step) - (not hurried))))
        high = standing if standing > share else Fraction(step * ceil(share / step))
        rows.append(ShareRow(name, share, low, high, taken, max(Fraction(0), low - taken, taken - high)))
    return replace(plan, shares=tuple(rows))


def with_cost(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with what it costs filled in; that sum is judged in test_cost and by tests/outside."""
    parts = {wish: points_of(household, plan) for wish, points_of in WISHES.items()}
    cost = float(sum(parts.values()))
    stated = tuple((wish, float(of)) for wish, of in parts.items() if of)
    return replace(plan, parts=stated, cost=cost, bound=cost)


def opens(number: int, product: str, count: int = 1, size: str = "qt") -> Opening:
    """So many containers ready on the day of that number."""
    return Opening(day(number), product, size, count)


def told(
    household: Household, meals: Sequence[PlannedMeal], openings: Sequence[Opening] = (), **changes: Any
) -> list[str]:
    """What the checker says of a menu of those meals and openings."""
    plan = menu(household, meals, openings, **changes)
    strange = list(all_names_are_known(household, plan))
    return judged(household, with_shares(household, plan if strange else with_uses(household, plan)))


def judged(household: Household, plan: MenuPlan) -> list[str]:
    """What the checker says of a plan, but for its cost and pace: those are judged in test_cost and test_pace."""
    if not any(all_names_are_known(household, plan)):
        plan = with_cost(household, plan)
    return [said for said in broken_rules(household, plan) if not said.startswith("the common pace is stated as")]
