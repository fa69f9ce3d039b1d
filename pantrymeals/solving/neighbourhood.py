"""Good decisions on a piece of a long model, soon: from the columns that its relaxation finds cheap.

Most of a piece's columns are dear in its relaxation and in no good menu. Without them a solver needs a
part of the time, and what it finds is seldom worse.
"""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass

import numpy as np

from pantrymeals.solving.cutting import HAIR
from pantrymeals.solving.linear_model import Arrays, piece
from pantrymeals.solving.solvers import Found, Linked, highs_model, run_cp_sat, whole_menu

PATIENCE = 2
"""While columns that should end as nothing do not, there is so many times the time."""


@dataclass(frozen=True, slots=True)
class Neighbourhood:
    """A piece and its relaxation: its columns, how dear each is (hundredths of a point), and its cost."""

    part: Arrays
    x: np.ndarray
    dear: np.ndarray
    bound: float

    def best(
        self,
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
        used = these | must | (self.x > HAIR) | ~self.part.whole | (self.part.lo > 0)
        if start is not None:
            used |= start > HAIR
        near, keep = piece(self.part, used, np.zeros(used.shape[0]))
        ask = must[keep]
        until = time.monotonic() + seconds
        found = Found()

        def enough() -> bool:
            have = found.x
            return time.monotonic() > until and have is not None and not have[ask].any()

        begin = None if start is None else start[keep]
        patience = PATIENCE * seconds
        run_cp_sat(near, found, Linked(stop, enough), patience, seed, gap, 1, begin, whole_menu)
        if found.x is None:
            return None
        whole = np.zeros(used.shape[0])
        whole[keep] = found.x
        return whole


def neighbourhood(part: Arrays) -> Neighbourhood:
    """A piece with its relaxation."""
    model = highs_model(part, relax=True)
    model.run()
    solution = model.getSolution()
    return Neighbourhood(
        part,
        np.array(solution.col_value),
        np.abs(np.array(solution.col_dual)),
        float(model.getInfo().objective_function_value),
    )
