"""Was it right before? At past month-ends, what was foreseen from what was known then, against the book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.forecast.forecast import month_of_weeks, usable_grain, what_to_expect
from pantrymeals.forecast.history import read_history
from pantrymeals.forecast.rates import Rates, learn
from pantrymeals.forecast.simulate import EDGES, Future, simulate
from pantrymeals.larder.book_history import Entry, Lines, lines_of, weeks_known
from pantrymeals.plans.outlook import BackTest, BackTestMonth
from pantrymeals.records import Household, Movement

FEWEST_WEEKS = 39
"""Before the book holds so many weeks, nothing is foreseen from it for the test."""
PLAIN_WEEKS = 12
_LEVELS = (1 - EDGES[2], 0.5, 1 - EDGES[0])
"""Of use, as the edges are of what lasts: who uses much runs out early."""


class Guess(Struct, frozen=True):
    """One product at one month-end: the range foreseen, the plain pace's answer and what came."""

    product: str
    low: float
    middle: float
    high: float
    inside: float
    plain: float
    came: float


def back_test(
    household: Household, book: Sequence[Movement], ahead: int = 13, paths: int = 2000, seed: int = 1
) -> BackTest:
    """How well use over ``ahead`` weeks was foreseen at each past month-end.

    Only products whose shelf was open to use then, and which were used at least once in the year before,
    are asked about. What the shelf held in those weeks limits the use foreseen as it limited the use.
    """
    months = []
    everything: list[Guess] = []
    lines = lines_of(household.products, book)
    for end in month_ends(lines, household.today, ahead):
        guesses = guess_at(household, lines, end, ahead, paths, seed)
        if guesses:
            months.append(BackTestMonth(end, len(guesses), held(guesses), held_evenly(guesses)))
            everything += guesses
    ours = sum(_loss_of_three(g.came, (g.low, g.middle, g.high)) for g in everything)
    plain = sum(_loss_of_three(g.came, (g.plain, g.plain, g.plain)) for g in everything)
    count = max(1, len(everything))
    return BackTest(
        weeks_ahead=ahead,
        cases=len(everything),
        held=held(everything),
        held_evenly=held_evenly(everything),
        below=sum(g.came < g.low for g in everything) / count,
        above=sum(g.came > g.high for g in everything) / count,
        pinball=ours / (3 * count),
        plain_pinball=plain / (3 * count),
        months=tuple(months),
    )


def month_ends(lines: Lines, today: date, ahead: int) -> list[date]:
    """The firsts of past months at which the book was long enough, and after which enough has passed."""
    out = []
    day = today.replace(day=1)
    while weeks_known(lines, day) >= FEWEST_WEEKS:
        if day + timedelta(weeks=ahead) <= today:
            out.append(day)
        day = (day - timedelta(days=1)).replace(day=1)
    return out[::-1]


def guess_at(household: Household, lines: Lines, end: date, ahead: int, paths: int, seed: int) -> list[Guess]:
    """What was foreseen at one month-end for every product worth asking about."""
    then = read_history(household.products, lines, end)
    rates = learn(then, what_to_expect(household, then, end))
    later = read_history(household.products, lines, end + timedelta(weeks=ahead))
    months = month_of_weeks(end, ahead)
    out = []
    for row, name in enumerate(then.names):
        if then.used[row, -52:].sum() <= 0:
            continue
        open_weeks = (later.open_to_use[row, -ahead:] > 0).astype(float)
        if open_weeks.sum() < ahead / 2:
            continue
        future = _future_then(name, rates, months, open_weeks)
        there = _there(lines[name], end, ahead)
        foreseen = np.minimum(simulate(future, paths, seed).used, np.float32(there))
        plain = min(there, then.used[row, -PLAIN_WEEKS:].mean() * open_weeks.sum())
        came = min(there, float(later.used[row, -ahead:].sum()))
        out.append(_guess(name, foreseen, plain, came))
    return out


def _future_then(name: str, rates: Rates, months: NDArray[np.int64], open_weeks: NDArray[np.float64]) -> Future:
    """A future with shelves that never run out, for the weeks the product was open to use."""
    rate = rates.of[name]
    use = rate.ahead(months) * open_weeks
    nothing = np.zeros(len(months))
    month = rates.month_drift
    return Future(
        name,
        1e6,
        use,
        months,
        nothing,
        nothing,
        grain=usable_grain(rate, use),
        rate_shape=rate.sure_goes,
        faster=rates.faster,
        slower=rates.slower,
        moving=rate.moving,
        month_unsure=rate.month_unsure,
        month_shape=1 / month if month > 0 else float("inf"),
    )


def _there(lines: Sequence[Entry], end: date, ahead: int) -> float:
    """Containers on hand at the month-end and come in since; no limit where the book never said."""
    hand = sum(line.amount for line in lines if line.day < end)
    came = sum(line.amount for line in lines if line.amount > 0 and end <= line.day < end + timedelta(weeks=ahead))
    return float(hand + came) if hand > 0 else 1e6


def _guess(name: str, foreseen: NDArray[np.float32], plain: float, came: float) -> Guess:
    low, middle, high = (float(x) for x in np.quantile(foreseen, _LEVELS, method="inverted_cdf"))
    below = float(np.mean(foreseen < came - 1e-3))
    up_to = float(np.mean(foreseen <= came + 1e-3))
    return Guess(name, low, middle, high, _share_inside(below, up_to), plain, came)


def _share_inside(below: float, up_to: float) -> float:
    """The part of [below, up_to] that lies within the range: how much a count on its edge counts."""
    low, _, high = _LEVELS
    if up_to - below < 1e-9:
        return float(low <= below <= high)
    return max(0.0, min(up_to, high) - max(below, low)) / (up_to - below)


def held(guesses: Sequence[Guess]) -> float:
    """How often what came lay in the range, its edges included."""
    return sum(g.low - 1e-3 <= g.came <= g.high + 1e-3 for g in guesses) / max(1, len(guesses))


def held_evenly(guesses: Sequence[Guess]) -> float:
    """The same with counts on an edge counted by the part of their chance that lies inside 10-90 %.

    Whole jars make the plain figure run high: a range of 0 to 1 jar often holds 95 %.
    Non-randomised probability integral transform: Czado, Gneiting and Held, Biometrics 65 (2009),
    from memory.
    """
    return sum(g.inside for g in guesses) / max(1, len(guesses))


def _loss_of_three(came: float, foreseen: tuple[float, float, float]) -> float:
    return sum(_pinball(came, q, level) for q, level in zip(foreseen, _LEVELS, strict=True))


def _pinball(came: float, foreseen: float, level: float) -> float:
    off = came - foreseen
    return level * off if off >= 0 else (level - 1) * off
