"""A whole menu by two lanes side by side until the gap is proven, or time or work is up.

One lane proves: CP-SAT on the whole. The other finds: a first whole menu near the relaxation, then some days at a time
are cooked anew, all others as they are. CP-SAT that begins from a good menu proves in a third of the time what it else
may not prove at all, so it works in rounds, each longer than the one before and from the best menu so far.
"""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import count
from typing import Any

import numpy as np
from msgspec import Struct

from pantrymeals.solving.cutting import HAIR, by_column, cut, holds, piece
from pantrymeals.solving.linear_model import Arrays
from pantrymeals.solving.neighbourhood import WORK_A_COLUMN
from pantrymeals.solving.solvers import ENDLESS, Found, Linked, linear_relaxation, run_cp_sat, whole_menu

FIRST_ROUND, LONGER = 1.0, 2.0
"""Work of the first round, in CP-SAT's deterministic seconds, and how much longer each next one is."""

NEAR_WORK = 0.5
NEAR_POINTS = 100
"""A first menu near the relaxation: with so much work, without the columns whose price there is beyond this
(hundredths of a point)."""

OTHER_SEED = 1000
"""The second lane searches with the seed and this."""

FEW_DAYS = 3
SEARCH_WORK = 0.8
SEARCH_POINTS = 200
"""A neighbourhood: so many days at first, so much work at most, to within so much (hundredths of a point)."""

OF_WORK, SETTING_UP = 6.0, 20.0
"""Where work decides and not the clock, the clock cuts in only after so many times the seconds asked for, and these."""


def in_lanes(works: Sequence[Callable[[], None]], stop: threading.Event) -> tuple[list[threading.Thread], list[Any]]:
    """A thread at work on each, and the list in which one that fails leaves its trouble; then ``stop`` is set."""
    troubles: list[Any] = []

    def heard(work: Callable[[], None]) -> None:
        try:
            work()
        except BaseException as trouble:
            troubles.append(trouble)
            stop.set()

    threads = [threading.Thread(target=heard, args=(work,), daemon=True) for work in works]
    for thread in threads:
        thread.start()
    return threads, troubles


def joined(threads: Sequence[threading.Thread], troubles: Sequence[Any]) -> None:
    """Wait for all lanes; raise the first trouble of one that failed."""
    for thread in threads:
        thread.join()
    if troubles:
        raise troubles[0]


class _Days:
    """The lane that finds: what it keeps from round to round.

    always: columns that are all zero in a whole menu. day_of: the day each column is about, -1 for the whole horizon.
    """

    def __init__(self, linear: Arrays, always: np.ndarray, day_of: np.ndarray, rng: random.Random) -> None:
        self.linear, self.always, self.day_of, self.rng = linear, always, day_of, rng
        self.entries = by_column(linear)
        self.days = sorted({int(day) for day in day_of if day >= 0})
        self.many = min(FEW_DAYS, len(self.days))

    def near_the_relaxation(self, found: Found, stop: threading.Event, work: float) -> float:
        """Offer a whole menu, soon: without the columns that the relaxation finds dear. The work it took."""
        relaxation = linear_relaxation(self.linear)
        free = (relaxation.dear <= NEAR_POINTS) | (relaxation.x > HAIR) | ~self.linear.whole | (self.linear.lo > 0)
        free[self.always] = True
        part, keep = piece(self.linear, free, np.zeros_like(relaxation.x))
        first = Found()
        run_cp_sat(part, first, Linked(stop), ENDLESS, self._dice(), settings=_for_work(work))
        self._offer(found, first, keep, np.zeros_like(relaxation.x))
        columns: int = self.linear.cost.shape[0]
        return first.work + WORK_A_COLUMN * columns

    def cooked_anew(self, found: Found, stop: threading.Event, work: float) -> None:
        """Offer better menus from the best so far: some days are cooked anew, all others stay."""
        while work > 0 and not stop.is_set() and (x := found.x) is not None:
            of_days = np.isin(self.day_of, self.rng.sample(self.days, self.many))
            keep = np.flatnonzero((self.day_of < 0) | ~self.linear.whole | of_days)
            part = cut(self.linear, self.entries, keep, x, self.entries.sums(x))
            better, enough = Found(), SEARCH_POINTS / max(abs(found.cost), 1.0)
            most = min(SEARCH_WORK, work)
            ended = Linked(stop)
            run_cp_sat(part, better, ended, ENDLESS, self._dice(), enough, 1, x[keep], _for_work(most))
            took = better.work + WORK_A_COLUMN * keep.shape[0]
            work -= took
            self._offer(found, better, keep, x)
            if better.settled and self.many == len(self.days):
                return
            if not better.settled:
                self.many = max(1, self.many - 1)
            elif took < SEARCH_WORK / 3:
                self.many += 1

    def _dice(self) -> int:
        return self.rng.randrange(1, 10**6)

    def _offer(self, found: Found, part: Found, keep: np.ndarray, at: np.ndarray) -> None:
        if part.x is not None:
            new = at.copy()
            new[keep] = part.x
            if holds(self.linear, new):
                found.offer(new, float(np.dot(self.linear.cost, new) + self.linear.fixed_cost))


