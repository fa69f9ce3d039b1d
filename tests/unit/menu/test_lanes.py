"""Two lanes, one answer: the same menu for the same seed, whichever lane is quicker."""

import contextlib
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from types import SimpleNamespace

import highspy
import numpy as np
import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.long import long_menu
from pantrymeals.menu.menu import CLOCK_CUT_IN, plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.solving import lanes
from pantrymeals.solving.filling import fewest_open
from pantrymeals.solving.lanes import by_work, side_by_side
from pantrymeals.solving.linear_model import LinearModel, arrays
from pantrymeals.solving.solvers import heed, linear_relaxation, quiet_highs, solved
from tests.benchmarks.larders import larder

REQUEST = MenuRequest(larder(5, 40, 40).today, 7, seed=3, seconds=60, alike=True)


def _menu(request: MenuRequest = REQUEST):
    plan = plan_menu(larder(5, 40, 40), request)
    assert plan.ended == "proven"
    return plan


@contextlib.contextmanager
def burners(number: int) -> Iterator[None]:
    """So many processes that do nothing but keep a core busy."""
    busy = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(number)]
    try:
        yield
    finally:
        for process in busy:
            process.kill()
            process.wait()


@pytest.mark.parametrize("work", [0.1, 60.0])
def test_the_same_seed_gives_the_same_menu_beside_busy_neighbours(work: float) -> None:
    """With little work none is proven best: what was found by then must be the same; with enough, the proven one."""
    request = replace(REQUEST, seconds=work, gap=0.0 if work < 1 else 0.01)
    home = larder(2, 120, 120) if work < 1 else larder(5, 40, 40)
    alone = plan_menu(home, request)
    with burners(6):
        crowded = plan_menu(home, request)
    assert replace(crowded, seconds=0) == replace(alone, seconds=0)
    assert alone.ended == ("work" if work < 1 else "proven")


def test_a_long_menu_too_is_the_same_for_the_same_seed_beside_busy_neighbours(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(long_menu, "SETTING_UP", 1000)  # however slow this machine is
    home = larder(5, 40, 40)
    request = replace(REQUEST, days=14, seconds=2.0, gap=0.0, batch_days=False)
    with burners(6):
        crowded = plan_menu(home, request)
    alone = plan_menu(home, request)
    assert replace(crowded, seconds=0) == replace(alone, seconds=0)
    assert alone.ended == "work"
    assert broken_rules(home, alone) == []


def test_a_long_menu_whose_clock_cuts_in_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(long_menu, "SETTING_UP", 0.2)
    monkeypatch.setattr(long_menu, "OF_WORK", 0.2)
    home = larder(5, 40, 40)
    plan = plan_menu(home, replace(REQUEST, days=14, seconds=6.0, gap=0.0, batch_days=False))
    assert CLOCK_CUT_IN in plan.notes
    assert plan.ended == "time"


def test_a_clock_that_cuts_in_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def slow(_linear, found, stop, *_asked, **_more):  # a search that only a clock ends
        found.offer(np.zeros(3), 3.0)
        while not stop.is_set():
            time.sleep(0.01)

    monkeypatch.setattr(lanes, "run_cp_sat", slow)
    monkeypatch.setattr(lanes, "SETTING_UP", 0.1)
    answer = by_work(arrays(LinearModel()), 0.05, 1, 0.0, lambda _: False)
    assert answer.cut_short
    assert answer.found.cost == 3.0


def test_the_proven_menu_is_near_the_best() -> None:
    best = _menu(replace(REQUEST, gap=0.0, alike=False))
    assert best.cost - 1e-3 <= _menu().cost <= best.cost * 1.01 + 1


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
    if alike:
        found = by_work(arrays(linear), 20, 1, 0.0, lambda _: False).found
    else:
        found = side_by_side(arrays(linear), 20, gap=0.0, always=np.array([cols[4]]), day_of=np.zeros(5))
    assert found.cost == found.bound == 8


def test_a_refused_model_never_looks_like_nothing_found() -> None:
    linear = LinearModel()
    a = linear.column(cost=1)
    linear.constrain("one", [(a, 1)], 1, 1)
    assert solved(arrays(linear), 1).cost == 1
    broken = replace(arrays(linear), cols=np.array([7], np.int32))  # a column that there is not
    for ask in (linear_relaxation, lambda model: solved(model, 1)):
        with pytest.raises(RuntimeError, match="refused"):
            ask(broken)
    too_large = replace(arrays(linear), hi=np.array([2.0**62]), coefs=np.array([2.0**62]))
    with pytest.raises(RuntimeError, match="refused"):
        by_work(too_large, 1, 1, 0.0, lambda _: False)
    with pytest.raises(RuntimeError, match="refused"):
        side_by_side(too_large, 1)


@pytest.mark.parametrize("alike", [True, False])
def test_no_place_stays_open_for_want_of_time(alike: bool) -> None:
    """As on a machine so busy that the search has hardly begun when its time is up."""
    home = larder(5, 40, 40)
    plan = plan_menu(home, replace(REQUEST, alike=alike, seconds=0.001))
    assert plan.open_roles == 0
    assert broken_rules(home, plan) == []


def test_the_fewest_open_places_and_the_nearest_to_what_was_there() -> None:
    """Three dishes for two places, one of each; the shelf holds two goes in all, and the dearest takes both."""
    linear = LinearModel()
    dishes = [[linear.column(cost=c) for c in (1, 2, 30)] for _ in range(2)]
    places = [linear.column(cost=100) for _ in range(2)]
    for row, place in zip(dishes, places, strict=True):
        linear.constrain("filled or open", [(c, 1) for c in (*row, place)], 1, 1)
    linear.constrain("shelf", [(c, goes) for row in dishes for c, goes in zip(row, (1, 1, 2), strict=True)], hi=2)
    for number in range(3):
        linear.constrain("not twice", [(row[number], 1) for row in dishes], hi=1)
    model, cooked = arrays(linear), np.array([c for row in dishes for c in row])
    found = fewest_open(model, np.array(places), cooked, None, 20, 1)
    assert found.x is not None
    assert found.cost == 3
    near = np.zeros(8)
    near[[dishes[0][2], places[1]]] = 1  # a place is open, for all there is went into the first
    found = fewest_open(model, np.array(places), cooked, near, 20, 1)
    assert found.cost == 3
    near = np.zeros(8)
    near[[dishes[0][1], places[1]]] = 1
    found = fewest_open(model, np.array(places), cooked, near, 20, 1)
    assert found.x is not None
    assert found.x[[dishes[0][1], dishes[1][0]]].tolist() == [1, 1]
    linear.constrain("no", [(dishes[0][0], 1)], 2, 2)
    assert fewest_open(arrays(linear), np.array(places), cooked, None, 20, 1).infeasible


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


@pytest.mark.parametrize("told", [True, False])
def test_only_a_run_that_was_told_to_stop_may_end_in_an_error(monkeypatch: pytest.MonkeyPatch, told: bool) -> None:
    stop = threading.Event()
    model = quiet_highs()
    heed(model, stop)

    def in_error(_: object) -> object:
        if told:
            stop.set()
            model.cbIpmInterrupt.callbacks[0](SimpleNamespace(interrupt=lambda: None))
        return highspy.HighsStatus.kError

    monkeypatch.setattr(highspy.Highs, "run", in_error)
    if told:
        assert model.run() == highspy.HighsStatus.kError
    else:
        with pytest.raises(RuntimeError, match="refused"):
            model.run()
