"""The first whole menu of a long horizon: week by week, each following the path.

A window is a week with a look ahead, so that what is asked of a week is seen whole. Of its columns only those are
kept that its relaxation finds cheap: very few in one lane, more of them in another, and the better menu counts.
"""

from __future__ import annotations

import threading
import time

import numpy as np
from msgspec.structs import replace

from pantrymeals.menu.long.long_table import MONTH_DAYS, LongTable
from pantrymeals.menu.long.target_path import TargetPath
from pantrymeals.menu.long.tidying import tidy
from pantrymeals.menu.request import Watch
from pantrymeals.menu.week.model import POINT
from pantrymeals.menu.week.rules.variety import WEEK
from pantrymeals.solving.cutting import HAIR, cut
from pantrymeals.solving.linear_model import ANY, Arrays
from pantrymeals.solving.neighbourhood import best_near
from pantrymeals.solving.solvers import Linked, linear_relaxation

AHEAD_DAYS = 1
NEAR_POINTS = ((10, 1000), (ANY,))
"""Columns whose price in a window's relaxation is beyond this (hundredths of a point) are left out, side by side; and
then where a role stays open that need not."""
LAID_NEAR_POINTS = ((300,), (ANY,))
"""Where the first whole menu will do."""
WINDOW_GAP = 0.1
WINDOW_GAP_POINTS = 100
LOOSEST_GAP = 0.4
SHORTEST_SECONDS = 0.4
LAID_SECONDS = 1.0
"""For a week of which the first whole menu will do; then one with places open will do too, and then waits for it."""
LEAST_SECONDS_A_WEEK = 1.5
"""With less time for each week than this, rolling brings no better menu than laying, and takes longer."""
FAR_OFF = 10**6
"""Grains, and thousandths of a share: a steered share may be so far off."""


class RollingHorizon:
    """Plans a long table window by window.

    path: how much of each product should be gone by when, and what is scarce on other days too.
    """

    def __init__(self, table: LongTable, path: TargetPath) -> None:
        self.table = table
        self.path = path
        self.cost = table.linear.cost + path.prices(table.model)
        self.wide_hi = table.linear.hi.copy()  # a steered share may be further off than a whole one can
        self.wide_hi[table.off_cols] = [FAR_OFF * table.bands[product].units for product in table.model.off]
        if table.model.largest >= 0:
            self.wide_hi[table.model.largest] = FAR_OFF * 1000

    def lay(self, stop: threading.Event) -> None:
        """All days cheaply: the first whole menu found of each week, so that there is one soon.

        The first week is laid whenever the stop comes: there is always something to cook.
        """
        for a in range(0, self.table.days, WEEK):
            if a and stop.is_set():
                return
            heard = stop if a else threading.Event()
            self._plan_window(a, min(self.table.days, a + WEEK + AHEAD_DAYS), LAID_SECONDS, heard, at_once=True)
            if a // WEEK % 2:
                tidy(self.table)

    def worth_rolling(self, seconds: float) -> bool:
        """Whether it brings a better menu than laying: beyond a month, with time enough to plan each week well."""
        return self.table.days > MONTH_DAYS and seconds >= LEAST_SECONDS_A_WEEK * self.table.days / WEEK

    def roll(
        self, until: float, watch: Watch, stop: threading.Event, enough: threading.Event, work: float | None = None
    ) -> None:
        """Plan all windows; each has its part of the time that is left, and once there is ``enough`` the cheap way.

        work: the solver's own seconds for all of them, where these decide and not the clock.
        """
        days = self.table.days
        weeks = range(0, days, WEEK)
        stretch = 0
        for number, a in enumerate(weeks):
            if stop.is_set():
                return
            if a >= (stretch + 1) * self.path.totals.stretch_days:
                tidy(self.table)
                self.path.passed(stretch, self.table.model, self.table.x)
                self.cost = self.table.linear.cost + self.path.prices(self.table.model)
                stretch += 1
            b = min(days, a + WEEK + AHEAD_DAYS)
            planned = False
            if not enough.is_set():
                left = (until - time.monotonic()) / (len(weeks) - number) if work is None else work / len(weeks)
                planned = self._plan_window(a, b, max(SHORTEST_SECONDS, left), enough, work is not None)
            if enough.is_set() or not (planned or work is not None):
                self._plan_window(a, b, LAID_SECONDS, stop, at_once=True)
            watch.progress(f"days {a + 1} to {min(days, a + WEEK)}", None, None, None)

    def _plan_window(
        self, a: int, b: int, seconds: float, stop: threading.Event, by_work: bool = False, at_once: bool = False
    ) -> bool:
        """Whether it was planned."""
        table = self.table
        keep = np.flatnonzero(table.free([(a, b)]))
        part = cut(self._steered(b), table.entries, keep, table.x, table.sums)
        part = replace(part, fixed_cost=0.0)  # so that the gap speaks of these days alone
        x = first_menu(part, table.must[keep], table.day_of[keep] < 0, seconds, table.seed, stop, by_work, at_once)
        return x is not None and table.commit(keep, x)

    def _steered(self, b: int) -> Arrays:
        """The model with evenness asked up to day b only, as far as the path has come by then."""
        table = self.table
        drawn = self.path.drawn_by(b)
        row_lo = table.linear.row_lo.copy()
        row_lo[table.model.sharper] = -ANY
        for row, (product, sign) in table.model.even.items():
            stock, band = table.model.problem.stocks[product], table.bands[product]
            container = stock.container * band.units
            target = drawn[product] / stock.container
            row_lo[row] = (np.floor(target) if sign > 0 else -np.ceil(target)) * container
        return replace(table.linear, hi=self.wide_hi, cost=self.cost, row_lo=row_lo)


def first_menu(
    part: Arrays, must: np.ndarray, always: np.ndarray, seconds: float, seed: int, stop: threading.Event,
    by_work: bool = False, at_once: bool = False,
) -> np.ndarray | None:  # fmt: skip
    """A menu for one window, soon: from the columns that its relaxation finds cheap, then from more of them.

    must: mask of the columns that should end as nothing (open roles, missed tags). always: mask of other
    columns that are never left out. by_work: ``seconds`` are the solver's own, not the clock's. at_once: the first
    whole menu will do.
    """
    near = linear_relaxation(part)
    least = np.ceil(near.x[must].sum() - HAIR)
    slack = WINDOW_GAP_POINTS * POINT
    gap = max(WINDOW_GAP, min(LOOSEST_GAP, slack / max(1.0, near.cost + slack)))
    best: list[tuple[float, float, np.ndarray]] = []
    had = Linked(stop, lambda: at_once and bool(best) and best[0][2][must].sum() <= least)

    def look(dear: float) -> None:
        cheap = always | (near.dear <= dear)
        found, _ = best_near(part, near, cheap, must, seconds, seed, gap, had, None, by_work, at_once)
        if found is not None:
            best.append((float(part.cost @ found), dear, found))

    for together in LAID_NEAR_POINTS if at_once else NEAR_POINTS:
        lanes = [threading.Thread(target=look, args=(dear,), daemon=True) for dear in together]
        for lane in lanes:
            lane.start()
        for lane in lanes:
            lane.join()
        best.sort(key=lambda one: one[:2])
        if stop.is_set() or (best and (at_once or best[0][2][must].sum() <= least)):
            break
    return best[0][2] if best else None
