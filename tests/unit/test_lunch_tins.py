"""What goes out in the demo's lunch tins, and which of its dishes keep to a weekday."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.larder import load_larder
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.records import Household

DEMO = Path(__file__).resolve().parents[2] / "demo"
TODAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def home() -> Household:
    return load_larder(DEMO, TODAY, TODAY)


def test_every_tin_meal_of_january_has_eight_dishes_to_choose_from(home: Household) -> None:
    problem = menu_problem(home, MenuRequest(home.today, 15))
    tins = [i for i, table in enumerate(problem.tables) if table.tins]
    choices = Counter(c.table for c in problem.candidates if c.dish.needs_left is None)
    assert len(tins) == 10
    assert min(choices[i] for i in tins) >= 8
    carried = {c.dish.name for c in problem.candidates if c.table in tins}
    assert not carried & {"Baked beans on toast", "Potato cakes and applesauce", "Chicken and rice broth"}


def test_only_lunches_are_marked_and_no_flask_is(home: Household) -> None:
    marked = {d.name for d in home.dishes.values() if "tins" in d.not_for}
    assert marked
    assert {home.dishes[name].role for name in marked} == {"lunch"}
    assert not [name for name in marked if "lask" in name or name.startswith("Lunch tin")]


def test_the_household_has_its_weekday_dishes(home: Household) -> None:
    kept = {d.name: d.weekdays for d in home.dishes.values() if d.weekdays}
    assert kept["Sunday beef roast"] == {"Sun"}
    assert kept["Buckwheat cakes and maple"] == {"Sat", "Sun"}
    assert kept["Flask of soup"] == {"Mon", "Tue", "Wed", "Thu", "Fri"}
    assert {home.dishes[name].book for name in kept} == {"household", "starter"}
    assert {name for name in kept if home.dishes[name].book == "starter"} <= {
        d for d in kept if "lask" in d or "oast" in d
    }
