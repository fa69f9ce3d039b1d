"""The work of a long menu: one lane proves from totals, then both improve, until time or the gap is reached."""

from __future__ import annotations

import math
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from functools import partial

import numpy as np
from msgspec import Struct

from pantrymeals.menu.long.long_table import MONTH_DAYS, SHEET_SECONDS, LongTable, prove, prove_by_relaxations
from pantrymeals.menu.long.merging import Merging
from pantrymeals.menu.long.rolling_horizon import RollingHorizon
from pantrymeals.menu.long.settling import settle
from pantrymeals.menu.long.target_path import TargetPath
from pantrymeals.menu.request import Watch
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import POINT, MenuModel
from pantrymeals.menu.week.pace import bands_at, common_pace
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.solving.lanes import OF_WORK, SETTING_UP, in_lanes, joined
from pantrymeals.solving.linear_model import hopeless_rows
from pantrymeals.solving.solvers import Found, Linked

ROLLING_PART = 0.5
"""Of the time that is left once all days are laid, or of the work: for the rolling horizon."""

PROVING_PART = 0.4
"""Of the time: at most for the bound; about as long as the rolling horizon takes in the other lane."""

MERGING_FROM = 0.55
"""Of the time: from then on what was on the table is merged; before that there is too little of it."""

LOOKING_PART = 0.08
"""Of the time: for a last look at what is open or missed."""

READING_PART = 0.02
"""Of the time: kept for writing the plan down."""

LOOKING_ON_SECONDS, LOOKING_ON_PART = 5.0, 0.2
"""When time is up before the last look has ended, it goes on so long; what it has not come to then is not settled."""

ENOUGH_SECONDS = 2.5
"""Once the cook has had enough: at most so long for the days not laid yet."""

STOPPED_LOOK_SECONDS = 1.0
"""Then for the last look."""


class LongAnswer(Struct, frozen=True):
    """The best long menu: its model, columns, pace, cost and bound (model units), and whether it keeps all rows.

    not_settled: columns that are open or missed, and it is not proven that they must be. cut_short: where work was to
    decide, whether the clock did.
    """

    model: MenuModel
    x: np.ndarray
    pace: Fraction
    cost: float
    bound: float
    holds: bool
    not_settled: frozenset[int] = frozenset()
    cut_short: bool = False


def long_menu(problem: MenuProblem, watch: Watch, begun: float) -> LongAnswer:
    """The best menu found in the time asked, with a bound from totals.

    Where no menu fits or none was found, its columns keep not all rows.
    """
    asked = problem.request
    watch.progress("how often each dish, how much of each product", None, None, None)
    pace = common_pace(problem)
    bands = bands_at(problem, pace)
    with ThreadPoolExecutor(1) as beside:  # the path is the solver's work, the model is Python's
        awaited = beside.submit(TargetPath, problem, bands, Linked(threading.Event(), watch.stopped))
        model = build(problem, bands, PROMISES)
        table = LongTable(model, bands, asked.seed)
        path = awaited.result()
    if hopeless_rows(table.linear).size:
        return LongAnswer(model, table.x, pace, table.cost, 0.0, table.holds(table.x))
    proof = Found()
    proof.proved(0.0, "no wish costs less than nothing")
    cut_short = False
    if asked.alike:
        left, cut_short = _by_work(table, path, proof, watch, begun)
    else:
        left = _by_time(table, path, proof, watch, begun)
    return LongAnswer(model, table.x, pace, table.cost, proof.bound, table.holds(table.x), left, cut_short)


