"""How far paces drift: what earlier forecasts got wrong, and whether the present pace is another one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.forecast.fitting import BLOCK_WEEKS, FAMILY_SURE, Fit, UseByWeek, as_known, fit
from pantrymeals.forecast.moves import learn_way, walked
from pantrymeals.forecast.simulate import DRIFT_GROWS
from pantrymeals.forecast.year_ring import MONTHS_TOGETHER

AHEAD_WEEKS = 13
PRESENT_WEEKS = 6
"""The present pace is that of the last six weeks: long enough to count, short enough to be the present."""
CUTS, LEAST_CUT = 8, 26
"""So many earlier forecasts are looked back on, none with fewer weeks of the book before it."""
UNSURE_WITHOUT_BOOK = 0.15
CLEARLY = 2.5
"""Standard deviations, of earlier six weeks and never less than by chance, by which the table's pace must stand out to
count as another."""
LEAST_DRIFTED = 0.06
"""Earlier six weeks are never taken to have drifted less than this (standard deviation of the log)."""
ALIKE = (0.7, 2.0)
"""Gamma shape, least and most, of products' present paces about the table's: they are never taken to be
so alike that one product's own six weeks count for little."""
_INSIDE_Z = 1.2816
_Array = NDArray[np.float64]
SELDOM, OFTEN = 0.5, 1.5
"""Goes hoped for in a season from which a product tells of the tails, and of the drift between."""
TAIL_CASES, TAIL_BEFORE = 20.0, 0.005
"""Products' seasons that count before the book's own, and the variance of either tail that they tell."""
MOST_TAIL = 2.0


class RateDrift(Struct, frozen=True):
    """Variances by which a season's and a month's rate drifts from the present pace; and that pace.

    faster, slower: standard deviations of the log of a rate's drift to either side, at today, beside what its own moves
    explain. present: None where the book is too short to tell it. held, tested: [products] earlier seasons in which the
    range held, of how many.
    """

    season: float
    month: float
    faster: float
    slower: float
    present: Fit | None = None
    held: NDArray[np.int64] | None = None
    tested: NDArray[np.int64] | None = None