class _Lanes(Struct):
    """Two lanes at one question. days: None where the second lane has nothing to go by, and is CP-SAT too."""

    linear: Arrays
    seed: int
    gap: float
    days: _Days | None

    def prove(self, found: Found, stop: threading.Event, seconds: float, work: float) -> None:
        """CP-SAT on the whole, from the best menu so far."""
        self._cp_sat(found, stop, seconds, self.seed, work)

    def find(self, found: Found, stop: threading.Event, seconds: float, work: float) -> None:
        """The second lane's part of a round."""
        if self.days is not None and found.x is None:
            work -= self.days.near_the_relaxation(found, stop, min(NEAR_WORK, work))
        if self.days is not None and found.x is not None:
            self.days.cooked_anew(found, stop, work)
        elif work > 0 and not stop.is_set():
            self._cp_sat(found, stop, seconds, self.seed + OTHER_SEED, work)

    def _cp_sat(self, found: Found, stop: threading.Event, seconds: float, seed: int, work: float) -> None:
        run_cp_sat(self.linear, found, Linked(stop), seconds, seed, self.gap, 1, found.x, _for_work(work))


def _lanes(linear: Arrays, seed: int, gap: float, always: np.ndarray | None, day_of: np.ndarray | None) -> _Lanes:
    if always is None or day_of is None or not (day_of >= 0).any():
        return _Lanes(linear, seed, gap, None)
    return _Lanes(linear, seed, gap, _Days(linear, always, day_of, random.Random(seed + OTHER_SEED)))


def _rounds(work: float) -> Iterator[float]:
    """The work of each round, until there was so much in all."""
    for number in count():
        this = min(FIRST_ROUND * LONGER**number, work)
        if this <= 0:
            return
        yield this
        work -= this


def side_by_side(
    linear: Arrays,
    seconds: float,
    seed: int = 1,
    gap: float = 0.01,
    always: np.ndarray | None = None,
    day_of: np.ndarray | None = None,
    watching: Callable[[Found], bool] | None = None,
    patience: float = 0.0,
) -> Found:
    """The best decision and its proof, by two lanes, until the gap is proven, time is up or someone says stop.

    always: columns that are all zero in a whole menu. day_of: the day each column is about, -1 for the whole horizon.
    watching: called some times a second with what is found; returns True to stop. patience: so many seconds more while
    there is no menu at all.
    """
    found = Found()
    stop = threading.Event()
    until = time.monotonic() + seconds
    lanes = _lanes(linear, seed, gap, always, day_of)

    def left() -> float:
        return max(0.0, until + patience - time.monotonic())

    def time_is_up() -> bool:
        return time.monotonic() > until + (patience if found.x is None else 0.0)

    def prove() -> None:
        for work in _rounds(ENDLESS):
            if not stop.is_set():
                lanes.prove(found, stop, left(), work)
            if found.infeasible or found.settled:
                stop.set()
            if stop.is_set():
                return

    def find() -> None:
        lanes.find(found, stop, left(), ENDLESS)
        if lanes.days is None and (found.infeasible or found.settled):
            stop.set()

    threads, troubles = in_lanes((prove, find), stop)
    while not stop.wait(0.05):
        done = found.within(gap) or time_is_up()
        if done or (watching is not None and watching(found)):
            stop.set()
    joined(threads, troubles)
    return found


