"""How fast each product goes, learnt from the book: seasonal, now and then, and never sure.

The mean use of a week is (what the household's own words lead one to expect) x (a ratio learnt from
the book) x (the month's part). Products of a family lend each other what they know of the ratio and
of the months: one with five lines in the book borrows much, one with two hundred next to nothing
(empirical Bayes for Poisson counts with Gamma rates). How far the rate itself may wander is learnt
from how far earlier forecasts, made with what was known then, turned out wrong.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pantrymeals.planning.run_out.history import History

HALF_LIFE_WEEKS = 52.0
"""A year ago counts half as much as now: households change."""
FAMILY_GOES, OWN_GOES = 6.0, 4.0
"""How many goes a month the flat year, and the family's year, are worth against the product's own."""
GRAIN_WEEKS = 12.0
"""How many weeks the usual go is worth against the scatter seen."""
LEAST_GRAIN = 0.02
BLOCK_WEEKS = 4
AHEAD_WEEKS = 13
UNSURE_WITHOUT_BOOK = 0.15
_INSIDE_Z = 1.2816
_Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Expected:
    """What the household's own words lead one to expect of one product, before the book is read.

    weekly: containers a week in season (standing use, or an even share). by_month: [12] part of the
    year's mean that falls to each month, 0 where it is not eaten. stated: ``by_month`` comes from the
    household's standing use, which then stands in for the family's year.
    """

    family: str
    weekly: float
    by_month: tuple[float, ...] = (1.0,) * 12
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Rate:
    """What is known of one product's use.

    weekly: mean containers a week, season apart. by_month: [12] factors. grain: variance over mean of
    a week's use (containers). sure_goes: Gamma shape of the mean. goes: goes written in the book.
    """

    weekly: float
    by_month: tuple[float, ...]
    grain: float
    sure_goes: float
    goes: float


@dataclass(frozen=True, slots=True)
class Rates:
    """All products' rates, and how far any rate may wander (variances of a factor with mean 1)."""

    of: Mapping[str, Rate]
    season_wander: float
    month_wander: float


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The book as matrices [products, weeks] with what is expected of each product."""

    used: _Array
    weight: _Array
    months: NDArray[np.int64]
    base: _Array
    shape: _Array
    family: NDArray[np.int64]
    go: _Array
    stated: NDArray[np.bool_]


def learn(history: History, expected: Mapping[str, Expected]) -> Rates:
    """Every product's rate, from the book's weeks and what the household's words lead one to expect."""
    sheet = _lay_out(history, expected)
    fitted = _fit(sheet)
    season, month = _wander(sheet)
    of = {
        name: Rate(
            float(fitted.weekly[row]),
            tuple(float(x) for x in fitted.by_month[row]),
            float(fitted.grain[row]),
            float(fitted.sure[row]),
            float(fitted.goes[row]),
        )
        for row, name in enumerate(history.names)
    }
    return Rates(of, season, month)


def _lay_out(history: History, expected: Mapping[str, Expected]) -> _Sheet:
    families = sorted({e.family for e in expected.values()})
    said = [expected[name] for name in history.names]
    age = np.arange(history.weeks)[::-1]
    weight = history.open_to_use * 0.5 ** (age / HALF_LIFE_WEEKS)
    base = np.array([max(e.weekly, 1e-4) for e in said])
    go = np.array([history.go[name] for name in history.names])
    return _Sheet(
        history.used,
        weight,
        history.months,
        base,
        np.array([e.by_month for e in said], dtype=float).reshape(len(said), 12),
        np.array([families.index(e.family) for e in said], dtype=np.int64),
        np.where(go > 0, go, np.minimum(1.0, np.maximum(base, LEAST_GRAIN))),
        np.array([e.stated for e in said], dtype=np.bool_),
    )


@dataclass(frozen=True, slots=True)
class _Fit:
    weekly: _Array
    by_month: _Array
    grain: _Array
    sure: _Array
    goes: _Array


def _fit(sheet: _Sheet) -> _Fit:
    """Months, scatter and ratios in turn, twice over: each needs the others."""
    by_month, grain = sheet.shape.copy(), np.maximum(sheet.go, LEAST_GRAIN)
    ratio, sure, goes = _ratios(sheet, by_month, grain)
    for _ in range(2):
        by_month = _months(sheet, ratio, grain)
        ratio, sure, goes = _ratios(sheet, by_month, grain)
        grain = _grains(sheet, ratio, by_month)
        ratio, sure, goes = _ratios(sheet, by_month, grain)
    return _Fit(np.asarray(ratio * sheet.base), by_month, grain, sure, goes)


def _in_season(sheet: _Sheet, by_month: _Array) -> _Array:
    """The months' factors laid along the weeks [products, weeks]."""
    return by_month[:, sheet.months]


def _ratios(sheet: _Sheet, by_month: _Array, grain: _Array) -> tuple[_Array, _Array, _Array]:
    """Use in the book over use expected: its mean after pooling, its Gamma shape, and the goes seen."""
    goes = (sheet.used * sheet.weight).sum(axis=1) / grain
    hoped = (sheet.weight * _in_season(sheet, by_month)).sum(axis=1) * sheet.base / grain
    ours = goes.sum() / hoped.sum() if hoped.sum() > 1 else 1.0
    ours = float(np.clip(ours, 0.05, 5.0))
    families = int(sheet.family.max()) + 1 if sheet.family.size else 0
    by_family = (np.bincount(sheet.family, goes, families) + 10 * ours) / (
        np.bincount(sheet.family, hoped, families) + 10
    )
    middle = np.maximum(by_family[sheet.family], 0.02)
    likeness = _likeness(goes, hoped, middle)
    sure = likeness + goes
    return sure / (likeness / middle + hoped), sure, goes


