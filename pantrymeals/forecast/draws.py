"""Poisson draws by the hundred million: how often a product is gone for in a week.

A table over a ladder of means turns twelve random bits into a count at once. Where a count's
border runs through the middle of one of the 4,096 buckets, more bits decide it, so the draws are
exact for the rung's mean; a mean between two rungs takes one or the other at odds that keep the
mean. Means above the ladder fall back on numpy.
"""

from __future__ import annotations

from functools import cache
from math import exp

import numpy as np
from numpy.typing import NDArray

BUCKETS = 4096
LEAST, MOST, STEP = 0.0002, 40.0, 1.025
_UNDECIDED = 255


class PoissonTable:
    """Counts for every rung of the ladder of means; rung 0 is 'never'.

    means: rung -> mean. counts: [rung * BUCKETS + bucket] -> count, or undecided; a rung's are filled in when it is
    first drawn from. chances: [rung, k] -> P(count <= k).
    """

    def __init__(self) -> None:
        rungs = int(np.ceil(np.log(MOST / LEAST) / np.log(STEP))) + 1
        self.means = np.concatenate(([0.0], LEAST * STEP ** np.arange(rungs)))
        self.chances = _cumulative(self.means, most=110)
        self.counts = np.empty(len(self.means) * BUCKETS, dtype=np.uint8)
        self._filled = np.zeros(len(self.means), dtype=np.bool_)
        self._per_log = np.float32(1.0 / np.log(STEP))
        self._shift = np.float32(1.0 - np.log(LEAST) / np.log(STEP))
        self._odds = _even_odds(1 << 16)

    def rungs_for(self, means: NDArray[np.float32], rng: np.random.Generator) -> NDArray[np.int32]:
        """A rung for each mean [paths] (at most MOST), above or below by odds that keep the mean.

        An even ladder of fractions, entered at a random place, stands in for fresh odds: over all paths
        the shares come out more even than chance would make them. Keeps the mean to 1 part in 10,000.
        """
        size = len(means)
        if size > len(self._odds):
            self._odds = _even_odds(2 * size)
        begin = int(rng.integers(0, len(self._odds) - size + 1))
        rungs = np.maximum(means, np.float32(LEAST / STEP))
        np.log(rungs, out=rungs)
        rungs *= self._per_log
        rungs += self._odds[begin : begin + size]
        rungs += self._shift
        whole = rungs.astype(np.int32)
        return np.minimum(whole, len(self.means) - 1, out=whole)

    def draw(self, rungs: NDArray[np.int32], weeks: int, rng: np.random.Generator) -> NDArray[np.uint8]:
        """Counts [weeks, paths] for rungs [paths]."""
        paths = len(rungs)
        self._fill_in(rungs)
        bits = sixteen_bits(weeks * paths, rng).reshape(weeks, paths) & np.uint16(BUCKETS - 1)
        counts: NDArray[np.uint8] = self.counts.take(bits + rungs.astype(np.int64) * BUCKETS)
        unsure = np.flatnonzero(counts == _UNDECIDED)
        if len(unsure):
            flat = counts.reshape(-1)
            flat[unsure] = self._decide(rungs[unsure % paths], bits.reshape(-1)[unsure], rng)
        return counts

    def _fill_in(self, rungs: NDArray[np.int32]) -> None:
        """See to it that the counts of these rungs are there."""
        if self._filled[rungs].all():
            return
        new = np.flatnonzero((np.bincount(rungs, minlength=len(self.means)) > 0) & ~self._filled)
        self.counts.reshape(-1, BUCKETS)[new] = _counts_of_buckets(self.chances[new])
        self._filled[new] = True

    def _decide(
        self, rungs: NDArray[np.int32], buckets: NDArray[np.integer], rng: np.random.Generator
    ) -> NDArray[np.uint8]:
        """Counts where the bucket alone does not tell: further bits choose within it."""
        at = (buckets + rng.random(len(buckets))) / BUCKETS
        counts: NDArray[np.uint8] = (self.chances[rungs] <= at[:, None]).sum(axis=1).astype(np.uint8)
        return counts


def _even_odds(size: int) -> NDArray[np.float32]:
    """Fractions in [0, 1) that fill it evenly wherever one begins (multiples of the golden ratio)."""
    return ((np.arange(size) * 0.6180339887498949) % 1.0).astype(np.float32)


def _cumulative(means: NDArray[np.float64], most: int) -> NDArray[np.float64]:
    """P(count <= k) for k = 0 .. most-1, one row a mean."""
    rows = np.empty((len(means), most))
    term, total = np.array([exp(-mean) for mean in means]), np.zeros(len(means))
    for k in range(most):
        total = total + term
        rows[:, k] = total
        term = term * (means / (k + 1))
    rows[:, -1] = 1.0
    return rows


def _counts_of_buckets(chances: NDArray[np.float64]) -> NDArray[np.uint8]:
    """The count of every bucket [rungs, BUCKETS] that lies wholly within one count's share, else undecided.

    A bucket begins past as many counts' shares as end at its left edge or before, and ends past those that end before
    its right edge; BUCKETS is a power of two, so that a share in buckets is exact.
    """
    begins = _ended_by(np.ceil(chances * BUCKETS))
    ends = _ended_by(np.floor(chances * BUCKETS))
    return np.where(begins == ends, begins, _UNDECIDED).astype(np.uint8)


def _ended_by(at: NDArray[np.float64]) -> NDArray[np.int64]:
    """How many of a row's whole numbers are no greater than each bucket's [rungs, BUCKETS]."""
    row = np.arange(len(at))[:, None] * (BUCKETS + 1)
    placed = (np.minimum(at, BUCKETS).astype(np.int64) + row).reshape(-1)
    here = np.bincount(placed, minlength=len(at) * (BUCKETS + 1)).reshape(len(at), BUCKETS + 1)
    return np.asarray(here[:, :-1].cumsum(axis=1))


def paths_hit(means: NDArray[np.float32], rng: np.random.Generator) -> NDArray[np.intp]:
    """The paths on which something rare happens, a path named as often as it happens there.

    Points are thrown at the highest mean on all paths and kept by each path's own: a Poisson
    count for every path, exactly, at the cost of the events alone.
    """
    most = float(means.max())
    thrown = int(rng.poisson(most * len(means)))
    paths = rng.integers(0, len(means), thrown)
    return paths[rng.random(thrown, dtype=np.float32) * np.float32(most) < means[paths]]


@cache
def the_table() -> PoissonTable:
    """The one table, made on first use (2 MB, filled in as it is drawn from)."""
    return PoissonTable()


@cache
def gamma_pool(shape: float, seed: int = 20) -> NDArray[np.float32]:
    """65,536 draws of a Gamma of mean 1 and the given shape, to be drawn from again and again."""
    rng = np.random.Generator(np.random.PCG64(seed))
    pool = rng.standard_gamma(shape, 65536) / shape
    made: NDArray[np.float32] = (pool / pool.mean()).astype(np.float32)
    return made


def pick(pool: NDArray[np.float32], size: int, rng: np.random.Generator) -> NDArray[np.float32]:
    """Draws from a pool of 65,536, by sixteen random bits each."""
    return pool.take(sixteen_bits(size, rng))


def sixteen_bits(size: int, rng: np.random.Generator) -> NDArray[np.uint16]:
    """So many numbers of sixteen random bits, four from each raw draw."""
    raw = np.asarray(rng.bit_generator.random_raw((size + 3) // 4), dtype=np.uint64)
    return raw.view(np.uint16)[:size]
