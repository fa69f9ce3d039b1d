"""How paces move while the book is written: where each product's own stands today, and where it leans.

The log of a pace over the usual one wanders (each year adds a variance, the household's own) and leans (so much a
year, each product its own way). Both are learnt from all products together, by how well every four weeks were foreseen
from those before; then each product's pace today, and how sure it is, follow from its own goes: a dynamic Gamma-Poisson
model by linear Bayes (M. West, P. J. Harrison, H. S. Migon, Journal of the American Statistical Association 80, 1985,
from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

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
    state = _State.begun(OPEN_START + 1 / fitted.alike, leans, 0.0)
    likely = _go_through(_Books.of([(book, fitted)]), state, wanders)
    odds = np.exp(likely - likely.max())
    odds /= odds.sum()
    return PaceMoves(float(odds @ wanders), float(odds @ leans))


def walked(known: Sequence[tuple[UseByWeek, Fit]], way: PaceMoves) -> list[Fit]:
    """Every product's pace at the end of each book, by its own way there; the books are gone through together."""
    # The usual pace is that of the weeks that count; a book's first lies so long before their middle.
    since = np.array([float((b.fade * np.arange(len(b.fade))).sum() / b.fade.sum()) / 52 for b, _ in known])[:, None]
    leans, wanders = np.full(len(known), way.leans), np.full(len(known), way.wanders)
    alike = np.array([fitted.alike for _, fitted in known])
    state = _State.begun(1 / alike + way.leans * since**2 + way.wanders * since, leans, since)
    _go_through(_Books.of(known), state, wanders)
    return [_at_the_end(book, fitted, state, row, way) for row, (book, fitted) in enumerate(known)]


def _at_the_end(book: UseByWeek, fitted: Fit, state: _State, row: int, way: PaceMoves) -> Fit:
    # What is usual was told by what came in of it, of which as much went: that word's error is of as many goes.
    lent = fitted.alike / (fitted.alike + fitted.goes)
    went = np.maximum((book.used / fitted.grain[:, None]).sum(axis=1), 1.0)
    moves = Moves(state.lean[row], state.unsure_lean[row], state.together[row], np.full(len(book.base), way.wanders))
    return replace(
        fitted,
        weekly=np.asarray(fitted.usual * np.exp(state.level[row])),
        sure=1 / (state.unsure[row] + lent**2 / went),
        moves=moves,
    )


class _Books(Struct, frozen=True):
    """Books, four weeks at a time, the latest ending now: goes that came and were hoped for [books, products, blocks].

    years: how long each block is [books, blocks]; nothing before a shorter book begins.
    """

    goes: _Array
    hoped: _Array
    years: _Array

    @classmethod
    def of(cls, known: Sequence[tuple[UseByWeek, Fit]]) -> _Books:
        """Of books as they were known, each with what was fitted to it."""
        length = max(book.used.shape[1] // BLOCK_WEEKS for book, _ in known)
        goes = np.zeros((len(known), len(known[0][0].used), length))
        hoped, years = np.zeros_like(goes), np.zeros((len(known), length))
        for row, (book, fitted) in enumerate(known):
            begins = length - book.used.shape[1] // BLOCK_WEEKS
            usual = (np.maximum(fitted.usual, 1e-6) / fitted.grain)[:, None]
            goes[row, :, begins:] = blocks(book.used, BLOCK_WEEKS) / fitted.grain[:, None]
            hoped[row, :, begins:] = blocks(book.there * in_season(book, fitted.by_month), BLOCK_WEEKS) * usual
            years[row, begins:] = BLOCK_WEEKS / 52
        return cls(goes, hoped, years)


class _State(Struct):
    """What is known in a week [ways, products]: log of the pace over the usual, its lean, their variances and the
    covariance."""

    level: _Array
    lean: _Array
    unsure: _Array
    unsure_lean: _Array
    together: _Array

    @classmethod
    def begun(cls, unsure: _Array, leans: _Array, since: _Array | float) -> _State:
        """Before the book: who leans upward began below the usual pace, so many years before its middle."""
        nothing = np.zeros((len(leans), unsure.shape[-1]))
        each = leans[:, None] + nothing
        return cls(nothing, nothing, unsure + nothing, each, -since * each)

    def wait(self, years: _Array, wanders: _Array) -> None:
        """Time goes by [ways, 1]."""
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


def _go_through(books: _Books, state: _State, wanders: _Array) -> _Array:
    """Bring the state through the books, one for each way or one for all; how likely that made them [ways]."""
    likely = np.zeros(len(wanders))
    for block in range(books.goes.shape[2]):
        state.wait(books.years[:, block, None], wanders[:, None])
        likely += state.see(books.goes[:, :, block], books.hoped[:, :, block]).sum(axis=1)
    return likely