def _likeness(goes: _Array, hoped: _Array, middle: _Array) -> float:
    """Gamma shape of the ratios about their family's: how alike products are, by the method of moments."""
    seen = hoped > 1
    if seen.sum() < 3:
        return 2.0
    worth = np.minimum(hoped[seen], 20.0)
    spread = (goes[seen] / hoped[seen] - middle[seen]) ** 2 - middle[seen] / hoped[seen]
    unlike = float((worth * spread).sum() / (worth * middle[seen] ** 2).sum())
    return float(np.clip(1 / max(unlike, 1e-3), 0.5, 20.0))


def _months(sheet: _Sheet, ratio: _Array, grain: _Array) -> _Array:
    """Each product's year [products, 12]: its own months, drawn towards its family's, drawn towards flat."""
    eaten = sheet.shape > 0
    goes, hoped = np.zeros((2, len(sheet.base), 12))
    weighed = sheet.used * sheet.weight / grain[:, None]
    flat = sheet.weight * (ratio * sheet.base / grain)[:, None]
    for month in range(12):
        at = sheet.months == month
        goes[:, month], hoped[:, month] = weighed[:, at].sum(axis=1), flat[:, at].sum(axis=1)
    hoped *= eaten
    families = int(sheet.family.max()) + 1 if sheet.family.size else 0
    family_goes, family_hoped = np.zeros((2, families, 12))
    np.add.at(family_goes, sheet.family, goes)
    np.add.at(family_hoped, sheet.family, hoped)
    family_year = (_blur(family_goes) + FAMILY_GOES) / (_blur(family_hoped) + FAMILY_GOES)
    before = np.where(sheet.stated[:, None], sheet.shape, family_year[sheet.family])
    year = (goes + OWN_GOES * before) / (hoped + OWN_GOES) * eaten
    months_eaten = np.maximum(eaten.sum(axis=1), 1)
    mean = year.sum(axis=1) / months_eaten
    return np.asarray(year / np.where(mean > 0, mean, 1.0)[:, None])


def _blur(by_month: _Array) -> _Array:
    """Neighbouring months lend a quarter each; the year is a ring."""
    return 0.5 * by_month + 0.25 * np.roll(by_month, 1, axis=1) + 0.25 * np.roll(by_month, -1, axis=1)


def _blocks(rows: _Array, length: int) -> _Array:
    """Sums over blocks of weeks, the latest ending now [products, blocks]."""
    blocks = rows.shape[1] // length
    return np.asarray(
        rows[:, rows.shape[1] - blocks * length :].reshape(len(rows), blocks, length).sum(axis=2)
    )


def _grains(sheet: _Sheet, ratio: _Array, by_month: _Array) -> _Array:
    """Variance over mean of use, seen in blocks of four weeks, drawn towards the usual go.

    Blocks, because a household that opens a jar every five days is steadier over a month than its
    weeks of one and two jars make it look.
    """
    shown = (sheet.weight > 0).astype(float)
    mean = shown * _in_season(sheet, by_month) * (ratio * sheet.base)[:, None]
    used, hoped = _blocks(sheet.used * shown, BLOCK_WEEKS), _blocks(mean, BLOCK_WEEKS)
    count = (hoped > 0).sum(axis=1)
    fewer = np.where(count > 2, count / np.maximum(count - 1.5, 1), 1.0)
    scatter = ((used - hoped) ** 2 * (hoped > 0)).sum(axis=1) * fewer
    prior_use = GRAIN_WEEKS * np.maximum(ratio * sheet.base, 1e-6)
    grain = (scatter + prior_use * sheet.go) / (hoped.sum(axis=1) + prior_use)
    return np.asarray(np.clip(grain, LEAST_GRAIN, 4 * np.maximum(sheet.go, LEAST_GRAIN)))


def _wander(sheet: _Sheet) -> tuple[float, float]:
    """How far a season's and a month's rate strays beyond what is known, from earlier forecasts' errors."""
    weeks = sheet.used.shape[1]
    cuts = [weeks - AHEAD_WEEKS - 4 * k for k in range(8)]
    cuts = [c for c in cuts if c >= 26]
    if len(cuts) < 3:
        return UNSURE_WITHOUT_BOOK, 2 * UNSURE_WITHOUT_BOOK
    season, month = [], []
    for cut in cuts:
        then = _as_known(sheet, cut)
        fitted = _fit(then)
        season.append(_errors(sheet, fitted, cut, AHEAD_WEEKS))
        month.append(_errors(sheet, fitted, cut, BLOCK_WEEKS))
    season_wander = _wander_that_fits(season)
    return season_wander, max(0.0, _wander_that_fits(month) - season_wander)


def _as_known(sheet: _Sheet, cut: int) -> _Sheet:
    """The sheet as it stood after ``cut`` weeks."""
    later = sheet.used.shape[1] - cut
    weight = sheet.weight[:, :cut] / 0.5 ** (later / HALF_LIFE_WEEKS)
    return replace(sheet, used=sheet.used[:, :cut], weight=weight, months=sheet.months[:cut])


def _errors(sheet: _Sheet, fitted: _Fit, cut: int, ahead: int) -> tuple[_Array, _Array, _Array]:
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
