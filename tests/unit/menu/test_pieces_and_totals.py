"""The long table's tools: pieces of a model, the rolling horizon, neighbourhood search, and the bound from totals."""

from __future__ import annotations

import threading
import time
from fractions import Fraction
from functools import cache

import numpy as np
import pytest

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.long.long_table import SEARCH_GAP_POINTS, LongTable, prove
from pantrymeals.menu.long.merging import Merging
from pantrymeals.menu.long.rolling_horizon import RollingHorizon
from pantrymeals.menu.long.target_path import TargetPath
from pantrymeals.menu.long.totals import bound_of_totals
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, NobodyWatching
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import POINT, Band, MenuModel
from pantrymeals.menu.week.pace import bands_at
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.solving.cutting import holds, piece
from pantrymeals.solving.linear_model import Arrays, arrays, hopeless_rows
from pantrymeals.solving.neighbourhood import best_near
from pantrymeals.solving.solvers import Found, linear_relaxation, run_highs
from tests.benchmarks.larders import larder, suppers_only


@cache
def sheet_of(seed: int, days: int) -> tuple[MenuModel, dict[int, Band], Arrays]:
    home = suppers_only(larder(seed, 40, 40))
    problem = menu_problem(home, MenuRequest(home.today, days))
    bands = bands_at(problem, Fraction(4, 5))
    model = build(problem, bands, PROMISES)
    return model, bands, arrays(model.linear)


@cache
def best_menu(seed: int, days: int) -> Found:
    found = Found()
    run_highs(sheet_of(seed, days)[2], found, threading.Event(), 60, gap=0.0)
    assert found.settled
    return found


def exact(linear: Arrays, x: np.ndarray) -> float:
    return float(linear.cost @ x) + linear.fixed_cost


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_piece_keeps_what_fits_and_what_it_costs(seed: int) -> None:
    _, _, linear = sheet_of(seed, 4)
    x = best_menu(seed, 4).x
    assert x is not None
    assert holds(linear, x)
    rng = np.random.default_rng(seed)
    for share in (0.1, 0.5, 0.9, 1.0):
        free = rng.random(x.shape[0]) < share
        part, keep = piece(linear, free, x)
        assert holds(part, x[keep])
        assert exact(part, x[keep]) == pytest.approx(exact(linear, x))
        assert part.lo.shape[0] == int(free.sum())


def test_what_is_best_in_a_piece_fits_back_and_is_no_better_than_the_best() -> None:
    model, _, linear = sheet_of(1, 4)
    best = best_menu(1, 4)
    assert best.x is not None
    day_of = np.array(model.day_of)
    free = (day_of == 1) | (day_of < 0)
    free |= ~linear.whole
    spoiled = best.x.copy()
    part, keep = piece(linear, free, spoiled)
    found = Found()
    run_highs(part, found, threading.Event(), 30, gap=0.0)
    assert found.x is not None
    spoiled[keep] = found.x
    assert holds(linear, spoiled)
    assert exact(linear, spoiled) == pytest.approx(best.cost)


def test_a_decision_that_breaks_a_row_or_a_bound_does_not_hold() -> None:
    model, _, linear = sheet_of(1, 4)
    x = best_menu(1, 4).x
    assert x is not None
    for col in (model.cook[0], next(iter(model.open.values()))):
        broken = x.copy()
        broken[col] = 1 - broken[col]
        assert not holds(linear, broken)
    beyond = x.copy()
    beyond[model.cook[0]] = 2
    assert not holds(linear, beyond)
    assert hopeless_rows(linear).size == 0


@pytest.mark.parametrize(("seed", "days"), [(1, 4), (2, 4), (3, 4), (4, 8)])
def test_totals_are_a_bound(seed: int, days: int) -> None:
    model, bands, linear = sheet_of(seed, days)
    best = best_menu(seed, days)
    bounds = [bound_of_totals(model.problem, bands, many, pooled) for many in (7, 28) for pooled in (False, True)]
    assert min(bounds) > 0
    assert max(bounds) <= best.cost + 1e-3
    whole = Found()
    prove(LongTable(model, bands, 1), time.monotonic() + 20, threading.Event(), whole)
    assert whole.bound <= best.cost + 1e-3
    assert linear.fixed_cost == 0


