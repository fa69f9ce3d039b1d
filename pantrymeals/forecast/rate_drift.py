"""How far paces drift: what earlier forecasts got wrong, and whether the present pace is another one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pantrymeals.forecast.fitting import BLOCK_WEEKS, Fit, UseByWeek, as_known, fit

AHEAD_WEEKS = 13
PRESENT_WEEKS = 6
"""The present pace is that of the last six weeks: long enough to count, short enough to be the present."""
UNSURE_WITHOUT_BOOK = 0.15
LEAST_DRIFT = 0.02
LASTING = 1 / 3
"""Part of a season's drift that is taken to last beyond the weeks in which it is seen; the rest is
mood. Chosen by the back-test: more chases moods, less misses changes."""
CLEARLY = 2.5
"""Standard deviations of earlier six weeks by which the table's pace must stand out to count as another."""
LEAST_DRIFTED = 0.06
"""Earlier six weeks are never taken to have drifted less than this (standard deviation of the log)."""
ALIKE = (0.7, 2.0)
"""Gamma shape, least and most, of products' present paces about the table's: they are never taken to be
so alike that one product's own six weeks count for little."""
_INSIDE_Z = 1.2816
_Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RateDrift:
    """Variances by which a season's and a month's rate drifts from the present pace; and that pace.

    present: None where the book is too short to tell it.
    """

    season: float
    month: float
    present: Fit | None = None


def rate_drift(book: UseByWeek) -> RateDrift:
    """What earlier forecasts' errors tell of drift, and the present pace.

    Twice over: how far paces drifted from the years' mean tells how much the last six weeks count
    (where households change, the present tells more than the years); how far they then drifted from
    the pace so found is what is left unknown.
    """
    weeks = book.used.shape[1]
    cuts = [c for c in (weeks - PRESENT_WEEKS - AHEAD_WEEKS - 4 * k for k in range(8)) if c >= 26]
    if len(cuts) < 3:
        return RateDrift(UNSURE_WITHOUT_BOOK, 2 * UNSURE_WITHOUT_BOOK)
    fits = {cut: fit(as_known(book, cut)) for cut in cuts}
    plain = _drift_that_fits([_errors(book, fits[cut], cut, AHEAD_WEEKS) for cut in cuts])
    earlier = [_table_pace(*_goes_and_hoped(book, fits[cut], cut)) for cut in cuts]
    then = {cut: _present(book, fits[cut], cut, plain, ()) for cut in cuts}
    season = [_errors(book, then[cut], cut + PRESENT_WEEKS, AHEAD_WEEKS) for cut in cuts]
    month = [_errors(book, then[cut], cut + PRESENT_WEEKS, BLOCK_WEEKS) for cut in cuts]
    season_drift = _drift_that_fits(season)
    month_drift = max(0.0, _drift_that_fits(month) - season_drift)
    now = weeks - PRESENT_WEEKS
    return RateDrift(season_drift, month_drift, _present(book, fit(as_known(book, now)), now, plain, earlier))


def _present(book: UseByWeek, fitted: Fit, cut: int, drift: float, earlier: Sequence[float]) -> Fit:
    """Each product's pace after the six weeks from ``cut``: those weeks' goes against the hoped ones.

    A factor drifts about the table's with a Gamma shape told by the lasting part of the drift; the six
    weeks' goes then make it the surer the more there are. The table's own is believed where it clearly
    stands out from ``earlier`` ones: what a hundred products do at once is no chance. Then how alike
    products are in it is learnt from their spread (method of moments).
    """
    goes, hoped = _goes_and_hoped(book, fitted, cut)
    table, shape = 1.0, 1 / max(LASTING * drift, LEAST_DRIFT)
    if earlier and _stands_out(_table_pace(goes, hoped), earlier):
        table = _table_pace(goes, hoped)
        shape = min(shape, _alike(goes, hoped, table))
    sure = shape + goes
    weekly = fitted.weekly * sure / (shape / table + hoped)
    sure_now = np.asarray(1 / (1 / fitted.sure + 1 / sure))
    return replace(fitted, weekly=np.asarray(weekly), sure=sure_now, table=table)


def _stands_out(pace: float, earlier: Sequence[float]) -> bool:
    logs = np.log(earlier)
    return bool(abs(np.log(pace) - logs.mean()) > CLEARLY * max(LEAST_DRIFTED, float(logs.std())))


def _alike(goes: _Array, hoped: _Array, table: float) -> float:
    """Gamma shape of products' paces about the table's."""
    seen = hoped > 0.5
    worth = np.minimum(hoped[seen], 10.0)
    spread = (goes[seen] / hoped[seen] - table) ** 2 - table / hoped[seen]
    return float(np.clip((worth.sum() * table**2) / max((worth * spread).sum(), 1e-6), *ALIKE))


def _goes_and_hoped(book: UseByWeek, fitted: Fit, cut: int) -> tuple[_Array, _Array]:
    """Goes in the six weeks after ``cut``, and those that what was known then led one to expect."""
    span = slice(cut, cut + PRESENT_WEEKS)
    shown = (book.weight[:, span] > 0).astype(float)
    hoped = (shown * fitted.by_month[:, book.months[span]]).sum(axis=1) * fitted.weekly / fitted.grain
    return np.asarray((book.used[:, span] * shown).sum(axis=1) / fitted.grain), np.asarray(hoped)


def _table_pace(goes: _Array, hoped: _Array) -> float:
    """The whole table's pace over what was hoped; each product counts by its hoped goes, ten at most.

    Ten at most, so that a sack of flour drawn on daily does not speak for the table.
    """
    fewer = np.minimum(hoped, 10.0) / np.maximum(hoped, 1e-9)
    total = float((hoped * fewer).sum())
    return float(np.clip((goes * fewer).sum() / total, 0.1, 10.0)) if total > 5 else 1.0


def _errors(book: UseByWeek, known: Fit, cut: int, ahead: int) -> tuple[_Array, _Array, _Array]:
    """(error squared, variance explained, mean squared) of each product's use over the weeks ahead."""
    span = slice(cut, cut + ahead)
    shown = (book.weight[:, span] > 0).astype(float)
    mean = (shown * known.by_month[:, book.months[span]]).sum(axis=1) * known.weekly
    used = (book.used[:, span] * shown).sum(axis=1)
    worth = mean > 1.5 * known.grain
    mean, used = mean[worth], used[worth]
    explained = known.grain[worth] * mean + mean**2 / known.sure[worth]
    return (used - mean) ** 2, explained, mean**2


def _drift_that_fits(errors: Sequence[tuple[_Array, _Array, _Array]]) -> float:
    """The least variance of a common factor with which four in five errors lie inside their 80 % range."""
    off, explained, mean = (np.concatenate([e[i] for e in errors]) for i in range(3))
    if len(off) < 20:
        return UNSURE_WITHOUT_BOOK
    for drift in np.arange(0.0, 1.0, 0.01):
        if float(np.mean(off <= _INSIDE_Z**2 * (explained + drift * mean))) >= 0.8:
            return float(drift)
    return 1.0
