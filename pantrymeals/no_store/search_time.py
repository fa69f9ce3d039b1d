"""What the searches of a rehearsal may take: seconds by the clock, or so much work, so that every run ends alike."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from msgspec import Struct, field

from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.solving.lanes import OF_WORK, SETTING_UP
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.solvers import Found, Linked, never, run_cp_sat, solved, whole_menu

LEAST = 0.1
"""Seconds that a question has, however little is left."""

WORK_A_CANDIDATE = 1e-4
"""Where work decides: what totals and their relaxation count as, in seconds a candidate; about as long as they take."""


class SearchTime(Struct):
    """Seconds that a search has from now on: by the clock, or ``by_work``, CP-SAT's own deterministic ones.

    Of work the clock cuts in only after several times as long, as on a menu's (``solving.lanes``); ``cut_short`` says
    that it did. enough: the cook's word. of: the search that this is a part of, which pays for it.
    """

    seconds: float
    by_work: bool = False
    enough: Callable[[], bool] = never
    of: SearchTime | None = None
    worked: float = 0.0
    cut_short: bool = False
    begun: float = field(default_factory=lambda: time.monotonic())

    def left(self) -> float:
        """Seconds left; below nothing where more was taken."""
        return self.seconds - (self.worked if self.by_work else time.monotonic() - self.begun)

    def over(self) -> bool:
        """Whether time or work is up, or the cook has had enough."""
        if self.by_work and self._clock() <= 0:
            self._cut_in()
            return True
        return self.enough() or self.left() <= 0

    def part(self, share: float, least: float) -> SearchTime:
        """A share of what is left, ``least`` seconds at the least, for a search that comes before the rest."""
        return SearchTime(max(least, self.left() * share), self.by_work, self.enough, self)

    def looked_at(self, problem: MenuProblem) -> MenuProblem:
        """The question, counted as one whose totals are asked."""
        self._took(len(problem.candidates) * WORK_A_CANDIDATE)
        return problem

    def solved(self, linear: Arrays, *, in_parts: bool = False) -> Found:
        """What is found and proven in what is left.

        in_parts: dishes may be cooked in parts, which CP-SAT does not know: by work too such a question is HiGHS's,
        whole or until the clock cuts in.
        """
        left = max(self.left(), LEAST)
        if not self.by_work:
            return solved(linear, left, stopped=self.enough)
        clock = max(self._clock(), LEAST)
        if not in_parts:
            found = Found()
            stop = Linked(threading.Event(), self.enough)
            run_cp_sat(linear, found, stop, clock, work=left, settings=whole_menu)
        else:
            found = solved(linear, clock, stopped=self.enough)
        self._took(found.work)
        if self._clock() <= 0:
            self._cut_in()
        return found

    def _clock(self) -> float:
        """Seconds until the clock cuts in."""
        return self.begun + OF_WORK * self.seconds + SETTING_UP - time.monotonic()

    def _took(self, work: float) -> None:
        self.worked += work
        if self.of is not None:
            self.of._took(work)

    def _cut_in(self) -> None:
        self.cut_short = True
        if self.of is not None:
            self.of._cut_in()
