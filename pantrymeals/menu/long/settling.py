"""What a long menu leaves open or misses: filled where a day cooked anew can, proven where none can, else not settled.

Each is asked on a small question of its own: one day (of a week's tag: each of its days) is cooked anew with all other
days as they are, so that what is left open and missed there costs less.
"""

from __future__ import annotations

import threading
from enum import Enum, auto
from functools import partial

import numpy as np
from msgspec.structs import replace

from pantrymeals.menu.long.long_table import LongTable
from pantrymeals.menu.long.tidying import tidy
from pantrymeals.menu.week.model import POINT
from pantrymeals.solving.cutting import HAIR
from pantrymeals.solving.lanes import in_lanes, joined
from pantrymeals.solving.neighbourhood import best_near
from pantrymeals.solving.solvers import ENDLESS, Found, Linked, linear_relaxation, run_cp_sat, whole_menu

LANES = 2
LOOK_SECONDS = 1.0
"""For one day: to find what fills it, and again to prove that nothing does."""
FIRM = 10
"""What is open or missed weighs so many times as much while a day is cooked anew for it."""
LEAST_POINTS = 500
"""What is open and missed costs less by so much at least, or not at all: see 'What a menu costs'."""


class Settled(Enum):
    """What came of one look."""

    FILLED = auto()
    CANNOT = auto()
    UNKNOWN = auto()


def settle(table: LongTable, stop: threading.Event, *, by_work: bool = False) -> frozenset[int]:
    """Fill what can be filled; the columns still open or missed of which it is not proven that they must be.

    Once something was filled all others are looked at again, for its day is not what it was when they were.
    by_work: one after the other, each with work of its own and not time, so that it is the same on every run.
    """
    lanes = 1 if by_work else LANES
    while True:
        tidy(table)
        amiss = _amiss(table)
        sure: set[int] = set()
        moved = threading.Event()

        def look(lane: int, amiss: list[int] = amiss, sure: set[int] = sure, moved: threading.Event = moved) -> None:
            for col in amiss[lane::lanes]:
                if stop.is_set():
                    return
                outcome = _look_at(table, col, stop, by_work)
                if outcome is Settled.FILLED:
                    moved.set()
                elif outcome is Settled.CANNOT:
                    sure.add(col)

        joined(*in_lanes([partial(look, lane) for lane in range(lanes)], stop))
        if not moved.is_set():
            return frozenset(set(amiss) - sure)
        if stop.is_set():
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
    amiss = np.where(must, part.cost, 0.0)
    less = float(amiss @ now) - LEAST_POINTS * POINT
    fewest = replace(part, cost=amiss)
    if linear_relaxation(fewest).cost > less + HAIR:
        return Settled.CANNOT
    firm = replace(part, cost=part.cost + (FIRM - 1) * amiss)
    every = np.ones(keep.shape[0], bool)
    found, _ = best_near(firm, linear_relaxation(firm), every, must, LOOK_SECONDS, table.seed, 0.0, stop, now, by_work)
    proven = False
    if found is None or float(amiss @ found) > less + HAIR:
        rest = Found()
        seconds, work = (ENDLESS, LOOK_SECONDS) if by_work else (LOOK_SECONDS, ENDLESS)
        run_cp_sat(fewest, rest, Linked(stop), seconds, table.seed, start=now, settings=whole_menu, work=work)
        found, proven = rest.x, rest.settled
    if found is not None and float(amiss @ found) <= less + HAIR:
        return Settled.FILLED if table.commit(keep, found) else Settled.UNKNOWN
    return Settled.CANNOT if proven else Settled.UNKNOWN
