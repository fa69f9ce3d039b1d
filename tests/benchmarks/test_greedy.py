"""The list-keeper that the planner is measured against keeps the rules too."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.larder import load_larder
from pantrymeals.records import Household
from tests.benchmarks.greedy import list_keepers_menu
from tests.benchmarks.larders import larder
from tests.kitchens.own_reading import put_bands, read
from tests.kitchens.own_score import keeps_the_rules


@pytest.mark.parametrize(("which", "days"), [("small", 10), ("demo", 7)])
def test_the_list_keeper_keeps_the_rules(which: str, days: int, demo_folder: Path) -> None:
    home: Household = larder(1, 40, 40) if which == "small" else load_larder(demo_folder, None, date(2026, 1, 17))
    question = read(home, home.today, days)
    put_bands(question, Fraction(1, 2))
    menu, left_open, points = list_keepers_menu(question)
    assert keeps_the_rules(question, [c.cooking for c in menu])
    assert len(menu) > days * 2
    assert points > sum(c.cooking.cost for c in menu)
    for number, at in enumerate(question.places):
        here = [c.cooking for c in menu if c.cooking.place == number]
        for role in at.roles:
            assert sum(role == c.role or role in c.dish.covers for c in here) <= 1
    assert len(left_open) < len(menu) / 3
