"""How far paces stray: what earlier forecasts got wrong, and whether the present pace is another one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pantrymeals.planning.run_out.fitting import BLOCK_WEEKS, Fit, Sheet, as_known, fit

AHEAD_WEEKS = 13
PRESENT_WEEKS = 6
"""The present pace is that of the last six weeks: long enough to count, short enough to be the present."""
UNSURE_WITHOUT_BOOK = 0.15
CLEARLY = 2.5
"""Standard deviations of earlier six weeks by which the table's pace must stand out to count as another."""
LEAST_STRAY = 0.06
"""Earlier six weeks are never taken to have strayed less than this (standard deviation of the log)."""
ALIKE = (0.7, 2.0)
"""Gamma shape, least and most, of products' present paces about the table's: they are never taken to be
so alike that one product's own six weeks count for little."""
_INSIDE_Z = 1.2816
_Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Straying:
    """Variances by which a season's and a month's rate strays; and the table's present pace.

    earlier: the table's pace in earlier six weeks over what was then to be expected.
    table: the pace of the last six weeks over what the book led one to expect of them; 1 where it does
    not clearly stand out. weekly: each product's pace then, containers a week, season apart: the book's
    up to six weeks ago, and the last six weeks over it, drawn towards the table's; None where the
    table's does not stand out. sure: Gamma shape of each.
    """

    season: float
    month: float
    earlier: tuple[float, ...] = ()
    table: float = 1.0
    weekly: _Array | None = None
    sure: _Array | None = None


def straying(sheet: Sheet) -> Straying:
    """What earlier forecasts' errors tell of straying, and the present pace.

    Where the present pace is another one, straying is that of the weeks before it: a change that is
    known is no straying.
    """
    weeks = sheet.used.shape[1]
    before = _earlier_errors(sheet, weeks - PRESENT_WEEKS)
    if before is None:
        return _earlier_errors(sheet, weeks) or Straying(UNSURE_WITHOUT_BOOK, 2 * UNSURE_WITHOUT_BOOK)
    present = _present(sheet, before)
    return present or _earlier_errors(sheet, weeks) or before


def _earlier_errors(sheet: Sheet, weeks: int) -> Straying | None:
    """Straying told by forecasts made within the first ``weeks``; None where they are too few."""
    cuts = [c for c in (weeks - AHEAD_WEEKS - 4 * k for k in range(8)) if c >= 26]
    if len(cuts) < 3:
        return None
    season, month, paces = [], [], []
    for cut in cuts:
        fitted = fit(as_known(sheet, cut))
        season.append(_errors(sheet, fitted, cut, AHEAD_WEEKS))
        month.append(_errors(sheet, fitted, cut, BLOCK_WEEKS))
        paces.append(_table_pace(*_goes_and_hoped(sheet, fitted, cut)))
    season_wander = _wander_that_fits(season)
    month_wander = max(0.0, _wander_that_fits(month) - season_wander)
    return Straying(season_wander, month_wander, earlier=tuple(paces))


def _present(sheet: Sheet, before: Straying) -> Straying | None:
    """The table's present pace and each product's, if the table's clearly stands out from earlier ones.

    What the whole table does at once is no chance: a hundred products tell it within some hundredths.
    How far products differ in it is learnt from their spread about it (method of moments).
    """
    cut = sheet.used.shape[1] - PRESENT_WEEKS
    fitted = fit(as_known(sheet, cut))
    goes, hoped = _goes_and_hoped(sheet, fitted, cut)
    table = _table_pace(goes, hoped)
    logs = np.log(before.earlier)
    if abs(np.log(table) - logs.mean()) < CLEARLY * max(LEAST_STRAY, float(logs.std())):
        return None
    seen = hoped > 0.5
    worth = np.minimum(hoped[seen], 10.0)
    spread = (goes[seen] / hoped[seen] - table) ** 2 - table / hoped[seen]
    alike = float(np.clip((worth.sum() * table**2) / max((worth * spread).sum(), 1e-6), *ALIKE))
    sure = alike + goes
    weekly = fitted.weekly * sure / (alike / table + hoped)
    return replace(before, table=table, weekly=weekly, sure=1 / (1 / fitted.sure + 1 / sure))


def _goes_and_hoped(sheet: Sheet, fitted: Fit, cut: int) -> tuple[_Array, _Array]:
    """Goes in the six weeks after ``cut``, and those that what was known then led one to expect."""
    span = slice(cut, cut + PRESENT_WEEKS)
    shown = (sheet.weight[:, span] > 0).astype(float)
    hoped = (shown * fitted.by_month[:, sheet.months[span]]).sum(axis=1) * fitted.weekly / fitted.grain
    return np.asarray((sheet.used[:, span] * shown).sum(axis=1) / fitted.grain), np.asarray(hoped)


def _table_pace(goes: _Array, hoped: _Array) -> float:
    """The whole table's pace over what was hoped; each product counts by its hoped goes, ten at most.

    Ten at most, so that a sack of flour drawn on daily does not speak for the table.
    """
    fewer = np.minimum(hoped, 10.0) / np.maximum(hoped, 1e-9)
    total = float((hoped * fewer).sum())
    return float(np.clip((goes * fewer).sum() / total, 0.1, 10.0)) if total > 5 else 1.0


def _errors(sheet: Sheet, fitted: Fit, cut: int, ahead: int) -> tuple[_Array, _Array, _Array]:
    """(error squared, variance explained, mean squared) of each product's use over the weeks ahead."""
    span = slice(cut, cut + ahead)
    shown = (sheet.weight[:, span] > 0).astype(float)
    mean = (shown * fitted.by_month[:, sheet.months[span]]).sum(axis=1) * fitted.weekly
    used = (sheet.used[:, span] * shown).sum(axis=1)
    worth = mean > 1.5 * fitted.grain
    mean, used = mean[worth], used[worth]
    explained = fitted.grain[worth] * mean + mean**2 / fitted.sure[worth]
    return (used - mean) ** 2, explained, mean**2


def _wander_that_fits(errors: Sequence[tuple[_Array, _Array, _Array]]) -> float:
    """The least variance of a common factor with which four in five errors lie inside their 80 % range."""
    off, explained, mean = (np.concatenate([e[i] for e in errors]) for i in range(3))
    if len(off) < 20:
        return UNSURE_WITHOUT_BOOK
    for wander in np.arange(0.0, 1.0, 0.01):
        if float(np.mean(off <= _INSIDE_Z**2 * (explained + wander * mean))) >= 0.8:
            return float(wander)
    return 1.0
