"""The proof that a plan carries: its cost, its bound, and the gap between them."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose, isfinite

from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household

TINY = 1e-6


def gap_is_as_stated(household: Household, plan: MenuPlan) -> Iterator[str]:  # noqa: ARG001
    """The bound is no more than the cost, and the gap is (cost - bound) / max(cost, 1)."""
    if not (isfinite(plan.cost) and isfinite(plan.bound) and isfinite(plan.gap)):
        yield f"cost {plan.cost}, bound {plan.bound} and gap {plan.gap} are not all numbers"
        return
    if plan.bound > plan.cost + TINY:
        yield f"the bound, {plan.bound:.6g} points, lies above the cost, {plan.cost:.6g}"
    right = (plan.cost - plan.bound) / max(plan.cost, 1.0)
    if not isclose(plan.gap, right, rel_tol=TINY, abs_tol=TINY):
        yield f"the gap is {right:.6g}, the plan states {plan.gap:.6g}"


RULES = (gap_is_as_stated,)
