"""What clashes when no menu keeps every rule: the fewest rules that cannot all be kept.

Two questions take turns. One solve asks for the fewest rules that must give way while some are kept
whatever happens; the rules that then give way are a *mending*. The next round keeps the fewest rules
that meet every mending found so far. When nothing can give way any more, what is kept is the clash:
no smaller set of rules clashes, because each smaller one lets some mending through.

Source of the way of asking: hitting sets between conflicts and corrections, R. Reiter, 'A theory of
diagnosis from first principles', Artificial Intelligence 32 (1987).
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Collection, Iterable, Mapping
from itertools import combinations

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.menu.clash.switches import SWITCH, Switched
from pantrymeals.menu.week.model import Rule
from pantrymeals.solving.linear_model import Arrays, arrays
from pantrymeals.solving.solvers import Found, Linked, never, run_highs, solved

MOST_CLASHES = 3
CLOSE_ENOUGH = 0.001
"""How far from the least amount a mending may be at first, as a share of one switch."""


class Correction(Struct, frozen=True):
    """Rules that give way together, each with the most it gives way by, and the decision that shows it."""

    rules: Mapping[Rule, int]
    x: np.ndarray


class FoundOut(Struct):
    """What was learnt: clashes (proven to be the fewest, or not), and corrections by growing size.

    feasible: the menu that keeps every rule, when there is one after all; hopeless: even with every
    rule relaxed nothing fits; unsure: time was up before anything was known.
    """

    clashes: list[tuple[tuple[Rule, ...], bool]] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    feasible: np.ndarray | None = None
    hopeless: bool = False
    unsure: bool = False


class TimeIsUp(Exception):
    """No answer within the time."""


class Asking:
    """Solves one switched model again and again, with some rules kept and some let go."""

    def __init__(self, switched: Switched, until: float, stopped: Callable[[], bool] = never) -> None:
        self.switched = switched
        self.linear = arrays(switched.linear)
        self.until = until
        self.stopped = stopped

    def fewest(
        self, kept: Collection[Rule] = (), let_go: Collection[Rule] = (), at_least: int = 0
    ) -> Correction | None:
        """The fewest rules that must give way; None when those kept cannot all be kept.

        kept: rules that may not give way. let_go: rules that give way for nothing. at_least: how many
        are known to be needed: the search ends when it finds so few. Raises TimeIsUp.
        """
        found, needed = Found(), (at_least + 0.5) * SWITCH
        left = self.until - time.monotonic()
        if left <= 0 or self.stopped():
            raise TimeIsUp
        enough = Linked(threading.Event(), lambda: found.cost < needed or self.stopped())
        run_highs(self.with_rules(kept, let_go), found, enough, left, 1, CLOSE_ENOUGH)
        if found.infeasible:
            return None
        if found.x is None or not (found.cost < needed or found.bound > found.cost - SWITCH / 2):
            raise TimeIsUp
        on = self.switched.given_way(found.x)
        return Correction({rule: by for rule, by in on.items() if rule not in let_go}, found.x)

    def with_rules(self, kept: Collection[Rule], let_go: Collection[Rule] = ()) -> Arrays:
        """The model with some rules kept whatever happens, and some let go for nothing."""
        hi, cost = self.linear.hi.copy(), self.linear.cost.copy()
        for rule in kept:
            hi[self.switched.switch[rule]] = 0
        for rule in let_go:
            cost[self.switched.switch[rule]] = 0
        return replace(self.linear, hi=hi, cost=cost)


def fewest_meeting(corrections: Iterable[frozenset[Rule]]) -> frozenset[Rule]:
    """The fewest rules of which each correction has at least one."""
    sets = [c for c in corrections if c]
    alone = frozenset(rule for c in sets if len(c) == 1 for rule in c)
    rest = [c for c in sets if not c & alone]
    choices = sorted(frozenset().union(*rest))
    for number in range(len(choices) + 1):
        for more in combinations(choices, number):
            if all(c.intersection(more) for c in rest):
                return alone | frozenset(more)
    return alone


def find_out(switched: Switched, seconds: float, stopped: Callable[[], bool] = never) -> FoundOut:
    """The clashes of a switched model and what would mend them, as far as time allows and nobody says stop."""
    out = FoundOut()
    asking = Asking(switched, time.monotonic() + seconds, stopped)
    try:
        first = asking.fewest()
    except TimeIsUp:
        out.unsure = True
        return out
    if first is None:
        out.hopeless = True
        return out
    if not first.rules:
        out.feasible = first.x
        return out
    out.corrections.append(first)
    let_go: set[Rule] = set()
    while len(out.clashes) < MOST_CLASHES:
        clash, proven = _one_clash(asking, out, frozenset(let_go))
        if not clash:
            break
        out.clashes.append((tuple(sorted(clash)), proven))
        if not proven:
            break
        let_go |= clash
    out.corrections.sort(key=lambda c: len(c.rules))
    return out


def _one_clash(asking: Asking, out: FoundOut, let_go: frozenset[Rule]) -> tuple[frozenset[Rule], bool]:
    """The fewest rules that clash once others are let go; empty when nothing clashes then."""
    met: list[frozenset[Rule]] = [] if let_go else [frozenset(c.rules) for c in out.corrections]
    kept: frozenset[Rule] = fewest_meeting(met)
    fewest = 0 if let_go else len(out.corrections[0].rules)
    while True:
        try:
            more = asking.fewest(kept, let_go, fewest)
        except TimeIsUp:
            return kept, False
        if more is None:
            return kept, True
        if not more.rules:
            return frozenset(), True
        met.append(frozenset(more.rules))
        if not let_go:
            out.corrections.append(more)
        kept = fewest_meeting(met)


def least(asking: Asking, correction: Correction, seconds: float) -> Correction:
    """The same rules giving way, by as little as can be found in the time."""
    only = [rule for rule in asking.switched.switch if rule not in correction.rules]
    if not any(rule in asking.switched.amount for rule in correction.rules):
        return correction
    found = solved(asking.with_rules(only), seconds, start=correction.x)
    if found.x is None:
        return correction
    return Correction(asking.switched.given_way(found.x), found.x)
