"""A whole menu by two lanes side by side, each with its own seed, until the gap is proven or time is up."""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from pantrymeals.solving.cutting import HAIR, holds, piece
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.solvers import Found, Linked, linear_relaxation, run_cp_sat, run_highs, whole_menu

NEAR_SECONDS = 2.0
NEAR_GAP = 0.3
"""A first menu near the relaxation: at most so long, and no nearer than so to its own best."""

OTHER_SEED = 1000
OTHER_SECONDS = 2.0
"""The second lane searches with the seed and this, so long; then it searches neighbourhoods."""

SEARCH_SECONDS = 1.0
SEARCH_POINTS = 200
"""A neighbourhood: at most so long, to within so much (hundredths of a point)."""

OF_WORK, SETTING_UP = 6.0, 20.0
"""Where work decides and not the clock, the clock cuts in only after so many times the seconds asked for, and these."""

NEAR_POINTS = 100
"""Columns whose price in the relaxation is beyond this (hundredths of a point) are left out at first."""


def in_lanes(works: Sequence[Callable[[], None]], stop: threading.Event) -> tuple[list[threading.Thread], list[Any]]:
    """A thread at work on each, and the list in which one that fails leaves its trouble; then ``stop`` is set."""
    troubles: list[Any] = []

    def heard(work: Callable[[], None]) -> None:
        try:
            work()
        except BaseException as trouble:
            troubles.append(trouble)
            stop.set()

    threads = [threading.Thread(target=heard, args=(work,), daemon=True) for work in works]
    for thread in threads:
        thread.start()
    return threads, troubles


def joined(threads: Sequence[threading.Thread], troubles: Sequence[Any]) -> None:
    """Wait for all lanes; raise the first trouble of one that failed."""
    for thread in threads:
        thread.join()
    if troubles:
        raise troubles[0]


def near_the_relaxation(
    linear: Arrays, always: np.ndarray, seconds: float, seed: int, stop: threading.Event
) -> np.ndarray | None:
    """A whole menu, soon: the model without the columns that the relaxation finds dear.

    always: columns that may never be left out, all zero in a whole menu. None when nothing is found that
    keeps all rows.
    """
    relaxation = linear_relaxation(linear)
    free = (relaxation.dear <= NEAR_POINTS) | (relaxation.x > HAIR) | ~linear.whole | (linear.lo > 0)
    free[always] = True
    part, keep = piece(linear, free, np.zeros_like(relaxation.x))
    found = Found()
    ask_whole = np.isin(keep, always)

    def enough() -> bool:
        return found.x is not None and not found.x[ask_whole].any() and found.gap() <= NEAR_GAP

    run_highs(part, found, Linked(stop, enough), seconds, seed, NEAR_GAP)
    if found.x is None:
        return None
    whole = np.zeros_like(relaxation.x)
    whole[keep] = found.x
    return whole if holds(linear, whole) else None


def neighbourhood_search(
    linear: Arrays, found: Found, stop: threading.Event, until: float, seed: int, day_of: np.ndarray
) -> None:
    """Better decisions from the best so far: some days are cooked anew, all others stay.

    day_of: the day each column is about, -1 for the whole horizon.
    """
    rng = random.Random(seed)
    days = sorted({int(d) for d in day_of if d >= 0})
    many = min(3, len(days))
    while not stop.is_set() and (left := until - time.monotonic()) > 0:
        x, cost = found.x, found.cost
        if x is None:
            return
        free = (day_of < 0) | ~linear.whole | np.isin(day_of, rng.sample(days, many))
        part, keep = piece(linear, free, x)
        better = Found()
        begun = time.monotonic()
        enough = SEARCH_POINTS / max(abs(cost), 1.0)
        run_highs(part, better, Linked(stop), min(SEARCH_SECONDS, left), rng.randrange(1, 10**6), enough, x[keep])
        took = time.monotonic() - begun
        many = max(1, many - 1) if took > 0.8 * SEARCH_SECONDS else min(len(days), many + (took < 0.3 * SEARCH_SECONDS))
        if better.x is not None and better.cost < cost:
            new = x.copy()
            new[keep] = better.x
            if holds(linear, new):
                found.offer(new, float(np.dot(linear.cost, new) + linear.fixed_cost))


