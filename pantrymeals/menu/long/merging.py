"""The best parts of many menus in one: the whole month at once, over what some menu so far or the relaxation uses.

Days cooked anew settle into a menu that no few days better. What was on the table on the way there, and what the
relaxation of the month would have parts of, is some hundreds of columns of ten thousand; over these alone the whole
month is one question again.
"""

from __future__ import annotations

import threading
import time
from itertools import count

import numpy as np

from pantrymeals.menu.long.long_table import SEARCH_GAP_POINTS, LongTable
from pantrymeals.menu.week.model import POINT
from pantrymeals.solving.solvers import Found, Linked, linear_relaxation, run_cp_sat, whole_menu

MERGE_PART = 0.15
"""Of the time asked for: one merging; as long between two the days are cooked anew."""

PART_OF_A_DISH = 0.1
"""A column of which the relaxation has less is left out: it has crumbs of very many."""


class Merging:
    """The columns that menus and the month's relaxation use, and the search over them."""

    def __init__(self, table: LongTable) -> None:
        self.table = table
        self.near = np.zeros(table.linear.lo.shape[0], bool)

    def relaxed(self, stop: threading.Event) -> float:
        """Note what the month's relaxation uses. Returns its cost, a bound; minus infinity where it was stopped."""
        relaxation = linear_relaxation(self.table.linear, stop, large=True)
        if relaxation.cost > -np.inf:
            self.near = self.near | (relaxation.x > PART_OF_A_DISH)
        return relaxation.cost

    def merge(self, seconds: float, stop: threading.Event, seed: int) -> None:
        """The best month over these columns that the time allows takes the menu's place, where it costs less."""
        table = self.table
        free = self.near | table.tried | table.implied | table.whole_horizon | table.must
        at, keep, part = table.alone(free)
        found = Found()
        gap = SEARCH_GAP_POINTS * POINT / max(1.0, table.cost)
        run_cp_sat(part, found, Linked(stop), seconds, seed, gap, 1, at[keep], whole_menu)
        if found.x is not None:
            new = at.copy()
            new[keep] = found.x
            table.offer(at, new)

    def by_turns(self, begin: float, until: float, seconds: float, stop: threading.Event, seed: int) -> None:
        """Cook days anew until ``begin``; from then on merge first, by turns, while there is time for it."""
        turn = MERGE_PART * seconds
        self.table.improve(min(begin, until), stop, 0)
        for lane in count(2):  # no lane's days are picked as another's
            left = until - time.monotonic()
            if left <= turn / 2 or stop.is_set():
                return
            if self.near.any():
                self.merge(min(turn, left), stop, seed + lane)
            self.table.improve(min(until, time.monotonic() + turn), stop, lane)
