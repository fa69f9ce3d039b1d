"""Rates, months and scatter fitted to the book's weeks, products of a family lending each other.

Empirical Bayes for Poisson counts with Gamma rates: the ratio of use in the book to the use that the
household's own words lead one to expect is drawn towards the family's, the family's towards the
household's; months likewise, towards a flat year.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.forecast.history import History
from pantrymeals.forecast.year_ring import with_neighbours

HALF_LIFE_WEEKS = 52.0
"""A year ago counts half as much as now: households change."""
PRODUCTS_ALIKE, MONTHS_ALIKE = (0.5, 20.0), (2.0, 40.0)
"""Gamma shape, least and most, of products about their family, and of months about the flat year and the family's:
goes that the word of the many is worth against one's own."""
FAMILY_SURE = 10.0
"""How many goes the household's ratio is worth against the family's."""
GRAIN_WEEKS = 12.0
"""How many weeks the usual go is worth against the scatter seen."""
LEAST_GRAIN = 0.02
MOST_GRAIN = 12.0
"""Usual goes that may fall together, at most: a feast or a week of baking takes a dozen."""
USUAL_GO = 1.0
"""Containers at a go of what was never gone for. By crumbs, what nobody ate would be hoped for a hundred times, and
would then speak for its whole family."""
BLOCK_WEEKS = 4
LEAST_OF_YEAR = 0.05
"""No month is taken to be so surely without use that less than this part of the mean would be expected of it."""
LEAN_WEEKS = 52
"""A lean goes on so long: nobody eats twice as much each year for good."""
_Array = NDArray[np.float64]


class Expected(Struct, frozen=True):
    """What the household's own words lead one to expect of one product, before the book is read.

    weekly: containers a week in season (standing use, or an even share). by_month: [12] part of the
    year's mean that falls to each month, 0 where it is not eaten. stated: ``by_month`` comes from the
    household's standing use, which then stands in for the family's year.
    """

    family: str
    weekly: float
    by_month: tuple[float, ...] = (1.0,) * 12
    stated: bool = False


class UseByWeek(Struct, frozen=True):
    """The book as matrices [products, weeks] with what is expected of each product.

    used: in weeks in which there was any. there: the part of the week in which there was (0-1). fade: [weeks] what a
    week counts, the older the less.
    """

    used: _Array
    there: _Array
    fade: _Array
    months: NDArray[np.int64]
    base: _Array
    shape: _Array
    family: NDArray[np.int64]
    go: _Array
    stated: NDArray[np.bool_]


def use_by_week(history: History, expected: Mapping[str, Expected]) -> UseByWeek:
    families = sorted({e.family for e in expected.values()})
    said = [expected[name] for name in history.names]
    age = np.arange(history.weeks)[::-1]
    base = np.array([max(e.weekly, 1e-4) for e in said])
    go = np.array([history.go[name] for name in history.names])
    return UseByWeek(
        history.used * (history.open_to_use > 0),
        history.open_to_use,
        0.5 ** (age / HALF_LIFE_WEEKS),
        history.months,
        base,
        np.array([e.by_month for e in said], dtype=float).reshape(len(said), 12),
        np.array([families.index(e.family) for e in said], dtype=np.int64),
        np.where(go > 0, go, USUAL_GO),
        np.array([e.stated for e in said], dtype=np.bool_),
    )


def leaning(lean: float | _Array, weeks: int) -> _Array:
    """Factors of a pace in so many weeks ahead, where its log gains so much a year, for a year at most."""
    return np.asarray(np.exp(lean * np.minimum(np.arange(weeks) + 0.5, LEAN_WEEKS) / 52))


class Moves(Struct, frozen=True):
    """How paces move on from today [products]: log of what each gains (or loses) in a year, the variance of that, its
    covariance with the log of today's pace, and the variance a year by which the log wanders beside."""

    lean: _Array
    unsure: _Array
    together: _Array
    wanders: _Array

    def of_mean(self, weeks: float) -> _Array:
        """Variance of the log of the mean pace over so many weeks ahead, beside today's."""
        years = weeks / 52
        return np.asarray(self.wanders * years / 3 + self.unsure * (years / 2) ** 2 + self.together * years)


