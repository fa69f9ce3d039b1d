"""How fast each product goes, learnt from the book: seasonal, now and then, and never sure.

The mean use of a week is (what the household's own words lead one to expect) x (a ratio learnt from
the book) x (the month's part) x (where its pace leans). Products of a family lend each other what they know of the
ratio and of the months: one with five lines in the book borrows much, one with two hundred next to nothing
(empirical Bayes for Poisson counts with Gamma rates). How far the rate itself may drift is learnt
from how far earlier forecasts, made with what was known then, turned out wrong.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.forecast.fitting import Expected, Fit, fit, leaning, use_by_week
from pantrymeals.forecast.history import History
from pantrymeals.forecast.rate_drift import rate_drift
from pantrymeals.forecast.simulate import STILL, Moving


class Rate(Struct, frozen=True):
    """What is known of one product's use.

    weekly: mean containers a week, season apart. by_month: [12] factors. grain: variance over mean of
    a week's use (containers). sure_goes: Gamma shape of the mean. goes: goes written in the book. held, tested: earlier
    seasons of 13 weeks in which the range of its use held, and of how many. lean: what the log of its pace gains in a
    year. moving: how unsure its pace ahead is beside. month_unsure: [12] variance of what is not known of each factor,
    over its square.
    """

    weekly: float
    by_month: tuple[float, ...]
    grain: float
    sure_goes: float
    goes: float
    held: int = 0
    tested: int = 0
    lean: float = 0.0
    moving: Moving = STILL
    month_unsure: tuple[float, ...] = ()

    def ahead(self, months: NDArray[np.int64]) -> NDArray[np.float64]:
        """Mean containers in each week ahead, whose months (0-11) are given: season and lean in it."""
        return np.asarray(self.weekly * np.array(self.by_month)[months] * leaning(self.lean, len(months)))


class Rates(Struct, frozen=True):
    """All products' rates, and how far any rate may drift (variances of a factor with mean 1).

    faster, slower: standard deviations of the log of a rate's drift to either side, at today.
    present: the whole table's pace in the last six weeks over the book's for the time of year; it is in
    the rates already. 1 where it does not clearly stand out.
    """

    of: Mapping[str, Rate]
    season_drift: float
    month_drift: float
    faster: float
    slower: float
    present: float = 1.0


def learn(history: History, expected: Mapping[str, Expected]) -> Rates:
    """Every product's rate, from the book's weeks and what the household's words lead one to expect."""
    book = use_by_week(history, expected)
    fitted, drift = fit(book), rate_drift(book)
    known = drift.present or fitted
    of = {
        name: Rate(
            float(known.weekly[row]),
            tuple(float(x) for x in known.by_month[row]),
            float(known.grain[row]),
            float(known.sure[row]),
            float(fitted.goes[row]),
            0 if drift.held is None else int(drift.held[row]),
            0 if drift.tested is None else int(drift.tested[row]),
            *_moving(known, row),
            # Where the book is too short to tell of drift, what is taken for it stands for the months too.
            () if drift.present is None else tuple(float(x) for x in known.month_unsure[row]),
        )
        for row, name in enumerate(history.names)
    }
    return Rates(of, drift.season, drift.month, drift.faster, drift.slower, known.table)


def _moving(known: Fit, row: int) -> tuple[float, Moving]:
    if known.moves is None:
        return 0.0, STILL
    own = known.moves
    return float(own.lean[row]), Moving(float(own.unsure[row]), float(own.together[row]), float(own.wanders[row]))
