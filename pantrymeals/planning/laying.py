"""The first whole menu of a long horizon: a few days at a time, each following the totals' draws.

A window is a few days with a look ahead. Of its columns only those are kept that its relaxation finds
cheap, and HiGHS seldom needs a second for the rest.
"""

from __future__ import annotations

import threading
import time
from dataclasses import replace
from itertools import pairwise

import numpy as np

from pantrymeals.planning.cutting import HAIR, cut
from pantrymeals.planning.evenness import shares
from pantrymeals.planning.long_table import LongTable
from pantrymeals.planning.menu_rows import POINT
from pantrymeals.planning.nearby import nearby
from pantrymeals.planning.request import Watch
from pantrymeals.planning.rows import ANY, Arrays

WEEK = 7
WINDOW_COLUMNS = 1700
"""Whole columns of a window with its look ahead: more take a solver too long."""
FEWEST_DAYS, MOST_DAYS = 2, 7
AHEAD_DAYS = 1
NEAR_POINTS = (10, 1000, ANY)
"""Columns whose price in a window's relaxation is beyond this (hundredths of a point) are left out; and again where
a role stays open."""
WINDOW_GAP = 0.1
WINDOW_GAP_POINTS = 100
LOOSEST_GAP = 0.4
SHORTEST_SECONDS = 0.4
FAR_OFF = 10**7


def windows_of(days: int, most: int) -> list[tuple[int, int]]:
    """Runs of days [first, end), ``most`` at the most, that part each week alike, its longer ones last.

    What is asked of a week as a whole then has some days of it left to be kept on.
    """
    parts = -(-WEEK // most)
    ends = [(n + 1) * WEEK // parts for n in range(parts)]
    cuts = [week + end for week in range(0, days, WEEK) for end in ends]
    return [(a, min(b, days)) for a, b in pairwise([0, *cuts]) if a < days]


class Laying:
    """The work of laying a long table, window by window.

    drawn: grains of each product that the whole horizon should draw. prices: by column, what it takes of things
    that are scarce on other days too.
    """

    def __init__(self, table: LongTable, drawn: np.ndarray, prices: np.ndarray) -> None:
        self.table = table
        self.drawn = drawn
        self.cost = table.sheet.cost + prices
        whole = table.sheet.whole & (table.day_of >= 0)
        days = WINDOW_COLUMNS * table.days / max(1, int(whole.sum())) - AHEAD_DAYS
        self.window_days = min(MOST_DAYS, max(FEWEST_DAYS, round(days)))
        self.wide_hi = table.sheet.hi.copy()  # a steered share may be further off than a whole one can
        self.wide_hi[table.off_cols] = FAR_OFF
        if table.rows.largest >= 0:
            self.wide_hi[table.rows.largest] = FAR_OFF

    def lay(self, until: float, watch: Watch, stop: threading.Event) -> None:
        """Lay all windows; each has its part of the time that is left."""
        days = self.table.days
        windows = windows_of(days, self.window_days)
        for number, (a, b) in enumerate(windows):
            if stop.is_set():
                return
            seconds = max(SHORTEST_SECONDS, (until - time.monotonic()) / (len(windows) - number))
            self._lay_window(a, min(days, b + AHEAD_DAYS), seconds, stop)
            watch.progress(f"days {a + 1} to {b}", None, None, None)

    def _lay_window(self, a: int, b: int, seconds: float, stop: threading.Event) -> None:
        table = self.table
        keep = np.flatnonzero(table.free([(a, b)]))
        part = cut(self._steered(b), table.entries, keep, table.x, table.sums)
        part = replace(part, fixed_cost=0.0)  # so that the gap speaks of these days alone
        must = np.isin(keep, table.open_cols) | np.isin(keep, table.missed_cols)
        x = first_menu(part, must, table.day_of[keep] < 0, seconds, table.seed, stop)
        if x is not None:
            table.commit(keep, x)

    def _steered(self, b: int) -> Arrays:
        """The sheet with evenness asked up to day b only, at the pace of the best totals."""
        table = self.table
        reached = self._reached(b)
        row_lo = table.sheet.row_lo.copy()
        row_lo[table.rows.sharper] = -ANY
        for row, (product, sign) in table.rows.even.items():
            container = table.rows.problem.goods[product].container
            target = self.drawn[product] * reached[product] / container
            row_lo[row] = (np.floor(target) if sign > 0 else -np.ceil(target)) * container
        return replace(table.sheet, hi=self.wide_hi, cost=self.cost, row_lo=row_lo)

    def _reached(self, b: int) -> list[float]:
        """By product, the part of its whole share that an even hand has drawn by day b."""
        problem = self.table.rows.problem
        by_then = shares(problem.household, problem.request.first, b)
        return [
            min(1.0, float(by_then[g.name] / (g.share * g.exact_container)))
            if g.averaged and g.share
            else b / self.table.days
            for g in problem.goods
        ]


def first_menu(
    part: Arrays, must: np.ndarray, always: np.ndarray, seconds: float, seed: int, stop: threading.Event
) -> np.ndarray | None:
    """A menu for one window, soon: from the columns that its relaxation finds cheap, then from more of them.

    must: mask of the columns that should end as nothing (open roles, missed tags). always: mask of other
    columns that are never left out.
    """
    near = nearby(part)
    least = np.ceil(near.x[must].sum() - HAIR)
    slack = WINDOW_GAP_POINTS * POINT
    gap = max(WINDOW_GAP, min(LOOSEST_GAP, slack / max(1.0, near.bound + slack)))
    best, cost = None, float("inf")
    for dear in NEAR_POINTS:
        found = near.best(always | (near.dear <= dear), must, seconds, seed, gap, stop)
        if found is not None and (new := float(part.cost @ found)) < cost:
            best, cost = found, new
        if stop.is_set() or (best is not None and best[must].sum() <= least):
            break
    return best
