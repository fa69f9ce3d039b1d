"""The year as a ring of months, each of which tells something of those beside it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

LENT = 0.5
"""What a month is worth to each of its neighbours, beside its own: tables change by the season, not by the month."""
_Array = NDArray[np.float64]


def with_neighbours(by_month: _Array) -> _Array:
    """Each month's, and what its neighbours lend of theirs; the year is the last axis [..., 12]."""
    return by_month + LENT * (np.roll(by_month, 1, axis=-1) + np.roll(by_month, -1, axis=-1))


def _root() -> _Array:
    weights = with_neighbours(np.eye(12))
    return np.asarray(weights / np.linalg.norm(weights, axis=0))


TOGETHER_ROOT = _root()
"""[12, 12] times independent normals: normals of variance 1 that go together as far as months lend to each other."""
MONTHS_TOGETHER = TOGETHER_ROOT @ TOGETHER_ROOT.T
"""[12, 12] correlation of what is not known of two months."""
