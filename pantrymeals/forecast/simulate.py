"""Thousands of futures for one product's shelf, week by week."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from zlib import crc32

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.forecast.draws import MOST, PoissonTable, gamma_pool, paths_hit, pick, the_table
from pantrymeals.forecast.year_ring import TOGETHER_ROOT

NEVER = np.float32(np.inf)
NEARLY = np.float32(1e-3)
"""Less than a thousandth of a container is nothing: single precision adds up no finer."""
DRIFT_GROWS = 1.0
"""Part of itself by which a drift grows in a year ahead: what has changed since the book was read goes on changing."""
EDGES = (0.07, 0.5, 0.86)
"""Parts of the futures drawn that lie below the early edge of a range, its middle and its late edge. So drawn, one in
ten or so comes before it and one in ten after it (tests/outside/calibration.py): the early edge stands further out,
since who still has some today has been eating more slowly than usual, by chance; the late one nearer, since most
paces move less than those by which the household's drift is told."""
MOST_DRIFT = np.float32(1.5)


class Moving(Struct, frozen=True):
    """How unsure it is where a rate goes from here: variance of what its log gains in a year, the covariance of that
    with the log of today's, and the variance a year by which it wanders beside."""

    lean: float = 0.0
    together: float = 0.0
    wanders: float = 0.0

    def lean_by(self, years: float) -> np.float32:
        """Standard deviation of the log that leaning brings by then."""
        return np.float32(np.sqrt(max(0.0, 2 * years * self.together + years**2 * self.lean)))


STILL = Moving()


class Future(Struct, frozen=True):
    """All that the simulation may see of one product; weeks count from today, amounts are containers.

    stock: in hand above the reserve. use: [weeks] mean use a week, its season in it.
    grain: how much goes at one go; use is grain x Poisson(use / grain), so its variance is grain x mean.
    rate_shape: Gamma shape of what is not known about the whole rate (inf: known).
    faster, slower: standard deviation of the log by which the rate drifts up, or down, from what was learnt;
        it grows by ``DRIFT_GROWS`` of itself a year. moving: how its own rate moves beside. whole: it is opened whole,
        one by one.
    month_shape: Gamma shape of good and bad months (inf: none). months: [weeks] month index 0-11;
        weeks running with one month share its luck.
    month_unsure: [12] variance of what is not known of each month's part, over its square (empty: known): it goes by
        with the month, and comes again with it a year on.
    arrivals: [weeks] what comes in at the start of each week.
    loss: [weeks] share of the stock lost in a week; loss_grain: how much is lost at one go.
    loss_shape: Gamma shape of what is not known about the loss.
    deadline: weeks until it must still be there; None: only run-out is asked for.
    """

    name: str
    stock: float
    use: NDArray[np.float64]
    months: NDArray[np.int64]
    arrivals: NDArray[np.float64]
    loss: NDArray[np.float64]
    grain: float = 1.0
    rate_shape: float = float("inf")
    month_shape: float = float("inf")
    loss_grain: float = 1.0
    loss_shape: float = float("inf")
    deadline: float | None = None
    faster: float = 0.0
    slower: float = 0.0
    moving: Moving = STILL
    whole: bool = False
    month_unsure: tuple[float, ...] = ()


class Outcome(Struct, frozen=True):
    """What became of each path [paths].

    out: weeks until the last one goes (inf: not within the weeks simulated).
    met: whether every need up to the deadline was met. gap: weeks without, before the deadline.
    left: containers at the deadline. used, lost: containers up to the deadline (or the end).
    """

    out: NDArray[np.float32]
    met: NDArray[np.bool_]
    gap: NDArray[np.float32]
    left: NDArray[np.float32]
    used: NDArray[np.float32]
    lost: NDArray[np.float32]


def stream(seed: int, name: str) -> np.random.Generator:
    """A product's own stream of chance: adding a product leaves the others' futures as they were."""
    return np.random.Generator(np.random.PCG64([seed, crc32(name.encode())]))


def simulate(
    future: Future, paths: int, seed: int, look: Callable[[NDArray[np.float32]], None] | None = None
) -> Outcome:  # fmt: skip
    """Outcomes of ``paths`` futures; the same seed gives the same. look: is shown each week's end, all its paths."""
    rng = stream(seed, future.name)
    rate = _luck(future.rate_shape, paths, rng)
    drift = _Drift(future, paths, rng)
    shelf, year = _Shelf(future, paths), _unsure_year(future, paths)
    for first, last in _runs(future.months):
        if look is None and shelf.is_told(first):
            break
        month_rate = rate * _month_luck(future.month_shape, paths, rng) * drift.on_to(first, last, rng)
        if year is not None:
            month_rate = month_rate * year[future.months[first]]
        counts = _counts(future, first, last, month_rate, rng)
        for week in range(first, last):
            shelf.pass_week(week, counts if counts is None else counts[week - first])
            if look is not None:
                look(shelf.stock)
        shelf.lose(first, last, rng)
    return shelf.outcome()