def _by_time(table: LongTable, path: TargetPath, proof: Found, watch: Watch, begun: float) -> frozenset[int]:
    """The best long menu that the time asked for allows; what of it is not settled."""
    asked = table.model.problem.request
    seconds = asked.seconds
    until = begun + seconds * (1 - READING_PART)
    stop, rolled = threading.Event(), threading.Event()
    enough = Linked(stop)  # set before the stop where the cook has had enough: no more search, but all days are laid
    searched = until - seconds * LOOKING_PART

    merging = Merging(table) if table.days <= MONTH_DAYS and seconds >= SHEET_SECONDS else None

    def proving() -> None:
        proved_by = min(time.monotonic() + seconds * PROVING_PART, until)
        prove(table, proved_by, Linked(enough), proof, None if merging is None else merging.relaxed)
        rolled.wait()
        table.improve(searched, enough, 1)

    def rolling() -> None:
        horizon = RollingHorizon(table, path)
        try:
            horizon.lay(stop)
            if not stop.is_set():
                _tell("all days laid", table, proof, watch)
            now = time.monotonic()
            left = ROLLING_PART * (searched - now)
            if not enough.is_set() and horizon.worth_rolling(left):
                laid = table.x
                table.clear()
                horizon.roll(now + left, watch, stop, enough)
                table.take_back(laid)
        finally:
            rolled.set()
        if merging is not None:
            merging.by_turns(begun + seconds * MERGING_FROM, searched, seconds, enough, asked.seed)
        table.improve(searched, enough, 0)

    lanes, troubles = in_lanes((rolling, proving), stop)
    stopped = math.inf
    while any(lane.is_alive() for lane in lanes):
        time.sleep(0.05)
        now = time.monotonic()
        if watch.stopped():
            stopped = min(stopped, now)
        if now >= min(stopped, until):
            enough.set()
        if rolled.is_set():
            _tell("days cooked anew", table, proof, watch)
        close = rolled.is_set() and table.cost <= proof.bound + asked.gap * max(table.cost, 1.0)
        if close or now > stopped + ENOUGH_SECONDS:
            stop.set()
    joined(lanes, troubles)
    watch.progress("what is still open", table.cost / POINT, proof.bound / POINT, None)
    on = max(LOOKING_ON_SECONDS, LOOKING_ON_PART * seconds)
    latest = min(stopped + ENOUGH_SECONDS + STOPPED_LOOK_SECONDS, max(time.monotonic(), until) + on)

    def looked_long_enough() -> bool:
        return time.monotonic() > latest or (stopped == math.inf and watch.stopped())

    return settle(table, Linked(threading.Event(), looked_long_enough))


def _by_work(
    table: LongTable, path: TargetPath, proof: Found, watch: Watch, begun: float
) -> tuple[frozenset[int], bool]:
    """The same long menu for the same seed on every run, however busy the machine: work decides, not the clock.

    The same three steps, each with its part of the seconds asked for as the solver's own; two pieces side by side begin
    from one menu. The bound is that of relaxations, which are solved whole or not at all.
    Returns what is not settled, and whether the clock cut in.
    """
    asked = table.model.problem.request
    until = begun + OF_WORK * (asked.seconds + asked.patience) + SETTING_UP
    stop, enough, left = threading.Event(), threading.Event(), list[frozenset[int]]()

    def close() -> bool:
        return table.cost <= proof.bound + asked.gap * max(table.cost, 1.0)

    def improving() -> None:
        part = 1 - ROLLING_PART - LOOKING_PART - READING_PART
        table.improve_by_work(part * asked.seconds, enough, close)
        left.append(settle(table, stop, by_work=True))

    def rolling() -> None:
        RollingHorizon(table, path).roll(math.inf, watch, stop, enough, ROLLING_PART * asked.seconds)

    cut_short = False
    latest = math.inf
    for works in ((rolling, partial(prove_by_relaxations, table, asked.seconds, enough, proof)), (improving,)):
        lanes, troubles = in_lanes(works, stop)
        while any(lane.is_alive() for lane in lanes):
            time.sleep(0.05)
            if works == (improving,):
                _tell("days cooked anew", table, proof, watch)
            if not enough.is_set() and (watch.stopped() or time.monotonic() > until):
                cut_short = not watch.stopped()
                enough.set()
                latest = time.monotonic() + ENOUGH_SECONDS + STOPPED_LOOK_SECONDS
            if time.monotonic() > latest:
                stop.set()
        joined(lanes, troubles)
    return left[0], cut_short


def _tell(done: str, table: LongTable, proof: Found, watch: Watch) -> None:
    watch.progress(done, table.cost / POINT, proof.bound / POINT, round(table.x[table.open_cols].sum()))
