"""Good decisions on a piece of a long model, soon: from the columns that its relaxation finds cheap.

Most of a piece's columns are dear in its relaxation and in no good menu. Without them a solver needs a
part of the time, and what it finds is seldom worse.
"""

from __future__ import annotations

import threading
import time

import numpy as np

from pantrymeals.solving.cutting import HAIR, piece
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.solvers import Found, Linked, Relaxation, run_cp_sat, whole_menu

PATIENCE = 2
"""While columns that should end as nothing do not, there is so many times the time."""


def best_near(
    part: Arrays,
    relaxation: Relaxation,
    these: np.ndarray,
    must: np.ndarray,
    seconds: float,
    seed: int,
    gap: float,
    stop: threading.Event,
    start: np.ndarray | None = None,
) -> np.ndarray | None:
    """The best found with ``these`` columns and those that the relaxation or ``start`` uses; None: nothing found.

    these, must: masks. must: what should end as nothing; while some does not, there is more time.
    """
    used = these | must | (relaxation.x > HAIR) | ~part.whole | (part.lo > 0)
    if start is not None:
        used |= start > HAIR
    near, keep = piece(part, used, np.zeros(used.shape[0]))
    ask = must[keep]
    until = time.monotonic() + seconds
    found = Found()

    def enough() -> bool:
        have = found.x
        return time.monotonic() > until and have is not None and not have[ask].any()

    begin = None if start is None else start[keep]
    run_cp_sat(near, found, Linked(stop, enough), PATIENCE * seconds, seed, gap, 1, begin, whole_menu)
    if found.x is None:
        return None
    whole = np.zeros(used.shape[0])
    whole[keep] = found.x
    return whole
