"""Menus longer than a week or so: totals, then weeks in turn, then neighbourhoods.

1. Totals (``totals``) give the pace, the draws to steer by and a proven bound.
2. A week at a time, with a look ahead, follows the path of the draws (``target_path``, ``rolling_horizon``).
3. Neighbourhoods: all but some days stays as it is, those days are cooked anew, and a menu that
   is no worse takes the old one's place. Two at a time.
4. A last look at what is still open or missed, each of its days alone (``settling``).

Everything works on one model of the whole horizon; a window or a neighbourhood is a piece cut out
of it (``cutting``), so no rule is written twice.
"""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from msgspec.structs import replace

from pantrymeals.menu.long.blocking_days import BlockingDays
from pantrymeals.menu.long.totals import bound_of_totals, build_totals, long_stretch
from pantrymeals.menu.week.model import POINT, Band, MenuModel
from pantrymeals.menu.week.rules.variety import WEEK
from pantrymeals.solving.cutting import HAIR, by_column, cut, kept
from pantrymeals.solving.linear_model import Arrays, arrays
from pantrymeals.solving.neighbourhood import best_near
from pantrymeals.solving.solvers import Found, linear_relaxation, run_highs

SEARCH_SECONDS = 2.5
SEARCH_GAP_POINTS = 10
FIRST_LENGTH = 5
SHORTEST, LONGEST = 2, 16
SLOW_PART, QUICK_PART = 0.8, 0.25
"""A neighbourhood has as many days as can be solved in a part of ANEW_SECONDS between these."""
NEAR_POINTS = (100, 300, 1000)
"""Columns dearer than this in a neighbourhood's relaxation (hundredths of a point) are left out, by turns."""
MENDING_PART = 0.8
"""How often what is open or missed is looked after first, while there is any."""
BLOCKING_PART = 0.6
"""How often a mending looks at the days that stand in some dish's way, rather than at the days around."""
MENDINGS = 40
"""Each open role and missed promise is tried so often."""
MENDING_DAYS = 5
BESIDE_DAYS = 18
WORK_OF_A_LOOK = 4e-5
"""Where work decides: what a piece's relaxation counts as, in seconds a column; about as long as it takes."""
PROOF_GAP = 0.002
MONTH_DAYS, MANY_DAYS = 45, 120
SHEET_SECONDS = 30
SHORT_STRETCH = 14
"""The bound comes from the whole model up to so many days, from totals with whole numbers up to so many; beyond from
totals in stretches of these, all tables of a meal and size alike."""