class _Shelf:
    """The stock of all paths together, as the weeks go by; below nothing is need not met."""

    def __init__(self, future: Future, paths: int) -> None:
        self.future = future
        self.grain = np.float32(future.grain)
        self.stock = np.full(paths, future.stock, dtype=np.float32)
        self.last_one = _last_one(future, paths)
        self.out = np.full(paths, 0.0 if future.stock <= 0 else NEVER, dtype=np.float32)
        self.lasting = np.full(paths, future.stock > 0)
        self.met = np.ones(paths, dtype=np.bool_)
        self.gap = np.zeros(paths, dtype=np.float32)
        self.lost = np.zeros(paths, dtype=np.float32)
        self.left = self.stock
        self.arrived = 0.0
        self.comes_in = bool(future.arrivals.any())
        self.deadline = float(len(future.use)) if future.deadline is None else future.deadline
        self.loss_luck = _luck(future.loss_shape, paths, stream(0, future.name))

    def pass_week(self, week: int, counts: NDArray[np.uint8] | NDArray[np.int64] | None) -> None:
        """One week's arrivals and use."""
        if self.future.arrivals[week]:
            self._take_in(week, np.float32(self.future.arrivals[week]))
        wanted = None if counts is None else counts * self.grain
        if week <= self.deadline < week + 1:
            self._note_deadline(np.float32(self.deadline - week), wanted)
        if wanted is not None:
            before = self.stock
            self.stock = before - wanted
            self._note_run_out(week, before, wanted)
        if self.comes_in and week < self.deadline and self.future.use[week] > 0:
            self.gap[self.stock <= 0] += np.float32(min(1.0, self.deadline - week))

    def is_told(self, week: int) -> bool:
        """Whether nothing that may still happen is asked about: all gone, and the deadline behind."""
        return week > self.deadline and not self.comes_in and not self.lasting.any()

    def _take_in(self, week: int, arriving: np.float32) -> None:
        """What comes in does not make up for need that went unmet."""
        if week <= self.deadline:
            self.met &= self.stock > -NEARLY
            self.arrived += float(arriving)
        self.stock = np.maximum(self.stock, np.float32(0)) + arriving

    def _note_run_out(self, week: int, before: NDArray[np.float32], wanted: NDArray[np.float32]) -> None:
        """The paths that come to their last one this week, and when in the week."""
        now = np.flatnonzero((self.stock <= self.last_one) & self.lasting & (wanted > 0))
        if len(now):
            self.out[now] = np.float32(week) + before[now] / wanted[now]
            self.lasting[now] = False

    def _note_deadline(self, part: np.float32, wanted: NDArray[np.float32] | None) -> None:
        """What is left on the deadline, which lies within this week."""
        left = self.stock.copy() if wanted is None else self.stock - wanted * part
        self.met &= left > -NEARLY
        self.left = np.maximum(left, np.float32(0))

    def lose(self, first: int, last: int, rng: np.random.Generator) -> None:
        """What goes bad, leaks or loses its seal in the weeks [first, last), taken at their end."""
        share = float(self.future.loss[first:last].sum())
        if share <= 0:
            return
        means = np.maximum(self.stock, np.float32(0)) * self.loss_luck
        means *= np.float32(share / self.future.loss_grain)
        events = np.bincount(paths_hit(means, rng), minlength=len(means))
        hit = np.flatnonzero(events)
        if not len(hit):
            return
        goes = events[hit].astype(np.float32) * np.float32(self.future.loss_grain)
        lost = np.minimum(goes, np.maximum(self.stock[hit], 0))
        self.stock[hit] -= lost
        gone = hit[(self.stock[hit] <= 0) & self.lasting[hit]]
        self.out[gone] = np.float32(last)
        self.lasting[gone] = False
        if last <= self.deadline:
            self.lost[hit] += lost

    def outcome(self) -> Outcome:
        """The paths as they ended."""
        weeks = len(self.future.use)
        if self.deadline >= weeks:
            self.met &= self.stock > -NEARLY
            self.left = np.maximum(self.stock, np.float32(0))
        if not self.comes_in:
            self.gap = self._weeks_without()
        used = np.float32(self.future.stock + self.arrived) - self.left - self.lost
        return Outcome(self.out, self.met, self.gap, self.left, np.maximum(used, np.float32(0)), self.lost)

    def _weeks_without(self) -> NDArray[np.float32]:
        """Weeks of its season between the last one and the deadline."""
        season = np.concatenate(([0.0], np.cumsum(self.future.use > 0))).astype(np.float32)
        weeks = np.arange(len(season), dtype=np.float32)
        by_end = np.interp(min(self.deadline, weeks[-1]), weeks, season)
        out = np.minimum(self.out, np.float32(self.deadline))
        return np.asarray(np.maximum(by_end - np.interp(out, weeks, season), 0), dtype=np.float32)