def rate_drift(book: UseByWeek) -> RateDrift:
    """What earlier forecasts' errors tell of drift, and the present pace.

    How paces move is learnt first (``moves``). What earlier seasons, foreseen with what was known then, show beyond it
    is what is left unknown, to either side.
    """
    weeks = book.used.shape[1]
    last = weeks - PRESENT_WEEKS - AHEAD_WEEKS
    # A year of them where the book is long enough: a summer is told by a summer.
    step = max(BLOCK_WEEKS, min(52 // CUTS + 1, (last - LEAST_CUT) // (CUTS - 1)))
    cuts = [cut for cut in (last - step * k for k in range(CUTS)) if cut >= LEAST_CUT]
    if len(cuts) < 3:
        usual = _today(UNSURE_WITHOUT_BOOK)
        return RateDrift(UNSURE_WITHOUT_BOOK, 2 * UNSURE_WITHOUT_BOOK, usual, usual)
    now = weeks - PRESENT_WEEKS
    fits = {cut: fit(as_known(book, cut)) for cut in (*cuts, now)}
    way = learn_way(book, fits[now])
    known = [(as_known(book, cut + later), fits[cut]) for later in (0, PRESENT_WEEKS) for cut in fits]
    ends = walked(known, way)
    before, then = dict(zip(fits, ends[: len(fits)], strict=True)), dict(zip(fits, ends[len(fits) :], strict=True))
    season = [_season(book, then[cut], cut + PRESENT_WEEKS, AHEAD_WEEKS) for cut in cuts]
    month = [_season(book, then[cut], cut + PRESENT_WEEKS, BLOCK_WEEKS) for cut in cuts]
    season_drift = _drift_that_fits(season)
    up, down = _tail(season, 1), _tail(season, -1)
    return RateDrift(
        season_drift,
        max(0.0, _drift_that_fits(month) - season_drift),
        _today(up),
        _today(down),
        _of_the_table(book, before, now) or then[now],
        *_held(season, up, down),
    )


def _of_the_table(book: UseByWeek, before: Mapping[int, Fit], now: int) -> Fit | None:
    """Each product's pace where the table's own in the last six weeks clearly stands out from earlier ones, else None.

    What a hundred products do at once is no chance. How alike products are in it is learnt from their spread (method of
    moments); each one's own goes then tell its own.
    """
    known = before[now]
    goes, hoped = _goes_and_hoped(book, known, now)
    table, chance = _table_pace(goes, hoped)
    earlier = np.log([_table_pace(*_goes_and_hoped(book, each, cut))[0] for cut, each in before.items() if cut != now])
    if abs(np.log(table) - earlier.mean()) <= CLEARLY * max(LEAST_DRIFTED, float(earlier.std()), chance):
        return None
    sure = 1 / (1 / known.sure + 1 / _alike(goes, hoped, table))
    weekly = known.weekly * (sure + goes) / (sure / table + hoped)
    return replace(known, weekly=np.asarray(weekly), sure=np.asarray(sure + goes), table=table)


def _alike(goes: _Array, hoped: _Array, table: float) -> float:
    """Gamma shape of products' paces about the table's."""
    seen = hoped > 0.5
    worth = np.minimum(hoped[seen], 10.0)
    spread = (goes[seen] / hoped[seen] - table) ** 2 - table / hoped[seen]
    return float(np.clip((worth.sum() * table**2) / max((worth * spread).sum(), 1e-6), *ALIKE))


def _goes_and_hoped(book: UseByWeek, fitted: Fit, cut: int) -> tuple[_Array, _Array]:
    """Goes in the six weeks after ``cut``, and those that what was known then led one to expect."""
    span = slice(cut, cut + PRESENT_WEEKS)
    hoped = (book.there[:, span] * fitted.by_month[:, book.months[span]]).sum(axis=1) * fitted.weekly / fitted.grain
    return np.asarray(book.used[:, span].sum(axis=1) / fitted.grain), np.asarray(hoped)


def _table_pace(goes: _Array, hoped: _Array) -> tuple[float, float]:
    """The whole table's pace over what was hoped, and the standard deviation of its log by chance alone.

    Each product counts by its hoped goes, ten at most, so that a sack of flour drawn on daily does not speak for the
    table; and the pace that was hoped for by ten goes more.
    """
    fewer = np.minimum(hoped, 10.0) / np.maximum(hoped, 1e-9)
    total = float((hoped * fewer).sum())
    pace = (float((goes * fewer).sum()) + FAMILY_SURE) / (total + FAMILY_SURE)
    return float(np.clip(pace, 0.1, 10.0)), float(np.sqrt(total)) / (total + FAMILY_SURE)


class _SeasonSeen(Struct, frozen=True):
    """Every product's use over some weeks after a cut, against what was known then.

    off: used less foreseen. explained: variance that chance, the unsure mean and the unsure months explain. moved:
    variance that the product's own moves explain beside. mean: foreseen. grain: of a go.
    """

    off: _Array
    explained: _Array
    moved: _Array
    mean: _Array
    grain: _Array

    def of(self, goes: float) -> _SeasonSeen:
        """Of those alone of which more than so many goes were foreseen."""
        worth = self.mean > goes * self.grain
        return _SeasonSeen(*(getattr(self, name)[worth] for name in _SeasonSeen.__struct_fields__))

    def edge(self, drift: float) -> _Array:
        """How far off the mean the outer 10 % begin, if that is the drift's variance beside the moves."""
        return np.asarray(_INSIDE_Z * np.sqrt(self.explained + self.moved + drift * self.mean**2))

    def beyond(self, side: int, drift: float) -> _Array:
        """Whether what came lies beyond that edge; of a whole go that straddles it half does."""
        edge = self.edge(drift)
        return np.asarray((side * self.off > edge) * 0.5 + (side * self.off - self.grain > edge) * 0.5)


def _season(book: UseByWeek, known: Fit, cut: int, ahead: int) -> _SeasonSeen:
    span = slice(cut, cut + ahead)
    months = book.months[span]
    use = book.there[:, span] * known.by_month[:, months] * known.ahead(ahead) * known.weekly[:, None]
    mean = use.sum(axis=1)
    explained = known.grain * mean + mean**2 / known.sure + _of_the_year(use, months, known.month_unsure)
    moved = np.zeros_like(mean) if known.moves is None else mean**2 * known.moves.of_mean(ahead)
    return _SeasonSeen(book.used[:, span].sum(axis=1) - mean, explained, moved, mean, known.grain)


def _of_the_year(use: _Array, months: NDArray[np.int64], unsure: _Array) -> _Array:
    """Variance of the sum of ``use`` [products, weeks] that comes of what is not known of the months' parts."""
    by_month = np.stack([use[:, months == month].sum(axis=1) for month in range(12)], axis=1) * np.sqrt(unsure)
    return np.asarray(np.einsum("pm,mn,pn->p", by_month, MONTHS_TOGETHER, by_month))


def _together(seasons: Sequence[_SeasonSeen], goes: float) -> _SeasonSeen:
    each = [season.of(goes) for season in seasons]
    return _SeasonSeen(
        *(np.concatenate([getattr(one, name) for one in each]) for name in _SeasonSeen.__struct_fields__)
    )


def _drift_that_fits(seasons: Sequence[_SeasonSeen]) -> float:
    """The least variance of a factor, moves and all, with which four in five errors lie inside their 80 % range."""
    told = _together(seasons, OFTEN)
    if len(told.off) < 20:
        return UNSURE_WITHOUT_BOOK
    for drift in np.arange(0.0, 1.0, 0.01):
        if float(np.mean(np.abs(told.off) <= _INSIDE_Z * np.sqrt(told.explained + drift * told.mean**2))) >= 0.8:
            return float(drift)
    return 1.0


def _tail(seasons: Sequence[_SeasonSeen], side: int) -> float:
    """The least variance beside the moves with which one in ten at most lies beyond 10 % on that side.

    Drawn towards what was taken before; seasons that overlap tell little more than once.
    """
    told = _together(seasons, SELDOM)
    fits = (float(d) for d in np.arange(0.0, MOST_TAIL, 0.02) if told.beyond(side, float(d)).mean() <= 0.1)
    found = next(fits, MOST_TAIL) if len(told.off) else 0.0
    cases = len(told.off) / 3
    return (cases * found + TAIL_CASES * TAIL_BEFORE) / (cases + TAIL_CASES)


def _today(variance: float) -> float:
    """The standard deviation today of a log whose mean over a season ahead has this variance, as a factor."""
    return float(np.sqrt(np.log1p(variance))) / (1 + DRIFT_GROWS * AHEAD_WEEKS / 104)


def _held(seasons: Sequence[_SeasonSeen], up: float, down: float) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """In how many seasons each product's range held, and of how many, those left out in which it is hardly gone for."""
    tested = [season.mean > SELDOM * season.grain for season in seasons]
    inside = [(s.off <= s.edge(up)) & (-s.off <= s.edge(down)) & t for s, t in zip(seasons, tested, strict=True)]
    return np.sum(inside, axis=0, dtype=np.int64), np.sum(tested, axis=0, dtype=np.int64)
