"""Menus longer than a week or so: totals, then weeks in turn, then neighbourhoods.

1. Totals (``totals``) give the pace, the draws to steer by and a proven bound.
2. Weeks in turn: each window of seven days, with a look ahead, follows the cumulative draws.
3. Neighbourhoods: all but some days stays as it is, those days are cooked anew, and a menu that
   is no worse takes the old one's place. Two at a time, days far apart.

Everything works on one sheet of the whole horizon; a window or a neighbourhood is a piece cut out
of it (``rows.piece``), so no rule is written twice.
"""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from pantrymeals.planning.cutting import by_column, cut, kept
from pantrymeals.planning.evenness import shares
from pantrymeals.planning.menu_rows import LARGEST_GRAIN, POINT, Band, MenuRows
from pantrymeals.planning.request import Watch
from pantrymeals.planning.rows import ANY, Arrays, arrays
from pantrymeals.planning.solvers import Found, Linked, relaxed, run_cp_sat, run_highs
from pantrymeals.planning.totals import build_totals

WINDOW_DAYS = 7
AHEAD_DAYS = 2
WINDOW_GAP = 0.05
ANEW_SECONDS = 2.5
ANEW_GAP_POINTS = 10
FIRST_LENGTH = 5
SHORTEST, LONGEST = 2, 16
SLOW_PART, QUICK_PART = 0.8, 0.25
"""A neighbourhood has as many days as can be solved in a part of ANEW_SECONDS between these."""
PROOF_GAP = 0.002
ANY_GAP = 1000.0
FAR_OFF = 10**7
LAST_CHANCE_SECONDS = 10.0
"""A window that found no menu in its time is given so long to find any."""


