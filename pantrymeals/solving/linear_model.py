"""A linear model of whole-number rows, and how each solver reads it.

A column is a decision with a least and a most; a row is a sum of columns held between
a low and a high. Every row tells what it keeps, so that it can be switched
when nothing fits.
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable, Iterable, MutableSequence, Sequence

import numpy as np
from msgspec import Struct, field

ANY = 10**12
"""Stands for 'no limit' in a row's or column's bounds (whole units)."""


class LinearModel(Struct):
    """Columns and rows; costs and coefficients exact to the last digits of a float.

    Arrays of the standard library where nobody else provides lists: a year's model has millions of entries.
    kept: by row, what it is for, in the terms of whoever wrote it.
    implied: columns that need not be declared whole, since whole decisions make them so.
    """

    lo: MutableSequence[int] = field(default_factory=lambda: array("q"))
    hi: MutableSequence[int] = field(default_factory=lambda: array("q"))
    cost: MutableSequence[float] = field(default_factory=lambda: array("d"))
    implied: MutableSequence[int] = field(default_factory=lambda: array("b"))
    starts: MutableSequence[int] = field(default_factory=lambda: array("i", [0]))
    cols: MutableSequence[int] = field(default_factory=lambda: array("i"))
    coefs: MutableSequence[float] = field(default_factory=lambda: array("d"))
    row_lo: MutableSequence[float] = field(default_factory=lambda: array("d"))
    row_hi: MutableSequence[float] = field(default_factory=lambda: array("d"))
    kept: list[Hashable] = field(default_factory=list)
    fixed_cost: float = 0

    @property
    def width(self) -> int:
        """How many columns."""
        return len(self.lo)

    @property
    def height(self) -> int:
        """How many rows."""
        return len(self.row_lo)

    def column(self, lo: int = 0, hi: int = 1, cost: float = 0, implied: bool = False) -> int:
        """A new column's number."""
        self.lo.append(lo)
        self.hi.append(hi)
        self.cost.append(cost)
        self.implied.append(implied)
        return len(self.lo) - 1

    def constrain(self, kept: Hashable, terms: Iterable[tuple[int, float]], lo: float = -ANY, hi: float = ANY) -> None:
        """Hold the sum of coefficient x column between lo and hi; equal columns are summed."""
        merged: dict[int, float] = {}
        for col, coef in terms:
            merged[col] = merged.get(col, 0) + coef
        for col, coef in merged.items():
            if coef:
                self.cols.append(col)
                self.coefs.append(coef)
        self.starts.append(len(self.cols))
        self.row_lo.append(lo)
        self.row_hi.append(hi)
        self.kept.append(kept)

    def value(self, x: Sequence[float]) -> float:
        """The cost of a decision."""
        return self.fixed_cost + float(np.dot(np.asarray(self.cost, float), np.asarray(x, float)))


class Arrays(Struct, frozen=True):
    """A model as arrays, by rows (CSR) and by columns (CSC), for cutting pieces out of it."""

    lo: np.ndarray
    hi: np.ndarray
    cost: np.ndarray
    whole: np.ndarray
    starts: np.ndarray
    cols: np.ndarray
    coefs: np.ndarray
    row_lo: np.ndarray
    row_hi: np.ndarray
    fixed_cost: float


def arrays(linear: LinearModel) -> Arrays:
    """The model as numpy arrays."""
    return Arrays(
        lo=np.array(linear.lo, float),
        hi=np.array(linear.hi, float),
        cost=np.array(linear.cost, float),
        whole=~np.array(linear.implied, bool),
        starts=np.array(linear.starts, np.int32),
        cols=np.array(linear.cols, np.int32),
        coefs=np.array(linear.coefs, float),
        row_lo=np.array(linear.row_lo, float),
        row_hi=np.array(linear.row_hi, float),
        fixed_cost=float(linear.fixed_cost),
    )


def hopeless_rows(linear: Arrays) -> np.ndarray:
    """Numbers of the rows that no decision within its columns' bounds can keep: a pinned dish that cannot stand."""
    row_of = np.repeat(np.arange(linear.row_lo.shape[0]), np.diff(linear.starts))
    ends = [linear.coefs * linear.lo[linear.cols], linear.coefs * linear.hi[linear.cols]]
    least = np.bincount(row_of, np.minimum(*ends), minlength=linear.row_lo.shape[0])
    most = np.bincount(row_of, np.maximum(*ends), minlength=linear.row_lo.shape[0])
    return np.flatnonzero((most < linear.row_lo - 1e-6) | (least > linear.row_hi + 1e-6))
