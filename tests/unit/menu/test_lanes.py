"""Two lanes, one answer: the same menu for the same seed, whichever lane is quicker."""

import threading
import time
from dataclasses import replace

import numpy as np
import pytest

from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.solving import lanes
from pantrymeals.solving.lanes import side_by_side
from pantrymeals.solving.linear_model import LinearModel, arrays
from pantrymeals.solving.solvers import Found
from tests.benchmarks.larders import larder

REQUEST = MenuRequest(larder(5, 40, 40).today, 7, seed=3, seconds=60, alike=True)


def _menu(request: MenuRequest = REQUEST):
    plan = plan_menu(larder(5, 40, 40), request)
    assert plan.ended == "proven"
    return plan


def test_the_same_seed_gives_the_same_menu_though_the_other_lane_is_slow_or_first(monkeypatch) -> None:
    first = _menu()
    near = lanes.near_the_relaxation

    def late(*asked, **more):
        time.sleep(0.3)
        return near(*asked, **more)

    monkeypatch.setattr(lanes, "near_the_relaxation", late)
    assert replace(_menu(), seconds=0) == replace(first, seconds=0)
    best = _menu(replace(REQUEST, gap=0.0, alike=False))

    def gives_the_best_away(linear, *_asked):  # a menu that the proof could take, were it told
        found = Found()
        lanes.run_highs(linear, found, threading.Event(), 60, 9, 0.0)
        return found.x

    monkeypatch.setattr(lanes, "near_the_relaxation", gives_the_best_away)
    assert replace(_menu(), seconds=0) == replace(first, seconds=0)
    assert best.cost - 1e-6 <= first.cost <= best.cost * 1.01 + 1


def test_a_lane_that_finds_nothing_leaves_the_other_to_prove_it() -> None:
    linear = LinearModel()
    a, b = linear.column(cost=1), linear.column(cost=1)
    linear.constrain("one of two", [(a, 1), (b, 1)], 1, 1)
    linear.constrain("both or neither", [(a, 1), (b, -1)], 0, 0)
    found = side_by_side(arrays(linear), 20, always=np.array([a]), day_of=np.array([0, 0]))
    assert found.infeasible
    assert found.x is None


@pytest.mark.parametrize("alike", [True, False])
def test_the_least_cost_of_a_sheet_worked_by_hand(alike: bool) -> None:
    """Three of five at 3, 1, 4, 1, 5, the two cheapest not together: 1 + 3 + 4 = 8."""
    linear = LinearModel()
    cols = [linear.column(cost=c) for c in (3, 1, 4, 1, 5)]
    linear.constrain("three", [(c, 1) for c in cols], 3, 3)
    linear.constrain("apart", [(cols[1], 1), (cols[3], 1)], hi=1)
    found = side_by_side(arrays(linear), 20, gap=0.0, always=np.array([cols[4]]), day_of=np.zeros(5), alike=alike)
    assert found.cost == found.bound == 8


def test_a_first_menu_is_waited_for_and_no_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    linear = LinearModel()
    cols = [linear.column(cost=1) for _ in range(3)]
    linear.constrain("two", [(c, 1) for c in cols], 2, 2)
    search = lanes.run_cp_sat

    def slow(*asked, **more):
        time.sleep(0.4)
        search(*asked, **more)

    monkeypatch.setattr(lanes, "run_cp_sat", slow)
    assert side_by_side(arrays(linear), 0.1).x is None
    begun = time.monotonic()
    assert side_by_side(arrays(linear), 0.1, patience=60).cost == 2
    assert time.monotonic() - begun < 30