class LongTable:
    """A whole horizon's sheet, the best menu on it so far, and the work of improving it."""

    def __init__(self, rows: MenuRows, bands: Mapping[int, Band], drawn: np.ndarray, seed: int) -> None:
        self.rows = rows
        self.bands = bands
        self.drawn = drawn
        self.sheet = arrays(rows.sheet)
        self.days = rows.problem.days
        self.day_of = np.array(rows.day_of)
        self.implied = ~self.sheet.whole
        self.whole_horizon = self.day_of < 0
        self.entries = by_column(self.sheet)
        self.rng = random.Random(seed)
        self.seed = seed
        self.x = np.zeros(self.sheet.lo.shape[0])
        self.x[list(rows.open.values())] = 1
        self.sums = self.entries.sums(self.x)
        self.cost = float("inf")
        self.lock = threading.Lock()
        self.open_cols = np.array(sorted(rows.open.values()))
        self.off_cols = np.array([rows.off[p] for p in rows.off], dtype=int)
        self.wide_hi = self.sheet.hi.copy()  # a steered share may be further off than a whole one can
        self.wide_hi[[*self.off_cols.tolist(), *([rows.largest] if rows.largest >= 0 else [])]] = FAR_OFF
        self.use = self._use_matrix()
        self.even_rows = self._even_rows()
        self.reach = np.array(rows.reach)
        self.at_least_rows = [i for i, rule in enumerate(rows.sheet.rules) if rule.startswith("at least")]
        self.at_least_ends = [int(self.day_of[self._cols_of(row)].max()) for row in self.at_least_rows]

    def _cols_of(self, row: int) -> np.ndarray:
        return self.sheet.cols[self.sheet.starts[row] : self.sheet.starts[row + 1]]

    def _use_matrix(self) -> list[tuple[int, np.ndarray, np.ndarray]]:
        """For each product with a deviation column: (product, columns, grains)."""
        out = []
        for product in self.rows.off:
            draws = self.rows.draws[product]
            cols = np.array([c for _, c, _ in draws], dtype=int)  # none, where no dish can have it
            out.append((product, cols, np.array([g for _, _, g in draws], float)))
        return out

    def settle(self, x: np.ndarray) -> None:
        """Set the deviation columns to what the draws make them."""
        largest = 0.0
        for product, cols, grains in self.use:
            band = self.bands[product]
            drawn = float(grains @ x[cols]) + self.rows.problem.goods[product].standing[-1]
            off = max(0.0, band.low - drawn, drawn - band.high)
            x[self.rows.off[product]] = off
            largest = max(largest, off * band.share_of_grain)
        if self.rows.largest >= 0:
            x[self.rows.largest] = np.ceil(largest / (10**6 // LARGEST_GRAIN) - 1e-9)

    def holds(self, x: np.ndarray) -> bool:
        """Whether every row and bound holds."""
        return kept(self.sheet, x, self.entries.sums(x))

    def price(self, x: np.ndarray) -> float:
        """The cost of a menu in the sheet's units."""
        return float(self.sheet.cost @ x) + self.sheet.fixed_cost

    def free(self, spans: list[tuple[int, int]]) -> np.ndarray:
        """Mask of the columns that may move when the days of these spans [a, b) are cooked anew."""
        mask = self.whole_horizon.copy()
        for a, b in spans:
            mask |= (self.day_of >= a) & (self.day_of < b)
            mask |= self.implied & (self.day_of >= a) & (self.day_of < b + self.reach)
        return mask

    def lay_weeks(self, until: float, watch: Watch, stop: threading.Event) -> None:
        """Fill the horizon window by window, steering each product to its cumulative draw."""
        starts = range(0, self.days, WINDOW_DAYS)
        for number, a in enumerate(starts):
            b = min(self.days, a + WINDOW_DAYS + AHEAD_DAYS)
            steered = self._steered(b)
            keep = np.flatnonzero(self.free([(a, b)]))
            part = cut(steered, self.entries, keep, self.x, self.entries.sums(self.x))
            part = replace(part, fixed_cost=0.0)  # so that the gap speaks of these days alone
            left = max(0.4, (until - time.monotonic()) / (len(starts) - number))
            x = self._window(part, left, stop)
            if x is not None:
                self.x[keep] = x
            beyond = self.day_of >= min(self.days, a + WINDOW_DAYS)
            if a + WINDOW_DAYS < self.days:
                self.x[beyond] = 0
                self.x[self.open_cols[self.day_of[self.open_cols] >= a + WINDOW_DAYS]] = 1
            watch.progress(f"days {a + 1} to {min(self.days, a + WINDOW_DAYS)}", None, None, None)
            if stop.is_set():
                break
        self._carry()
        self.settle(self.x)
        self.cost = self.price(self.x)
        self.sums = self.entries.sums(self.x)

    def _window(self, part: Arrays, seconds: float, stop: threading.Event) -> np.ndarray | None:
        """A menu for one window, soon: the best in its time, or else the first that can be found."""
        found = Found()
        run_cp_sat(part, found, Linked(stop), seconds, self.seed, WINDOW_GAP, settings=soon)
        if found.x is None and not stop.is_set():
            run_cp_sat(part, found, Linked(stop), LAST_CHANCE_SECONDS, self.seed, ANY_GAP)
        return found.x

    def _steered(self, b: int) -> Arrays:
        """The sheet with evenness asked up to day b only, at the pace of the best totals."""
        reached = self._reached(b)
        row_lo = self.sheet.row_lo.copy()
        row_hi = self.sheet.row_hi.copy()
        row_lo[[row for row, last in zip(self.at_least_rows, self.at_least_ends, strict=True) if last >= b]] = -ANY
        for r, (product, sign) in self.even_rows.items():
            goods = self.rows.problem.goods[product]
            target = self.drawn[product] * reached[product]
            if sign > 0:
                row_lo[r] = np.floor(target / goods.container) * goods.container
            else:
                row_lo[r] = -np.ceil(target / goods.container) * goods.container
        return replace(self.sheet, hi=self.wide_hi, row_lo=row_lo, row_hi=row_hi)

    def _reached(self, b: int) -> list[float]:
        """By product, the part of its whole share that an even hand has drawn by day b."""
        problem = self.rows.problem
        by_then = shares(problem.household, problem.request.first, b)
        return [
            min(1.0, float(by_then[g.name] / (g.share * g.exact_container)))
            if g.averaged and g.share
            else b / self.days
            for g in problem.goods
        ]

    def _even_rows(self) -> dict[int, tuple[int, int]]:
        """Row -> (product, +1 for 'at least' rows, -1 for 'at most' rows)."""
        by_off = {col: product for product, col in self.rows.off.items()}
        out: dict[int, tuple[int, int]] = {}
        starts = self.sheet.starts
        for r, rule in enumerate(self.rows.sheet.rules):
            if rule == "evenness":
                first = int(self.sheet.cols[starts[r]])
                if first in by_off:
                    sign = 1 if self.sheet.coefs[starts[r] + 1] > 0 else -1
                    out[r] = (by_off[first], sign)
        return out

    def _carry(self) -> None:
        """Give the implied columns (what is open, what is left) values that fit the decisions."""
        keep = np.flatnonzero(self.implied | self.whole_horizon)
        part = cut(self.sheet, self.entries, keep, self.x, self.entries.sums(self.x))
        _, x, _ = relaxed(part)
        self.x[keep] = x

    def improve(self, until: float, stop: threading.Event, lane: int) -> None:
        """Cook anew some days at a time until time is up; as many days at once as a solve can do soon."""
        rng = random.Random(self.seed * 1000 + lane)
        length = FIRST_LENGTH
        tries: Counter[int] = Counter()
        while time.monotonic() < until and not stop.is_set():
            spans = self._pick(rng, length, tries)
            with self.lock:
                at, sums = self.x, self.sums  # never changed in place
            keep = np.flatnonzero(self.free(spans))
            part = cut(self.sheet, self.entries, keep, at, sums)
            part = replace(part, fixed_cost=0.0)
            found = Found()
            begun = time.monotonic()
            left = min(ANEW_SECONDS, max(0.2, until - begun))
            gap = ANEW_GAP_POINTS * POINT / max(1.0, float(part.cost @ at[keep]))
            run_highs(part, found, Linked(stop), left, rng.randrange(1, 10**6), gap, at[keep])
            took = time.monotonic() - begun
            if took > SLOW_PART * ANEW_SECONDS:
                length = max(SHORTEST, length - 1)
            elif took < QUICK_PART * ANEW_SECONDS:
                length = min(LONGEST, length + 1)
            if found.x is not None:
                new = at.copy()
                new[keep] = found.x
                self._accept(at, new)

    def _accept(self, at: np.ndarray, new: np.ndarray) -> bool:
        with self.lock:
            trial = self.x + (new - at)
            self.settle(trial)
            cost = self.price(trial)
            if cost > self.cost + 1e-6:
                return False
            moved = trial - self.x
            sums = self.entries.moved(self.sums, np.flatnonzero(moved), moved)
            if not kept(self.sheet, trial, sums):
                return False
            self.x, self.cost, self.sums = trial, cost, sums
            return True

    def _pick(self, rng: random.Random, length: int, tries: Counter[int]) -> list[tuple[int, int]]:
        """Days to cook anew: around a role left open, one run of days, or two runs."""
        length = min(length, self.days)
        gaps = [int(d) for d in self.day_of[self.open_cols[self.x[self.open_cols] > 0.5]] if tries[int(d)] < 6]
        if gaps and rng.random() < 0.6:
            day = rng.choice(gaps)
            tries[day] += 1
            a = max(0, min(day - rng.randrange(length), self.days - length))
            return [(a, a + length)]
        if rng.random() < 0.5 or self.days < 15:
            a = rng.randrange(0, self.days - length + 1)
            return [(a, a + length)]
        half = max(1, length // 2)
        starts = [rng.randrange(0, self.days - half + 1) for _ in range(2)]
        return [(a, a + half) for a in starts]


def soon(parameters: Any) -> None:
    """CP-SAT settings for a small sheet that is wanted soon: little looking ahead before it starts."""
    parameters.symmetry_level = 0
    parameters.max_presolve_iterations = 1
    parameters.presolve_probing_deterministic_time_limit = 0.1


def prove_totals(
    rows: MenuRows, bands: Mapping[int, Band], seconds: float, stop: threading.Event, found: Found
) -> None:
    """A bound from whole-number totals, improved while time allows."""
    totals = build_totals(rows.problem, bands)
    run_highs(arrays(totals.sheet), found, stop, seconds, 1, PROOF_GAP)