class _Drift:
    """How far each path's rate drifts from what was learnt, up or down with equal odds, each side by its own spread;
    and how it leans, and wanders from month to month.
    """

    def __init__(self, future: Future, paths: int, rng: np.random.Generator) -> None:
        self.moving, self.paths = future.moving, paths
        z = rng.standard_normal(paths, dtype=np.float32)
        self.side = z * np.where(z > 0, np.float32(future.faster), np.float32(future.slower))
        self.stays = not self.side.any() and future.moving == STILL
        self.lean = stream(2, future.name).standard_normal(paths, dtype=np.float32)
        self.way = np.zeros(paths, dtype=np.float32)

    def on_to(self, first: int, last: int, rng: np.random.Generator) -> NDArray[np.float32]:
        """Factors of the rate in the weeks [first, last), which follow those asked for before."""
        if self.stays:
            return np.ones(1, dtype=np.float32)
        years = (first + last) / 104
        log = self.side * np.float32(1 + DRIFT_GROWS * years) + self.lean * self.moving.lean_by(years) + self.way
        if self.moving.wanders > 0:
            half = np.float32(np.sqrt(self.moving.wanders * (last - first) / 52) / 2)
            half_way = half * rng.standard_normal(self.paths, dtype=np.float32)
            log += half_way
            self.way += 2 * half_way
        return np.exp(np.clip(log, -MOST_DRIFT, MOST_DRIFT))


def _unsure_year(future: Future, paths: int) -> NDArray[np.float32] | None:
    """Factors of mean 1 for what is not known of each month's part [12, paths]; those of neighbours go together."""
    if not any(future.month_unsure):
        return None
    variance = np.log1p(np.array(future.month_unsure, dtype=np.float32))[:, None]
    chance = stream(3, future.name).standard_normal((12, paths), dtype=np.float32)
    alike = TOGETHER_ROOT.astype(np.float32) @ chance
    return np.asarray(np.exp(np.sqrt(variance) * alike - variance / 2), dtype=np.float32)


def _last_one(future: Future, paths: int) -> NDArray[np.float32]:
    """What may be left when the last one goes: nothing of loose goods; of what is opened whole a part.

    A week's use is drawn by goes of ``grain``; jars go one by one. A table that opens a jar every five days is steadier
    than chance (its grain is less than a jar) and somewhere between two of them today: so the last jar goes when less
    is left than a part of one that is as likely any. Of a renewal that is the mean wait, (stock + (grain - 1) / 2) /
    pace; by a grain of one it is the last jar's own go, by chance alone.
    """
    if not future.whole:
        return np.zeros(1, dtype=np.float32)
    part = stream(1, future.name).random(paths, dtype=np.float32)
    return np.minimum(part, np.float32(0.999 * min(1.0, future.stock)))


def _luck(shape: float, paths: int, rng: np.random.Generator) -> NDArray[np.float32]:
    """Gamma draws of mean 1."""
    if not np.isfinite(shape):
        return np.ones(paths, dtype=np.float32)
    return np.asarray(rng.standard_gamma(shape, paths, dtype=np.float32) / np.float32(shape), dtype=np.float32)


def _month_luck(shape: float, paths: int, rng: np.random.Generator) -> NDArray[np.float32]:
    if not np.isfinite(shape):
        return np.ones(paths, dtype=np.float32)
    return pick(gamma_pool(shape), paths, rng)


def _runs(months: NDArray[np.int64]) -> list[tuple[int, int]]:
    """The spans of weeks that lie in one month."""
    cuts = [0, *(int(i) + 1 for i in np.flatnonzero(np.diff(months))), len(months)]
    return list(pairwise(cuts))


def _counts(
    future: Future, first: int, last: int, rate: NDArray[np.float32], rng: np.random.Generator
) -> NDArray[np.uint8] | NDArray[np.int64] | None:
    """How often each path goes for it in each of these weeks [weeks, paths]; None: never."""
    means = future.use[first:last] / future.grain
    if means.max() <= 0:
        return None
    table = the_table()
    if means.min() == means.max():
        return _draw(table, np.float32(means[0]) * rate, last - first, rng)
    return np.concatenate([_draw(table, np.float32(m) * rate, 1, rng) for m in means])


def _draw(
    table: PoissonTable, means: NDArray[np.float32], weeks: int, rng: np.random.Generator
) -> NDArray[np.uint8] | NDArray[np.int64]:
    if means.max() > MOST:
        return rng.poisson(means, (weeks, len(means)))
    return table.draw(table.rungs_for(means, rng), weeks, rng)
