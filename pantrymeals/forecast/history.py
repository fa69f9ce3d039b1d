"""The book as weeks: what was used, lost and on hand of each product, week by week."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.larder.book_history import Entry, Lines, weeks_known
from pantrymeals.records import LOST_REASONS, USED_REASONS, Product, Reason
from pantrymeals.units import summed

LONG_SILENCE, CATCHING_UP = 8, 5
"""Weeks without a line after which a burst, within so many weeks, is taken for catching up."""
_NOT_IN: frozenset[Reason] = frozenset({"moved", "pulled", "eaten", "spoiled"})
"""Reasons whose lines with a plus put something back rather than bring it in."""


class History(Struct, frozen=True):
    """Weeks up to (not including) ``until``, the last ending the day before it.

    Containers of the first size. used, lost, open_to_use, stock: [products, weeks]. open_to_use: the
    part of the week (0-1) in which there was any to use. stock: on hand at the start of the week and
    what came in during it. months: [weeks] month index 0-11 of the middle of the week. go, loss_go:
    usual amount taken, or lost, at one go. on_hand: what the book says is there on ``until``. a_week_in:
    what came in (put up, bought, carried in), a week since the product's first line, where that is a
    year ago or more.
    """

    until: date
    names: tuple[str, ...]
    used: NDArray[np.float64]
    lost: NDArray[np.float64]
    stock: NDArray[np.float64]
    open_to_use: NDArray[np.float64]
    months: NDArray[np.int64]
    go: Mapping[str, float]
    loss_go: Mapping[str, float]
    on_hand: Mapping[str, float]
    a_week_in: Mapping[str, float]

    @property
    def weeks(self) -> int:
        """How many whole weeks the book speaks of."""
        return int(self.used.shape[1])


def containers(product: Product, amount: Fraction) -> float:
    """An amount of the product's base measure, in containers of its first size."""
    content = product.sizes[0].content
    return amount.numerator * content.denominator / (amount.denominator * content.numerator)


def read_history(products: Mapping[str, Product], lines: Lines, until: date) -> History:
    """The book's weeks for every product, as they were known on ``until``."""
    weeks = weeks_known(lines, until)
    begin = until - timedelta(weeks=weeks)
    names = tuple(products)
    shape = (len(names), weeks)
    used, lost, stock, open_to_use = (np.zeros(shape) for _ in range(4))
    go, loss_go, on_hand, a_week_in = {}, {}, {}, {}
    for row, name in enumerate(names):
        own = [line for line in lines[name] if line.day < until]
        sizes = [float(line.amount) for line in own]
        used[row], lost[row] = _used_and_lost(own, sizes, begin, weeks)
        stock[row], open_to_use[row] = _availability(own, sizes, begin, weeks)
        used[row] = caught_up(used[row], open_to_use[row])
        go[name] = _usual(-a for x, a in zip(own, sizes, strict=True) if x.reason in USED_REASONS)
        loss_go[name] = _usual(-a for x, a in zip(own, sizes, strict=True) if x.reason in LOST_REASONS)
        on_hand[name] = float(summed(x.amount for x in own))
        if own and (known := (until - own[0].day).days / 7) >= 52:
            came = (x.amount for x, a in zip(own, sizes, strict=True) if a > 0 and x.reason not in _NOT_IN)
            a_week_in[name] = float(summed(came)) / known
    middles = [begin + timedelta(days=7 * w + 3) for w in range(weeks)]
    months = np.array([d.month - 1 for d in middles], dtype=np.int64)
    return History(until, names, used, lost, stock, open_to_use, months, go, loss_go, on_hand, a_week_in)


def _usual(amounts: Iterable[float]) -> float:
    """The size of a usual go: mean square over mean, so that large goes tell; 0 without any."""
    sizes = [a for a in amounts if a > 0]
    return sum(a * a for a in sizes) / sum(sizes) if sizes else 0.0


def _used_and_lost(
    lines: Sequence[Entry], sizes: Sequence[float], begin: date, weeks: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Use and loss by week; what a count finds is spread over the weeks since the count before, a year at most.

    sizes: the amounts of the lines as floats, here and in what follows.
    """
    used, lost = [0.0] * weeks, [0.0] * weeks
    last_count = lines[0].day if lines else begin
    for line, size in zip(lines, sizes, strict=True):
        week = (line.day - begin).days // 7
        counted = line.reason == "counted"
        if week >= 0 and line.sort in ("used", "lost"):
            first = max(0, (last_count - begin).days // 7, week - 52) if counted else week
            target = lost if line.sort == "lost" else used
            for of_week in range(first, min(week + 1, weeks)):
                target[of_week] -= size / (week + 1 - first)
        if counted:
            last_count = line.day
    return np.maximum(used, 0), np.maximum(lost, 0)


def caught_up(used: NDArray[np.float64], open_to_use: NDArray[np.float64]) -> NDArray[np.float64]:
    """Use by week, with what was written up late spread over the weeks it was kept back for.

    A book that falls silent for weeks on something that goes every week, and then has as much in a
    week or a few as would have gone in all of them, was caught up with: use did not stop and then burst.
    """
    there = np.flatnonzero(open_to_use > 0)
    own = used[there]
    if not own.any():
        return used
    pace, usual = float(own.mean()), _median(own[own > 0])
    out, begin = used.copy(), 0
    for at in np.flatnonzero(own).tolist():
        if at < begin:
            continue
        silent, since, begin = at - begin, begin, at + 1
        kept_back = silent * pace
        if silent >= LONG_SILENCE and kept_back >= 8 * usual:
            end = min(at + CATCHING_UP, len(own))
            written_up = float(own[at:end].sum())
            if written_up >= 0.4 * kept_back + usual * CATCHING_UP:
                out[there[since:end]] = written_up / (end - since)
                begin = end
    return out


def _median(values: NDArray[np.float64]) -> float:
    """The middle one, or the mean of both; numpy's own loads a package of masked arrays for it."""
    ordered = np.sort(values)
    return float(ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def _availability(
    lines: Sequence[Entry], sizes: Sequence[float], begin: date, weeks: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Stock on hand and the part of each week in which there was any.

    A book that never says what was there at first (its sum falls below nothing) tells nothing about
    empty shelves: then every week since the product's first line counts.
    """
    stock, open_to_use = np.zeros(weeks), np.zeros(weeks)
    if not lines:
        return stock, open_to_use
    change, incoming = [0.0] * weeks, [0.0] * weeks
    before = 0.0
    for line, amount in zip(lines, sizes, strict=True):
        week = (line.day - begin).days // 7
        if week < 0:
            before += amount
            continue
        change[week] += amount
        incoming[week] += max(amount, 0.0) if line.reason != "moved" else 0.0
    at_start = before + np.concatenate(([0.0], np.cumsum(change)[:-1])) if weeks else stock
    stock = np.maximum(at_start, 0) + incoming
    if at_start.size and at_start.min() < -1e-6:
        first = max(0, (lines[0].day - begin).days // 7)
        open_to_use[first:] = 1.0
    else:
        at_end = at_start + change
        # In the week of the last one (or the first) the shelf stood empty for a part: half, on average.
        open_to_use = 0.5 * (stock > 1e-6) + 0.5 * ((at_start > 1e-6) & (at_end > 1e-6))
    return stock, open_to_use
