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
from pantrymeals.solving.solvers import ENDLESS, Found, Linked, Relaxation, run_cp_sat, whole_menu

WORK_A_COLUMN = 2e-5
"""Where work decides: what setting up a piece counts as, in seconds a column; about as long as it takes."""

PATIENCE = 2
"""While columns that should end as nothing do not, there is so many times the time."""

LONGER_PATIENCE = 10
"""Where the first will do: while there is none at all."""


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
    by_work: bool = False,
    at_once: bool = False,
) -> tuple[np.ndarray | None, float]:
    """The best found with ``these`` columns and those that the relaxation or ``start`` uses, and the work it took.

    None: nothing found. these, must: masks. must: what should end as nothing; while some does not, there is more time.
    at_once: the first in which it does will do, and after the ``seconds`` the first of all. by_work: ``seconds`` are
    the solver's own, and not the clock's. Work is counted in these too.
    """
    used = these | must | (relaxation.x > HAIR) | ~part.whole | (part.lo > 0)
    if start is not None:
        used |= start > HAIR
    near, keep = piece(part, used, np.zeros(used.shape[0]))
    ask = must[keep]
    until = time.monotonic() + seconds
    found = Found()

    def enough() -> bool:
        if (have := found.x) is None:
            return False
        late, whole = time.monotonic() > until, not have[ask].any()
        return late or whole if at_once else late and whole

    begin = None if start is None else start[keep]
    if by_work:
        for part_of_it in (1, PATIENCE - 1):
            done = found.settled or found.infeasible or stop.is_set()
            if not done and (found.x is None or found.x[ask].any()):
                run_cp_sat(near, found, Linked(stop), ENDLESS, seed, gap, 1, begin, whole_menu, part_of_it * seconds)
                begin = found.x if found.x is not None else begin
    else:
        patience = LONGER_PATIENCE if at_once else PATIENCE
        run_cp_sat(near, found, Linked(stop, enough), patience * seconds, seed, gap, 1, begin, whole_menu)
    return _whole(found, keep, used.shape[0]), found.work + WORK_A_COLUMN * keep.shape[0]


def _whole(found: Found, keep: np.ndarray, width: int) -> np.ndarray | None:
    if found.x is None:
        return None
    whole = np.zeros(width)
    whole[keep] = found.x
    return whole