class Fit(Struct, frozen=True):
    """Every product's pace: by all that the book tells, or as it is now, the last six weeks over that.

    weekly: mean containers a week, season apart. by_month: [products, 12] factors. month_unsure: [products, 12]
    variance of what is not known of each, over its square. grain: variance over mean of a
    week's use. sure: Gamma shape of the mean. goes: goes seen. usual: containers a week that its family leads one to
    expect. alike: Gamma shape of each about that. moves: None where paces are taken to stay. table: the whole
    table's pace in the last six weeks over what was to be expected; 1 where it does not clearly stand out.
    """

    weekly: _Array
    by_month: _Array
    month_unsure: _Array
    grain: _Array
    sure: _Array
    goes: _Array
    usual: _Array
    alike: _Array
    moves: Moves | None = None
    table: float = 1.0

    def ahead(self, weeks: int) -> _Array:
        """By how much each of so many weeks ahead leans, over today [products, weeks]."""
        lean = np.zeros(len(self.weekly)) if self.moves is None else self.moves.lean
        return np.asarray(leaning(lean[:, None], weeks))


def fit(book: UseByWeek) -> Fit:
    """Months, scatter and ratios in turn, twice over: each needs the others."""
    by_month, grain = book.shape.copy(), np.maximum(book.go, LEAST_GRAIN)
    ratio, sure, goes, middle, alike = _ratios(book, by_month, grain)
    for _ in range(2):
        by_month, month_unsure = _months(book, ratio, grain)
        grain = _grains(book, by_month)
        ratio, sure, goes, middle, alike = _ratios(book, by_month, grain)
    usual = np.asarray(middle * book.base)
    return Fit(np.asarray(ratio * book.base), by_month, month_unsure, grain, sure, goes, usual, alike)


def in_season(book: UseByWeek, by_month: _Array) -> _Array:
    """The months' factors laid along the weeks [products, weeks]."""
    return by_month[:, book.months]


def _ratios(book: UseByWeek, by_month: _Array, grain: _Array) -> tuple[_Array, _Array, _Array, _Array, _Array]:
    """Use in the book over use expected: its mean after pooling, its Gamma shape, the goes seen; the families' own, and
    the Gamma shape of each about it."""
    goes = (book.used * book.fade).sum(axis=1) / grain
    hoped = (book.there * book.fade * in_season(book, by_month)).sum(axis=1) * book.base / grain
    ours = goes.sum() / hoped.sum() if hoped.sum() > 1 else 1.0
    ours = float(np.clip(ours, 0.05, 5.0))
    families = int(book.family.max()) + 1 if book.family.size else 0
    seen = np.bincount(book.family, goes, families) + FAMILY_SURE * ours
    by_family = seen / (np.bincount(book.family, hoped, families) + FAMILY_SURE)
    middle = np.maximum(by_family[book.family], 0.02)
    likeness = _likeness(goes, hoped, middle)
    sure = likeness + goes
    ratio = sure / (likeness / middle + hoped)
    # The family's word is itself told by so many goes; where little else speaks, its error is the product's.
    lent = (likeness / middle) / (likeness / middle + hoped)
    word = 1 / np.maximum(seen, 1.0)[book.family]
    return ratio, 1 / (1 / sure + lent**2 * word), goes, middle, 1 / (1 / likeness + word)


def _likeness(goes: _Array, hoped: _Array, middle: _Array, ends: tuple[float, float] = PRODUCTS_ALIKE) -> float:
    """Gamma shape of ratios about their middle: how alike products, or months, are, by the method of moments."""
    seen = hoped > 1
    if seen.sum() < 3:
        return 2.0
    worth = np.minimum(hoped[seen], 20.0)
    spread = (goes[seen] / hoped[seen] - middle[seen]) ** 2 - middle[seen] / hoped[seen]
    unlike = float((worth * spread).sum() / (worth * middle[seen] ** 2).sum())
    return float(np.clip(1 / max(unlike, 1e-3), *ends))


