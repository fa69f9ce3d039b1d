"""Pieces cut out of a model: what is left of it when some columns stay as they are.

Of a long model in time that goes with the piece and not with the model: it is kept by columns and its rows' sums are
known, so that only the free columns are read: what all others add to a row is the row's sum less what these add.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from pantrymeals.solving.linear_model import ANY, Arrays

HAIR = 1e-6
"""What a sum may lie outside its bounds: the last digits of a float."""


class ByColumn(Struct, frozen=True):
    """A model's entries by column: ``rows`` and ``coefs`` of column c lie at starts[c] to starts[c + 1]."""

    starts: np.ndarray
    rows: np.ndarray
    coefs: np.ndarray
    height: int

    def entries(self, columns: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Of these columns, in their order: the place of each entry, and which of the columns it belongs to."""
        counts = self.starts[columns + 1] - self.starts[columns]
        owner = np.repeat(np.arange(columns.shape[0], dtype=np.int32), counts)
        before = np.cumsum(counts) - counts
        return np.arange(owner.shape[0]) - (before - self.starts[columns])[owner], owner

    def sums(self, x: np.ndarray) -> np.ndarray:
        """Each row's sum at a decision."""
        return self.moved(np.zeros(self.height), np.flatnonzero(x), x)

    def moved(self, sums: np.ndarray, columns: np.ndarray, by: np.ndarray) -> np.ndarray:
        """The sums after these columns have moved by ``by`` (one for each column of the model)."""
        places, owner = self.entries(columns)
        return sums + np.bincount(self.rows[places], self.coefs[places] * by[columns][owner], minlength=self.height)


def by_column(linear: Arrays) -> ByColumn:
    """The model's entries sorted by column."""
    order = np.argsort(linear.cols, kind="stable")
    row_of = np.repeat(np.arange(linear.row_lo.shape[0], dtype=np.int32), np.diff(linear.starts))
    counts = np.bincount(linear.cols, minlength=linear.lo.shape[0])
    return ByColumn(
        starts=np.concatenate(([0], np.cumsum(counts))),
        rows=row_of[order],
        coefs=linear.coefs[order],
        height=linear.row_lo.shape[0],
    )


def cut(linear: Arrays, entries: ByColumn, keep: np.ndarray, at: np.ndarray, sums: np.ndarray) -> Arrays:
    """The part left when every column but ``keep`` (numbers, rising) stays at ``at``; sums: the rows' sums there.

    Rows that speak of no free column are left out: whether they hold is for ``kept`` to say.
    """
    places, owner = entries.entries(keep)
    touched = entries.rows[places]
    rows, inverse = np.unique(touched, return_inverse=True)
    coefs = entries.coefs[places]
    fixed = sums[rows] - np.bincount(inverse, coefs * at[keep][owner], minlength=rows.shape[0])
    order = np.argsort(inverse, kind="stable")
    counts = np.bincount(inverse, minlength=rows.shape[0])
    lo, hi = linear.row_lo[rows], linear.row_hi[rows]
    return Arrays(
        lo=linear.lo[keep],
        hi=linear.hi[keep],
        cost=linear.cost[keep],
        whole=linear.whole[keep],
        starts=np.concatenate(([0], np.cumsum(counts))).astype(np.int32),
        cols=owner[order],
        coefs=coefs[order],
        row_lo=np.where(lo <= -ANY, -ANY, lo - fixed),
        row_hi=np.where(hi >= ANY, ANY, hi - fixed),
        fixed_cost=linear.fixed_cost + float(linear.cost @ at) - float(linear.cost[keep] @ at[keep]),
    )


def kept(linear: Arrays, x: np.ndarray, sums: np.ndarray, before: np.ndarray | None = None) -> bool:
    """Whether a decision with these sums keeps every bound, and every row that was kept at the sums ``before``."""
    outside = (sums < linear.row_lo - HAIR) | (sums > linear.row_hi + HAIR)
    if before is not None:
        outside &= (before >= linear.row_lo - HAIR) & (before <= linear.row_hi + HAIR)
    return not outside.any() and bool((x >= linear.lo - HAIR).all() and (x <= linear.hi + HAIR).all())


def piece(linear: Arrays, free: np.ndarray, at: np.ndarray) -> tuple[Arrays, np.ndarray]:
    """A part cut out of a model once. free: mask of columns. With it the numbers of its columns in the model."""
    entries, keep = by_column(linear), np.flatnonzero(free)
    return cut(linear, entries, keep, at, entries.sums(at)), keep


def holds(linear: Arrays, x: np.ndarray) -> bool:
    """Whether a decision keeps every row and bound."""
    return kept(linear, x, by_column(linear).sums(x))