def test_weeks_in_turn_give_a_whole_menu_and_cooking_days_anew_never_spoils_it() -> None:
    model, bands, linear = sheet_of(1, 16)
    table = LongTable(model, bands, 1)
    stop = threading.Event()
    assert holds(linear, table.x)  # every place open, every promise missed: allowed, and dear
    RollingHorizon(table, TargetPath(model.problem, bands)).roll(
        time.monotonic() + 300, NobodyWatching(), stop, threading.Event()
    )
    assert holds(linear, table.x)
    assert table.holds(table.x)
    assert not table.x[table.open_cols].any()
    laid = table.cost
    assert laid == pytest.approx(exact(linear, table.x))
    table.improve(time.monotonic() + 2, stop, 0)
    assert holds(linear, table.x)
    assert table.cost <= laid + 1e-6
    assert table.cost == pytest.approx(exact(linear, table.x))


def test_setting_the_deviations_finds_what_a_solver_finds() -> None:
    model, bands, linear = sheet_of(2, 4)
    x = best_menu(2, 4).x
    assert x is not None
    table = LongTable(model, bands, 1)
    settled = x.copy()
    for product in model.off:
        settled[model.off[product]] = 0
    table.settle(settled)
    assert exact(linear, settled) == pytest.approx(exact(linear, x))


@pytest.mark.parametrize("seed", [1])
def test_a_long_menu_lies_above_its_bound_and_keeps_the_rules(seed: int) -> None:
    home = suppers_only(larder(seed, 40, 40))
    plan = plan_menu(home, MenuRequest(home.today, 14, seed=seed, seconds=6))
    assert broken_rules(home, plan) == []
    assert 0 < plan.bound <= plan.cost
    assert len(plan.meals) == 14
    assert plan.open_roles == 0


def test_trouble_in_a_lane_is_heard_and_does_not_hang(monkeypatch: pytest.MonkeyPatch) -> None:
    home = suppers_only(larder(1, 40, 40))

    def fails(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(RollingHorizon, "lay", fails)
    with pytest.raises(ZeroDivisionError):
        plan_menu(home, MenuRequest(home.today, 12, seconds=20))


@pytest.mark.parametrize("seed", [1, 2])
def test_what_nearby_finds_keeps_the_piece_and_is_no_worse_than_its_start(seed: int) -> None:
    model, _, linear = sheet_of(seed, 4)
    best = best_menu(seed, 4)
    near = linear_relaxation(linear)
    must = np.zeros(linear.lo.shape[0], bool)
    must[list(model.open.values())] = True
    assert near.cost <= best.cost + 1e-3
    stop = threading.Event()
    found, _ = best_near(linear, near, near.dear <= 1000, must, 20, 1, 0.0, stop)
    assert found is not None
    assert holds(linear, found)
    assert exact(linear, found) >= best.cost - 1e-3
    again, _ = best_near(linear, near, np.zeros(must.shape[0], bool), must, 20, 1, 0.0, stop, found)
    assert again is not None
    assert exact(linear, again) <= exact(linear, found) + 1e-6


def test_merging_finds_the_best_menu_among_the_columns_that_it_has_seen() -> None:
    model, bands, linear = sheet_of(1, 4)
    best = best_menu(1, 4)
    assert best.x is not None
    table = LongTable(model, bands, 1)
    merging = Merging(table)
    stop = threading.Event()
    assert merging.relaxed(stop) <= best.cost + 1e-3
    merging.near = best.x > 0.5
    merging.merge(20, stop, 1)
    assert table.holds(table.x)
    assert table.cost == pytest.approx(exact(linear, table.x))
    assert best.cost - 1e-3 <= table.cost <= best.cost + SEARCH_GAP_POINTS * POINT


def test_merging_by_turns_never_spoils_a_menu() -> None:
    model, bands, _ = sheet_of(1, 16)
    table = LongTable(model, bands, 1)
    stop = threading.Event()
    RollingHorizon(table, TargetPath(model.problem, bands)).lay(stop)
    laid = table.cost
    merging = Merging(table)
    bound = merging.relaxed(stop)
    merging.by_turns(time.monotonic(), time.monotonic() + 6, 10, stop, 1)
    assert table.holds(table.x)
    assert bound <= table.cost < laid


def test_the_days_are_laid_where_the_looking_ahead_was_stopped() -> None:
    model, bands, linear = sheet_of(1, 16)
    table = LongTable(model, bands, 1)
    stop = threading.Event()
    stop.set()
    path = TargetPath(model.problem, bands, stop)
    assert not path.prices(model).any()
    RollingHorizon(table, path).lay(threading.Event())
    assert holds(linear, table.x)
    assert not table.x[table.open_cols].any()
