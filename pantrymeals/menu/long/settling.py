"""What a long menu leaves open or misses: filled where a day cooked anew can, proven where none can, else not settled.

Each is asked on a small question of its own: one day (of a week's tag: each of its days) is cooked anew with all other
days as they are, and nothing else may be left open or missed for it.
"""

from __future__ import annotations

import threading
import time
from dataclasses import replace
from enum import Enum, auto
from functools import partial

import numpy as np

from pantrymeals.menu.long.long_table import LongTable
from pantrymeals.solving.cutting import HAIR
from pantrymeals.solving.lanes import in_lanes, joined
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.neighbourhood import best_near
from pantrymeals.solving.solvers import ENDLESS, Found, Linked, linear_relaxation, run_cp_sat, whole_menu

LANES = 2
LOOK_SECONDS = 1.0
"""For one day: to find what fills it, and again to prove that nothing does."""


class Settled(Enum):
    """What came of one look."""

    FILLED = auto()
    CANNOT = auto()
    UNKNOWN = auto()


def settle(table: LongTable, until: float, stop: threading.Event, *, by_work: bool = False) -> frozenset[int]:
    """Fill what can be filled; the columns still open or missed of which it is not proven that they must be.

    Once something was filled all others are looked at again, for its day is not what it was when they were.
    by_work: one after the other, each with work of its own and not time, so that it is the same on every run.
    """
    lanes = 1 if by_work else LANES
    while True:
        amiss = _amiss(table)
        sure: set[int] = set()
        moved = threading.Event()

        def look(lane: int, amiss: list[int] = amiss, sure: set[int] = sure, moved: threading.Event = moved) -> None:
            for col in amiss[lane::lanes]:
                if stop.is_set() or time.monotonic() > until:
                    return
                outcome = _look_at(table, col, stop, by_work)
                if outcome is Settled.FILLED:
                    moved.set()
                elif outcome is Settled.CANNOT:
                    sure.add(col)

        joined(*in_lanes([partial(look, lane) for lane in range(lanes)], stop))
        if not moved.is_set():
            return frozenset(set(amiss) - sure)
        if stop.is_set() or time.monotonic() > until:
            return frozenset(_amiss(table))


def _amiss(table: LongTable) -> list[int]:
    """What is open or missed: promises first, then places day by day."""
    cols = np.flatnonzero(table.must & (table.x > 0.5)).tolist()
    return sorted(cols, key=lambda col: (col not in table.model.missed, table.day_of[col], col))


def _look_at(table: LongTable, col: int, stop: threading.Event, by_work: bool) -> Settled:
    """One open place or missed promise: on its day, or on each day of its week."""
    promise = table.model.missed.get(col)
    day = int(table.day_of[col])
    days = range(promise.first, promise.last + 1) if promise else range(day, day + 1)
    outcome = Settled.CANNOT
    for one in days:
        if table.x[col] < 0.5:
            return Settled.FILLED
        came = _anew(table, one, col, stop, by_work)
        if came is Settled.FILLED:
            return came
        if came is Settled.UNKNOWN:
            outcome = came
    return outcome


def _anew(table: LongTable, day: int, col: int, stop: threading.Event, by_work: bool) -> Settled:
    free = table.free([(day, day + 1)])
    free[col] = True
    at, keep, part = table.alone(free)
    now, must = at[keep], table.must[keep]
    mine = int(np.flatnonzero(keep == col)[0])
    part = replace(part, hi=np.where(must, np.minimum(part.hi, now), part.hi))
    fewest = replace(part, cost=(np.arange(keep.shape[0]) == mine).astype(float))
    near = linear_relaxation(fewest)
    if near.x[mine] > now[mine] - 1 + HAIR:
        return Settled.CANNOT
    found = _fewer(part, mine, now, must, table.seed, stop, by_work)
    proven = False
    if found is None:
        rest = Found()
        seconds, work = (ENDLESS, LOOK_SECONDS) if by_work else (LOOK_SECONDS, ENDLESS)
        run_cp_sat(fewest, rest, Linked(stop), seconds, table.seed, start=now, settings=whole_menu, work=work)
        found, proven = rest.x, rest.settled
    if found is not None and found[mine] < now[mine] - 0.5:
        return Settled.FILLED if table.commit(keep, found) else Settled.UNKNOWN
    return Settled.CANNOT if proven else Settled.UNKNOWN


def _fewer(
    part: Arrays, mine: int, now: np.ndarray, must: np.ndarray, seed: int, stop: threading.Event, by_work: bool
) -> np.ndarray | None:
    """The best decision found that leaves one place or promise fewer; None where none was found."""
    hi = part.hi.copy()
    hi[mine] = now[mine] - 1
    asked = replace(part, hi=hi)
    every = np.ones(now.shape[0], bool)
    spent: list[float] | None = [] if by_work else None
    near = linear_relaxation(asked)
    return best_near(asked, near, every, must, LOOK_SECONDS, seed, 0.0, stop, np.minimum(now, hi), spent)
