"""How paces move while the book is written: where each product's own stands today, and where it leans.

The log of a pace over the usual one wanders (each year adds a variance, the household's own) and leans (so much a
year, each product its own way). Both are learnt from all products together, by how well every four weeks were foreseen
from those before; then each product's pace today, and how sure it is, follow from its own goes: a dynamic Gamma-Poisson
model by linear Bayes (M. West, P. J. Harrison, H. S. Migon, Journal of the American Statistical Association 80, 1985,
from memory).
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.forecast.fitting import BLOCK_WEEKS, Fit, Moves, UseByWeek, blocks, in_season

WANDERS = (0.0, 0.01, 0.03, 0.06, 0.12, 0.25, 0.5, 1.0)
LEANS = (0.0, 0.01, 0.03, 0.06, 0.12, 0.2)
"""What is tried: variances by which the log of a pace wanders in a year, and from product to product of its lean."""
MOST_LEAN = 0.6
"""No pace is taken to gain or lose more than this in a year (log): nearly twice as much, or half."""
OPEN_START = 1.0
"""Variance of the log of a pace at the book's first week, where it is asked how paces move: nothing that the later
weeks tell may speak for the first."""
_Array = NDArray[np.float64]


class PaceMoves(Struct, frozen=True):
    """How a household's paces move: variances a year by which they wander, and of their leans."""

    wanders: float
    leans: float


def learn_way(book: UseByWeek, fitted: Fit) -> PaceMoves:
    """The household's own, from all products together: the mean of what is tried, by how likely it makes the book."""
    wanders, leans = (np.array(each) for each in zip(*((w, x) for w in WANDERS for x in LEANS), strict=True))
    likely = _go_through(book, fitted, _State.begun(OPEN_START + 1 / fitted.alike, leans, 0.0), wanders)
    odds = np.exp(likely - likely.max())
    odds /= odds.sum()
    return PaceMoves(float(odds @ wanders), float(odds @ leans))


def walked(book: UseByWeek, fitted: Fit, way: PaceMoves) -> Fit:
    """Every product's pace at the end of the book, by its own way there."""
    # The usual pace is that of the weeks that count; the book's first lies so long before their middle.
    since = float((book.fade * np.arange(len(book.fade))).sum() / book.fade.sum()) / 52
    leans, wanders = np.array([way.leans]), np.array([way.wanders])
    state = _State.begun(1 / fitted.alike + way.leans * since**2 + way.wanders * since, leans, since)
    _go_through(book, fitted, state, wanders)
    # What is usual was told by what came in of it, of which as much went: that word's error is of as many goes.
    lent = fitted.alike / (fitted.alike + fitted.goes)
    went = np.maximum((book.used / fitted.grain[:, None]).sum(axis=1), 1.0)
    return replace(
        fitted,
        weekly=np.asarray(fitted.usual * np.exp(state.level[0])),
        sure=1 / (state.unsure[0] + lent**2 / went),
        moves=Moves(state.lean[0], state.unsure_lean[0], state.together[0], np.full(len(book.base), way.wanders)),
    )


class _State(Struct):
    """What is known in a week [ways, products]: log of the pace over the usual, its lean, their variances and the
    covariance."""

    level: _Array
    lean: _Array
    unsure: _Array
    unsure_lean: _Array
    together: _Array

    @classmethod
    def begun(cls, unsure: _Array, leans: _Array, since: float) -> _State:
        """Before the book: who leans upward began below the usual pace, so many years before its middle."""
        nothing = np.zeros((len(leans), len(unsure)))
        each = leans[:, None] + nothing
        return cls(nothing, nothing, unsure + nothing, each, -since * each)

    def wait(self, years: float, wanders: _Array) -> None:
        """Time goes by."""
        self.level = self.level + self.lean * years
        self.unsure = self.unsure + 2 * years * self.together + years**2 * self.unsure_lean + wanders * years
        self.together = self.together + years * self.unsure_lean

    def see(self, goes: _Array, hoped: _Array) -> _Array:
        """Take in some weeks' goes; says how likely they were (log of a normal with their mean and variance)."""
        mean = hoped * np.exp(self.level)
        spread = mean + mean**2 * self.unsure
        told = np.maximum(spread, 1e-9)
        likely = np.where(mean > 1e-3, -0.5 * (np.log(told) + (goes - mean) ** 2 / told), 0.0)
        moved = np.log((1 + goes * self.unsure) / (1 + mean * self.unsure))
        left = 1 / (1 + goes * self.unsure)  # what stays of the variance
        share = self.together / self.unsure
        self.level = self.level + moved
        self.lean = np.clip(self.lean + share * moved, -MOST_LEAN, MOST_LEAN)
        self.unsure_lean = self.unsure_lean - share * self.together * (1 - left)
        self.together = self.together * left
        self.unsure = self.unsure * left
        return np.asarray(likely)


def _go_through(book: UseByWeek, fitted: Fit, state: _State, wanders: _Array) -> _Array:
    """Bring the state through the book, four weeks at a time; how likely the book was [ways]."""
    usual = (np.maximum(fitted.usual, 1e-6) / fitted.grain)[:, None]
    goes = blocks(book.used, BLOCK_WEEKS) / fitted.grain[:, None]
    hoped = blocks(book.there * in_season(book, fitted.by_month), BLOCK_WEEKS) * usual
    likely = np.zeros(len(wanders))
    for block in range(goes.shape[1]):
        state.wait(BLOCK_WEEKS / 52, wanders[:, None])
        likely += state.see(goes[:, block], hoped[:, block]).sum(axis=1)
    return likely