class ByWork(Struct, frozen=True):
    """What was found with so much work, and whether the clock cut in before it was done."""

    found: Found
    cut_short: bool


def by_work(
    linear: Arrays,
    seconds: float,
    seed: int,
    gap: float,
    watching: Callable[[Found], bool],
    patience: float = 0.0,
    always: np.ndarray | None = None,
    day_of: np.ndarray | None = None,
) -> ByWork:
    """The same decision for the same seed on every run, however busy the machine: work decides, not the clock.

    The lanes wait for each other at the end of each round, and only then is the better menu both lanes' own; in all
    each works as much as ``seconds`` of it usually are. What the first lane settles counts, whatever the other found.
    patience: seconds more of work while none is found.
    """
    pair = [Found(), Found()]
    stop = threading.Event()
    until = time.monotonic() + OF_WORK * (seconds + patience) + SETTING_UP
    lanes = _lanes(linear, seed, gap, always, day_of)
    proved, cut_short = pair[0], False

    def ended() -> bool:
        return proved.settled or proved.infeasible or pair[1].settled or pair[1].infeasible or stop.is_set()

    for work in (*_rounds(seconds), patience):
        if ended() or work <= 0 or (work == patience and proved.x is not None) or proved.within(gap):
            break
        left = until - time.monotonic()
        this_round = Linked(stop)
        asked = (
            partial(lanes.prove, pair[0], this_round, left, work),
            partial(lanes.find, pair[1], this_round, left, work),
        )
        cut_short |= _watched(asked, pair, stop, this_round, until, watching)
        if not ended():
            _shared(pair)
    return ByWork(_better(pair), cut_short)


def _watched(
    asked: Sequence[Callable[[], None]],
    pair: list[Found],
    stop: threading.Event,
    this_round: threading.Event,
    until: float,
    watching: Callable[[Found], bool],
) -> bool:
    """Run a round to its end, the cook's 'enough' or the clock. Whether the clock ended it."""
    cut_short = False

    def prove() -> None:
        asked[0]()
        if pair[0].settled or pair[0].infeasible:
            this_round.set()

    threads, troubles = in_lanes((prove, asked[1]), stop)
    while any(thread.is_alive() for thread in threads):
        time.sleep(0.02)
        if watching(min(pair, key=lambda lane: lane.cost)):
            stop.set()
        elif time.monotonic() > until:
            cut_short = True
            stop.set()
    joined(threads, troubles)
    return cut_short


def _shared(pair: list[Found]) -> None:
    """What one lane has found and proven is the other's too."""
    for one, other in (pair, reversed(pair)):
        if one.x is not None:
            other.offer(one.x, one.cost)
        other.proved(one.bound, one.proven_by)


def _better(pair: list[Found]) -> Found:
    """What the first lane settled; else the better of the two, with what is proven of either."""
    first, second = pair
    if first.settled or first.infeasible:
        return first
    best = second if second.infeasible or second.settled or second.cost < first.cost - 1e-9 else first
    best.proved(max(first.bound, second.bound), "CP-SAT")
    return best


def _for_work(work: float) -> Callable[[Any], None]:
    """Settings of a whole menu with so much work and no more."""

    def settings(parameters: Any) -> None:
        whole_menu(parameters)
        parameters.max_deterministic_time = work

    return settings
