"""Another dish for one place of an announced menu, and a dish left out of the rest of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.menu import MenuAsked, make_menu
from pantrymeals.actions.replan import Life, replan
from pantrymeals.errors import NotUnderstood
from pantrymeals.plans.menu import MenuPlan
from tests.page.larders import metric

TODAY = date(2026, 1, 17)


def dishes(plan: MenuPlan) -> list[str]:
    return [dish.dish for meal in plan.meals for dish in meal.dishes]


def test_a_pinned_dish_stands_and_a_banned_one_goes(tmp_path: Path) -> None:
    household = load_larder(metric(tmp_path / "metric"), None, TODAY)
    told = make_menu(household, MenuAsked(days=2, seconds=3.0))
    first, second = dishes(told)
    other = min({"Pasta al sugo", "Chickpea pot", "Lemon rice"} - {first, second})

    swapped = replan(household, told, Life(pin=(f"{TODAY} supper: {other}",)), seconds=3.0)
    assert dishes(swapped.plan) == [other, second]
    without = replan(household, told, Life(ban=(first,)), seconds=3.0)
    assert first not in dishes(without.plan)
    assert len(dishes(without.plan)) == 2
    with pytest.raises(NotUnderstood, match="no dish called 'nothing'"):
        replan(household, told, Life(ban=("nothing",)), seconds=3.0)