class LongTable:
    """A whole horizon's model, the best menu on it so far, and the work of improving it."""

    def __init__(self, model: MenuModel, bands: Mapping[int, Band], seed: int) -> None:
        self.model = model
        self.bands = bands
        self.linear = arrays(model.linear)
        self.days = model.problem.days
        self.day_of = np.array(model.day_of)
        self.implied = ~self.linear.whole
        self.whole_horizon = self.day_of < 0
        self.entries = by_column(self.linear)
        self.seed = seed
        self.missed_cols = np.array(sorted(model.missed), dtype=int)
        self.open_cols = np.array(sorted(model.open.values()), dtype=int)
        self.lock = threading.Lock()
        self.must = np.zeros(self.linear.lo.shape[0], bool)
        self.must[self.open_cols] = True
        self.must[self.missed_cols] = True
        self.tries: Counter[int] = Counter()
        self.off_cols = np.array([model.off[p] for p in model.off], dtype=int)
        self.use = self._use_matrix()
        self.reach = np.array(model.reach)
        self.blocking = BlockingDays(model, self.linear, self.entries)
        self.clear()

    def clear(self) -> None:
        """Nothing is cooked: every place is open and every promise missed. What was tried before is forgotten."""
        self.tried = np.zeros(self.linear.lo.shape[0], bool)
        self.x = np.zeros(self.linear.lo.shape[0])
        self.x[self.open_cols] = 1
        self.x[self.missed_cols] = self.linear.hi[self.missed_cols]
        self.sums = self.entries.sums(self.x)
        self.cost = float("inf")
        self.carry()

    def take_back(self, x: np.ndarray) -> None:
        """A menu that was on the table before, where it leaves less amiss than the one now, or costs less."""
        amiss = (x[self.must].sum(), self.price(x))
        if amiss < (self.x[self.must].sum(), self.cost):
            self.x, self.sums, self.cost = x, self.entries.sums(x), self.price(x)

    def _use_matrix(self) -> list[tuple[int, np.ndarray, np.ndarray]]:
        """For each product with a deviation column: (product, columns, grains)."""
        out = []
        for product in self.model.off:
            draws = self.model.draws[product]
            cols = np.array([c for _, c, _ in draws], dtype=int)  # none, where no dish can have it
            out.append((product, cols, np.array([g for _, _, g in draws], float)))
        return out

    def settle(self, x: np.ndarray) -> None:
        """Set the deviation columns to what the draws make them."""
        largest = 0
        for product, cols, grains in self.use:
            band = self.bands[product]
            off = x[self.model.off[product]] = band.off(float(grains @ x[cols]))
            largest = max(largest, band.part(off))
        if self.model.largest >= 0:
            x[self.model.largest] = largest

    def holds(self, x: np.ndarray) -> bool:
        """Whether every row and bound holds."""
        return kept(self.linear, x, self.entries.sums(x))

    def price(self, x: np.ndarray) -> float:
        """The cost of a menu in the model's units."""
        return float(self.linear.cost @ x) + self.linear.fixed_cost

    def free(self, spans: list[tuple[int, int]]) -> np.ndarray:
        """Mask of the columns that may move when the days of these spans [a, b) are cooked anew."""
        mask = self.whole_horizon.copy()
        for a, b in spans:
            mask |= (self.day_of >= a) & (self.day_of < b)
            mask |= self.implied & (self.day_of >= a) & (self.day_of < b + self.reach)
        return mask

    def commit(self, keep: np.ndarray, new: np.ndarray) -> bool:
        """Take over new values of some columns, unless that breaks a row anew."""
        with self.lock:
            trial = self.x.copy()
            trial[keep] = new
            return self._take(trial)

    def _take(self, trial: np.ndarray) -> bool:
        self.settle(trial)
        by = trial - self.x
        sums = self.entries.moved(self.sums, np.flatnonzero(by), by)
        if not kept(self.linear, trial, sums, self.sums):
            return False
        self.x, self.cost, self.sums = trial, self.price(trial), sums
        self.tried = self.tried | (trial > HAIR)
        return True

    def offer(self, at: np.ndarray, new: np.ndarray) -> bool:
        """A whole menu found from one that was on the table: its changes are taken, or all of it."""
        self.tried = self.tried | (new > HAIR)
        if self._accept(at, new):
            return True
        with self.lock:
            trial = new.copy()
            self.settle(trial)
            return self.price(trial) < self.cost - 1e-6 and self._take(trial)

    def carry(self) -> None:
        """Give the implied columns (what is open, what is left) values that fit the decisions."""
        keep = np.flatnonzero(self.implied | self.whole_horizon)
        part = cut(self.linear, self.entries, keep, self.x, self.sums)
        self.x = self.x.copy()
        self.x[keep] = linear_relaxation(part).x
        self.settle(self.x)
        self.sums = self.entries.sums(self.x)
        self.cost = self.price(self.x)

    def improve(self, until: float, stop: threading.Event, lane: int) -> None:
        """Cook anew some days at a time until time is up; as many days at once as a solve can do soon."""
        rng = random.Random(self.seed * 1000 + lane)
        length = FIRST_LENGTH
        while (left := until - time.monotonic()) > 0 and not stop.is_set():
            spans, mending = self._pick(rng, length)
            begun = time.monotonic()
            found, _ = self._search(spans, mending, min(SEARCH_SECONDS, left), rng, stop)
            if found is not None:
                self._accept(*found)
            length = _next_length(length, time.monotonic() - begun, found is not None)

    def improve_by_work(self, work: float, stop: threading.Event, done: Callable[[], bool]) -> None:
        """Cook anew some days at a time, two pieces side by side, until so much work is done or all that can be is.

        Both begin from one menu and are taken over in turn, so that it is the same for the same seed on every run.
        """
        lanes = [random.Random(self.seed * 1000 + lane) for lane in range(2)]
        lengths = [FIRST_LENGTH] * len(lanes)
        done_so_far = 0.0

        with ThreadPoolExecutor(len(lanes)) as beside:
            while done_so_far < work and not stop.is_set() and not done():
                picked = [self._pick(rng, length) for rng, length in zip(lanes, lengths, strict=True)]
                asked = [
                    beside.submit(self._search, *days, SEARCH_SECONDS, rng, stop, by_work=True)
                    for days, rng in zip(picked, lanes, strict=True)
                ]
                found = [one.result() for one in asked]
                for lane, (new, took) in enumerate(found):
                    if new is not None and not stop.is_set():
                        self._accept(*new)
                    lengths[lane] = _next_length(lengths[lane], took, new is not None)
                done_so_far += max(took for _, took in found)

    def alone(self, free: np.ndarray) -> tuple[np.ndarray, np.ndarray, Arrays]:
        """The menu as it is, the numbers of the columns of a mask, and the piece in which only they may move."""
        with self.lock:
            at, sums = self.x, self.sums  # never changed in place
        keep = np.flatnonzero(free)
        return at, keep, replace(cut(self.linear, self.entries, keep, at, sums), fixed_cost=0.0)

    def _search(
        self, spans: list[tuple[int, int]], mending: bool, seconds: float, rng: random.Random, stop: threading.Event,
        by_work: bool = False,
    ) -> tuple[tuple[np.ndarray, np.ndarray] | None, float]:  # fmt: skip
        """The menu as it is and with the days of these spans cooked anew, None where that gives nothing; and the work.

        mending: a menu with fewer open roles or missed promises is wanted, not any better one. by_work: work
        decides and not the clock.
        """
        at, keep, part = self.alone(self.free(spans))
        now = at[keep]
        near = linear_relaxation(part)
        work = WORK_OF_A_LOOK * keep.shape[0]
        cost = float(part.cost @ now)
        must = self.must[keep]
        hopeless = mending and near.x[must].sum() > now[must].sum() - 1 + HAIR
        if hopeless or near.cost > cost - SEARCH_GAP_POINTS * POINT:
            return None, work
        cheap = (self.day_of[keep] < 0) | (near.dear <= rng.choice(NEAR_POINTS))
        gap = SEARCH_GAP_POINTS * POINT / max(1.0, cost)
        found, took = best_near(part, near, cheap, must, seconds, rng.randrange(1, 10**6), gap, stop, now, by_work)
        if found is None:
            return None, work + took
        new = at.copy()
        new[keep] = found
        return (at, new), work + took

    def _of_a_week(self, col: int) -> bool:
        missed = self.model.missed.get(col)
        return missed is not None and missed.first < missed.last

    def _accept(self, at: np.ndarray, new: np.ndarray) -> bool:
        with self.lock:
            trial = self.x + (new - at)
            self.settle(trial)
            return self.price(trial) <= self.cost + 1e-6 and self._take(trial)

    def _pick(self, rng: random.Random, length: int) -> tuple[list[tuple[int, int]], bool]:
        """Days to cook anew, and whether it is to mend: around what is open or missed, one run of days, or two runs."""
        length = min(length, self.days)
        with self.lock:
            amiss = np.flatnonzero(self.must & (self.x > 0.5))
            tries = np.array([self.tries[c] for c in amiss.tolist()])
            if amiss.size and (tries < MENDINGS).any() and rng.random() < MENDING_PART:
                col = int(amiss[rng.choice(np.flatnonzero(tries == tries.min()).tolist())])
                self.tries[col] += 1
                days = self.blocking.days(col, self.x, self.sums, rng) if rng.random() < BLOCKING_PART else None
                return (_runs(days) if days else self._around(col, rng, length)), True
        if rng.random() < 0.5 or self.days < 15:
            a = rng.randrange(0, self.days - length + 1)
            return [(a, a + length)], False
        half = max(1, length // 2)
        starts = [rng.randrange(0, self.days - half + 1) for _ in range(2)]
        return [(a, a + half) for a in starts], False

    def _around(self, col: int, rng: random.Random, length: int) -> list[tuple[int, int]]:
        """Days around an open role, or the whole week of a missed tag; at times with some days near by.

        Nearby days may hold the very dish that would fit here, or one that may not come again so soon.
        """
        day = int(self.day_of[col])
        if self._of_a_week(col):
            a, b = max(0, day - WEEK + 1), day + 1
        else:
            many = max(2, min(length, MENDING_DAYS))
            a = max(0, min(day - rng.randrange(many), self.days - many))
            b = min(self.days, a + many)
        if rng.random() < 0.5:
            return [(a, b)]
        other = max(0, min(self.days - 2, day + rng.randrange(-BESIDE_DAYS, BESIDE_DAYS + 1)))
        return [(a, b), (other, other + 2)]


def _next_length(length: int, took: float, found: bool) -> int:
    """How many days to cook anew next, after so many took so long."""
    if took > SLOW_PART * SEARCH_SECONDS:
        return max(SHORTEST, length - 1)
    return min(LONGEST, length + 1) if found and took < QUICK_PART * SEARCH_SECONDS else length


def _runs(days: list[int]) -> list[tuple[int, int]]:
    """Runs of days [first, end): the first with a day on each side, the others alone."""
    return [(max(0, days[0] - 1), days[0] + 2), *((day, day + 1) for day in days[1:])]


def prove(
    table: LongTable, until: float, stop: threading.Event, found: Found,
    relaxed: Callable[[threading.Event], float] | None = None,
) -> None:  # fmt: skip
    """A bound from totals in long stretches, soon; then from better ones, while time allows.

    relaxed: the relaxation of the whole sheet, where it is wanted for more than its bound.
    Of a month: from the whole model, with whole numbers. Of a longer menu: from totals with whole numbers. Of many
    days these would take as much memory as all else: there a relaxation of totals in short stretches has to do.
    """
    problem, bands = table.model.problem, table.bands
    found.proved(bound_of_totals(problem, bands, long_stretch(problem), pooled=True, stop=stop), "totals")
    if problem.days > MANY_DAYS:
        found.proved(bound_of_totals(problem, bands, SHORT_STRETCH, pooled=True, stop=stop), "totals")
        return
    if stop.is_set():
        return
    if relaxed is not None:
        found.proved(relaxed(stop), "the whole sheet")
    linear = table.linear if problem.days <= MONTH_DAYS else arrays(build_totals(problem, bands).linear)
    if (left := until - time.monotonic()) > 0 and not stop.is_set():
        run_highs(linear, found, stop, left, 1, PROOF_GAP)


def prove_by_relaxations(table: LongTable, seconds: float, stop: threading.Event, found: Found) -> None:
    """A bound that is the same on every run: of totals, then of short stretches, then of the whole sheet.

    The last, of a month at most, takes a quarter of a minute, and is asked where there is time for it.
    """
    problem, bands = table.model.problem, table.bands
    found.proved(bound_of_totals(problem, bands, long_stretch(problem), pooled=True, stop=stop), "totals")
    found.proved(bound_of_totals(problem, bands, SHORT_STRETCH, problem.days > MANY_DAYS, stop), "totals")
    if problem.days <= MONTH_DAYS and seconds >= SHEET_SECONDS and not stop.is_set():
        found.proved(linear_relaxation(table.linear, stop).cost, "the whole sheet")
