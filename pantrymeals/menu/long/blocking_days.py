"""What stands in the way of a dish that would fill an open place of a long menu.

Its own last cooking within its days, a tag's other dishes of that week, the dishes on other days that take the
last of what it needs: with those days freed beside its own, the place can often be filled.
"""

from __future__ import annotations

import random
from collections import defaultdict

import numpy as np

from pantrymeals.menu.week.model import MenuModel
from pantrymeals.solving.cutting import HAIR, ByColumn
from pantrymeals.solving.linear_model import Arrays

MOST_DAYS = 6
"""Other days that are cooked anew for one dish, at the most."""

MANY_COLUMNS = 2000
"""A row of so many columns speaks of a whole horizon's shelf, not of a few days."""


class BlockingDays:
    """Which dishes could fill what is open or missed, and which days stand in the way of each."""

    def __init__(self, model: MenuModel, linear: Arrays, entries: ByColumn) -> None:
        self.model = model
        self.linear = linear
        self.entries = entries
        self.candidate_of = {col: i for i, col in enumerate(model.cook)}
        self.could_fill: dict[int, list[int]] = defaultdict(list)
        wanted = sorted(set(model.open.values()) | set(model.missed))
        places, owner = entries.entries(np.array(wanted, dtype=int))
        for row, number in zip(entries.rows[places].tolist(), owner.tolist(), strict=True):
            cols = linear.cols[linear.starts[row] : linear.starts[row + 1]].tolist()
            self.could_fill[wanted[number]] += [c for c in cols if c in self.candidate_of]

    def days(self, wanted: int, x: np.ndarray, sums: np.ndarray, rng: random.Random) -> list[int] | None:
        """Days to cook anew so that one dish, drawn by lot, may fill a place: its own first; None where none can."""
        could = [c for c in self.could_fill[wanted] if self.linear.hi[c] > 0 and x[c] < HAIR]
        if not could:
            return None
        col = rng.choice(could)
        candidate = self.model.problem.candidates[self.candidate_of[col]]
        others = self._forbidding(col, x, sums) | self._taking(self.candidate_of[col], x, rng)
        others.discard(candidate.day)
        chosen = rng.sample(sorted(others), min(MOST_DAYS, len(others)))
        return [candidate.day, *chosen]

    def _forbidding(self, col: int, x: np.ndarray, sums: np.ndarray) -> set[int]:
        """Days of the dishes that fill up a row in which this one has no room."""
        places, _ = self.entries.entries(np.array([col]))
        days: set[int] = set()
        for row, coef in zip(self.entries.rows[places].tolist(), self.entries.coefs[places].tolist(), strict=True):
            if self.linear.row_lo[row] == self.linear.row_hi[row]:
                continue  # what the day's own dishes settle among themselves
            if sums[row] + coef > self.linear.row_hi[row] + HAIR:
                cols = self.linear.cols[self.linear.starts[row] : self.linear.starts[row + 1]]
                if len(cols) < MANY_COLUMNS:
                    days.update(self.model.day_of[c] for c in cols[x[cols] > HAIR].tolist() if c in self.candidate_of)
        return days

    def _taking(self, number: int, x: np.ndarray, rng: random.Random) -> set[int]:
        """For each product of which too little is left: a day on which some of it is taken."""
        problem = self.model.problem
        candidate = problem.candidates[number]
        days: set[int] = set()
        for choice in [(draw,) for draw in candidate.fixed] + list(candidate.choices):
            draw = rng.choice(choice)
            stock = problem.stocks[draw.product]
            taken = [(day, col, grains) for day, col, grains in self.model.draws[draw.product] if x[col] > HAIR]
            left = stock.room(problem.days - 1) - sum(grains for _, _, grains in taken)
            if left < draw.grains + stock.container and taken:
                days.add(rng.choice(taken)[0])
        return days
