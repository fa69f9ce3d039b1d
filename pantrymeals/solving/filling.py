"""A whole menu that comes however little time there is: as few places open as can be, and nothing else asked.

With evenness left out a week is solved in a part of a second; the best menu found so far only says which one is wanted.
"""

from __future__ import annotations

import threading
from typing import Any

import numpy as np
from msgspec.structs import replace

from pantrymeals.solving.cutting import holds, piece
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.solvers import Found, run_cp_sat, run_highs, whole_menu

WORK = 20.0
"""CP-SAT's deterministic seconds at the most; the demo's week takes 1/5 of one."""
SETTLING_SECONDS = 5.0
"""For what follows from the dishes (what is opened, how even it is): at the most; a tenth of one is usual."""
_NO_GAP = 1e-9


def fill(
    found: Found, linear: Arrays, places: np.ndarray, dishes: np.ndarray, near: np.ndarray | None, seconds: float,
    seed: int,
) -> None:  # fmt: skip
    """Give ``found`` a decision that leaves fewer places open, where it has any open or no decision at all.

    The arguments are those of ``fewest_open``. What is had so is taken whatever else it costs.
    """
    if found.infeasible or (found.x is not None and not found.x[places].any()):
        return
    whole = fewest_open(linear, places, dishes, near, seconds, seed)
    found.infeasible = whole.infeasible
    if whole.x is not None and (found.x is None or whole.x[places].sum() < found.x[places].sum()):
        found.x, found.cost = whole.x, whole.cost


def fewest_open(
    linear: Arrays, places: np.ndarray, dishes: np.ndarray, near: np.ndarray | None, seconds: float, seed: int
) -> Found:
    """A decision that leaves as little of ``places`` open as any does, by their costs, and is near to ``near``.

    places, dishes: numbers of the columns of open places and of dishes cooked. near: None: the best-liked dishes.
    With its cost in the whole model. ``infeasible`` where none keeps all rows; no decision where time or work ended.
    """
    cost = np.zeros_like(linear.cost)
    cost[dishes] = linear.cost[dishes] if near is None else np.where(near[dishes] > 0.5, -1.0, 1.0)
    cost[places] = linear.cost[places]
    found = Found()
    asked = replace(linear, cost=cost, fixed_cost=0.0)
    run_cp_sat(asked, found, threading.Event(), seconds, seed, _NO_GAP, start=near, settings=_so_much_work)
    if found.x is None:
        return Found(infeasible=found.infeasible)
    return _settled(linear, dishes, found.x, seed)


def _settled(linear: Arrays, dishes: np.ndarray, x: np.ndarray, seed: int) -> Found:
    """The best decision with these very dishes."""
    free = np.ones(x.shape[0], bool)
    free[dishes] = False
    part, keep = piece(linear, free, x)
    rest = Found()
    run_highs(part, rest, threading.Event(), SETTLING_SECONDS, seed)
    best = x.copy()
    if rest.x is not None:
        best[keep] = rest.x
    if not holds(linear, best):
        best = x
    return Found(best, float(linear.cost @ best) + linear.fixed_cost)


def _so_much_work(parameters: Any) -> None:
    whole_menu(parameters)
    parameters.max_deterministic_time = WORK