def side_by_side(
    linear: Arrays,
    seconds: float,
    seed: int = 1,
    gap: float = 0.01,
    always: np.ndarray | None = None,
    day_of: np.ndarray | None = None,
    watching: Callable[[Found], bool] | None = None,
    patience: float = 0.0,
) -> Found:
    """The best decision and its proof, by two lanes, until the gap is proven, time is up or someone says stop.

    One lane: CP-SAT. The other: a first whole menu near the relaxation, then CP-SAT with another seed from
    there, for whichever is done sooner; once that takes long, neighbourhood search.
    always: columns that are all zero in a whole menu; watching: called some times a second with what is
    found; returns True to stop. patience: so many seconds more while there is no menu at all.
    """
    found = Found()
    stop = threading.Event()
    until = time.monotonic() + seconds

    def left() -> float:
        return until + patience - time.monotonic()

    def time_is_up() -> bool:
        return time.monotonic() > until + (patience if found.x is None else 0.0)

    def search() -> None:
        run_cp_sat(linear, found, stop, left(), seed, gap, settings=whole_menu)

    def search_from_near() -> None:
        if always is not None:
            start = near_the_relaxation(linear, always, min(NEAR_SECONDS, left()), seed, stop)
            if start is not None:
                found.offer(start, float(np.dot(linear.cost, start) + linear.fixed_cost))
        if not stop.is_set() and left() > 0:
            most = min(OTHER_SECONDS, left())
            run_cp_sat(linear, found, Linked(stop), most, seed + OTHER_SEED, gap, 1, found.x, whole_menu)
        if found.infeasible or found.settled:
            stop.set()
        elif not stop.is_set() and day_of is not None:
            neighbourhood_search(linear, found, stop, until, seed, day_of)

    lanes = in_lanes((search, search_from_near), stop)
    while not stop.wait(0.05):
        done = found.within(gap) or time_is_up()
        if done or (watching is not None and watching(found)):
            stop.set()
    joined(*lanes)
    return found


@dataclass(frozen=True, slots=True)
class ByWork:
    """What was found with so much work, and whether the clock cut in before it was done."""

    found: Found
    cut_short: bool


def by_work(
    linear: Arrays, seconds: float, seed: int, gap: float, watching: Callable[[Found], bool], patience: float = 0.0
) -> ByWork:
    """The same decision for the same seed on every run, however busy the machine: work decides, not the clock.

    Two lanes of CP-SAT with seeds of their own, each for as much work as ``seconds`` of it usually are. The first one's
    word counts where it proves the gap; else the better of the two. patience: seconds more of work while none is found.
    """
    lanes = [Found(), Found()]
    stop = threading.Event()
    until = time.monotonic() + OF_WORK * (seconds + patience) + SETTING_UP

    def search(lane: int) -> None:
        begin, found = seed + lane * OTHER_SEED, lanes[lane]
        for work in (seconds, seconds + patience):
            if found.x is None and not found.infeasible and not stop.is_set():
                ended = Linked(stop)
                run_cp_sat(linear, found, ended, until - time.monotonic(), begin, gap, settings=_for_work(work))
        if lane == 0 and (found.settled or found.infeasible):
            stop.set()

    threads, troubles = in_lanes([partial(search, lane) for lane in range(2)], stop)
    cut_short = False
    while any(thread.is_alive() for thread in threads):
        time.sleep(0.05)
        if watching(min(lanes, key=lambda lane: lane.cost)):
            stop.set()
        elif time.monotonic() > until:
            cut_short = True
            stop.set()
    joined(threads, troubles)
    first, second = lanes
    if first.settled or first.infeasible:
        return ByWork(first, False)
    best = second if second.infeasible or second.settled or second.cost < first.cost - 1e-9 else first
    best.proved(max(first.bound, second.bound), "CP-SAT")
    return ByWork(best, cut_short)


def _for_work(work: float) -> Callable[[Any], None]:
    """Settings of a whole menu with so much work and no more."""

    def settings(parameters: Any) -> None:
        whole_menu(parameters)
        parameters.max_deterministic_time = work

    return settings
