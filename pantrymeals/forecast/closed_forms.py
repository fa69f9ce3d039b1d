"""Sums with exact answers: what the simulation must agree with, and quick checks at the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, exp, lgamma, log, log1p, sqrt


def days_of_cover(stock: float, used: float, days: float = 365.0) -> float:
    """Days that ``stock`` lasts when ``used`` goes in ``days``; infinite where nothing is used."""
    return float("inf") if used <= 0 else stock * days / used


def start_again_at(mean_use: float, mean_wait: float, z: float, use_sd: float = 0.0, wait_sd: float = 0.0) -> float:
    """Stock at which the next sack or batch must be started, for normal use and waiting time.

    mean_use: a day (or week); mean_wait: in the same days until it is there; z: of the chance wanted.
    Mean need while waiting, and z times the spread of it.
    """
    spread = sqrt(mean_wait * use_sd**2 + mean_use**2 * wait_sd**2)
    return mean_use * mean_wait + z * spread


def enough_for_odds(needs: Sequence[float], cost_over: float, cost_short: float) -> float:
    """How many to have when one left over costs ``cost_over`` and one too few ``cost_short``.

    The least of the past needs that was enough in the critical share of seasons.
    """
    share = cost_short / (cost_short + cost_over)
    ranked = sorted(needs)
    return next(n for i, n in enumerate(ranked, 1) if i / len(ranked) >= share - 1e-12)


@dataclass(frozen=True, slots=True)
class NowAndThen:
    """Use that comes now and then: amount of a go, periods between goes, and use a period."""

    go: float
    gap: float
    a_period: float


def smoothed_goes(series: Sequence[float], weight: float = 0.1) -> NowAndThen:
    """Croston's smoothing of the goes and of the gaps between them, each begun at its first value.

    Raises ValueError for a series without any go.
    """
    goes = [(i, x) for i, x in enumerate(series, 1) if x > 0]
    if not goes:
        raise ValueError("the series holds no use at all")
    go, gap, last = goes[0][1], float(goes[0][0]), goes[0][0]
    for at, amount in goes[1:]:
        go += weight * (amount - go)
        gap += weight * ((at - last) - gap)
        last = at
    return NowAndThen(go, gap, go / gap)


def less_biased(use: NowAndThen, weight: float = 0.1) -> float:
    """Use a period by Syntetos and Boylan: Croston's comes out too high by about weight / 2."""
    return (1 - weight / 2) * use.a_period


def left_in_the_other(size: int) -> list[float]:
    """Banach's match boxes: two jars of ``size`` portions, one taken at random each time, until the
    one chosen is empty: chance of k portions left in the other, for k = 0 .. size."""
    return [comb(2 * size - k, size) / 2 ** (2 * size - k) for k in range(size + 1)]


def mean_left_in_the_other(size: int) -> float:
    """Portions left in the other jar on average."""
    return float((2 * size + 1) * comb(2 * size, size) / 4**size) - 1


def poisson_at_most(count: int, mean: float) -> float:
    """P(no more than ``count``) for Poisson use."""
    if mean <= 0:
        return 1.0
    return sum(exp(k * log(mean) - mean - lgamma(k + 1)) for k in range(count + 1))


def pooled_at_most(count: int, mean: float, shape: float) -> float:
    """P(no more than ``count``) for Poisson use whose rate is Gamma of that shape (negative binomial)."""
    if mean <= 0:
        return 1.0
    odds = mean / (mean + shape)
    return sum(
        exp(lgamma(k + shape) - lgamma(shape) - lgamma(k + 1) + k * log(odds) + shape * log1p(-odds))
        for k in range(count + 1)
    )


def gone_by_week(jars: int, chance: float, week: int) -> float:
    """P(the last of ``jars`` is gone by ``week``) when a week takes one with that chance, else none."""
    return 1 - sum(comb(week, k) * chance**k * (1 - chance) ** (week - k) for k in range(min(jars, week + 1)))