def _months(book: UseByWeek, ratio: _Array, grain: _Array) -> tuple[_Array, _Array]:
    """Each product's year: its own months, drawn towards its family's, drawn towards flat; and how unsure each is
    (variance over its square), both [products, 12]."""
    eaten = book.shape > 0
    goes, hoped = np.zeros((2, len(book.base), 12))
    weighed = book.used * book.fade / grain[:, None]
    flat = book.there * book.fade * (ratio * book.base / grain)[:, None]
    for month in range(12):
        at = book.months == month
        goes[:, month], hoped[:, month] = weighed[:, at].sum(axis=1), flat[:, at].sum(axis=1)
    hoped *= eaten
    families = int(book.family.max()) + 1 if book.family.size else 0
    family_goes, family_hoped = np.zeros((2, families, 12))
    np.add.at(family_goes, book.family, goes)
    np.add.at(family_hoped, book.family, hoped)
    family_goes, family_hoped = with_neighbours(family_goes) / 2, with_neighbours(family_hoped) / 2
    flat_year = _likeness(family_goes.ravel(), family_hoped.ravel(), np.ones(family_goes.size), MONTHS_ALIKE)
    family_year = (family_goes + flat_year) / (family_hoped + flat_year)
    before = np.where(book.stated[:, None], book.shape, family_year[book.family])
    goes, hoped = with_neighbours(goes), with_neighbours(hoped * before) * eaten
    as_family = _likeness(goes.ravel(), hoped.ravel(), np.ones(goes.size), MONTHS_ALIKE)
    sure = as_family * np.maximum(before, LEAST_OF_YEAR)
    year = before * (goes + sure) / (hoped + sure) * eaten
    months_eaten = np.maximum(eaten.sum(axis=1), 1)
    mean = year.sum(axis=1) / months_eaten
    unsure = eaten / (goes + sure)
    return np.asarray(year / np.where(mean > 0, mean, 1.0)[:, None]), np.asarray(unsure)


def blocks(rows: _Array, length: int) -> _Array:
    """Sums over blocks of weeks, the latest ending now [products, blocks]."""
    blocks = rows.shape[1] // length
    return np.asarray(rows[:, rows.shape[1] - blocks * length :].reshape(len(rows), blocks, length).sum(axis=2))


def _grains(book: UseByWeek, by_month: _Array) -> _Array:
    """Variance over mean of use, from one block of four weeks to the next, drawn towards the usual go.

    Blocks, because a household that opens a jar every five days is steadier over a month than its
    weeks of one and two jars make it look. From block to block, because a pace that drifts over the
    year is no scatter.
    """
    used = blocks(book.used, BLOCK_WEEKS)
    hoped = blocks(book.there * in_season(book, by_month), BLOCK_WEEKS)
    before, after = hoped[:, :-1], hoped[:, 1:]
    likely = (before > 0) & (after > 0.5 * before) & (after < 2 * before)
    part = np.divide(after, before, out=np.zeros_like(after), where=likely)
    pace = np.divide(used[:, :-1] + used[:, 1:], before + after, out=np.zeros_like(after), where=likely)
    jumps = ((used[:, 1:] - used[:, :-1] * part) ** 2 * likely).sum(axis=1)
    mean = (pace * (after + after * part) * likely).sum(axis=1)
    prior_use = GRAIN_WEEKS * np.maximum(book.go, book.base) / 2
    grain = (jumps + prior_use * book.go) / (mean + prior_use)
    return np.asarray(np.clip(grain, LEAST_GRAIN, MOST_GRAIN * np.maximum(book.go, LEAST_GRAIN)))


def as_known(book: UseByWeek, cut: int) -> UseByWeek:
    """The book as it stood after ``cut`` weeks."""
    later = book.used.shape[1] - cut
    return replace(
        book, used=book.used[:, :cut], there=book.there[:, :cut], fade=book.fade[later:], months=book.months[:cut]
    )
