"""The week's linear model with the meaning of its columns, and what each thing costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from math import ceil

import numpy as np
from msgspec import Struct, field

from pantrymeals.menu.request import DAYS_IN_ONE_PIECE
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.records import Role
from pantrymeals.solving.linear_model import ANY, LinearModel

POINT = 100
"""Costs are kept in hundredths of a point."""

OPEN_ROLE_POINTS: Mapping[Role, int] = {
    "main": 6000, "breakfast": 4000, "lunch": 4000, "side": 3500,
    "bread": 2500, "fruit": 2500, "sweet": 2500,
}  # fmt: skip
MISSED_POINTS = 3000
WAITING_POINTS = 200
FEAST_MISSED_POINTS = 9000
OFF_POINTS = 1000
LARGEST_OFF_POINTS = 500
WASTE_POINTS = 60
THAWED_WASTE_POINTS = 600
"""A bird that lies thawed is not passed over."""
LEFT_OPEN_POINTS = 15
GOING_OVER_POINTS = 1200
FEWEST_GOING_OVER = 4
PARTNER_POINTS = 8


def waste_points(thawing: bool) -> int:
    """Points for a container that goes over; of what lay thawed when the menu began, more."""
    return THAWED_WASTE_POINTS if thawing else WASTE_POINTS


MILLION = 10**6
"""The largest share off is a column of millionths."""

NEAR_ENOUGH = 10**5
"""A share's millionths are kept as a fraction whose upper number has at least so many parts; cut down, never up."""


class Band(Struct, frozen=True):
    """Between which amounts a menu's draw of a product is even, what standing use takes being off already.

    low, high: in units, of which ``units`` make a grain, so that nothing is rounded. worth: share of one unit outside.
    """

    low: int
    high: int
    units: int
    worth: Fraction

    @property
    def cost(self) -> float:
        """Of one unit outside (hundredths of a point)."""
        return float(OFF_POINTS * POINT * self.worth)

    @property
    def millionths(self) -> tuple[int, int]:
        """Of one unit outside, in millionths of the share, as (parts, of how many): cut down, never up."""
        many = 1
        while self.worth * MILLION * many < NEAR_ENOUGH:
            many *= 10
        return int(self.worth * MILLION * many), many

    def off(self, grains: float) -> float:
        """Units that a draw lies outside."""
        return max(0.0, self.low - grains * self.units, grains * self.units - self.high)

    def part(self, off: float) -> int:
        """Millionths of the share that so many units outside are, as the model's rows have it."""
        parts, many = self.millionths
        return max(0, ceil((parts * off - (many - 1)) / many - 1e-9))


class Rule(Struct, frozen=True, order=True):
    """The house rule that a constraint keeps: its kind in the table of rules, and what of it.

    what: its tag, dish or product. day: counted from the first, -1 where it is about no one day.
    """

    kind: str
    what: str = ""
    day: int = -1


class Missed(Struct, frozen=True):
    """What a long menu may miss at a price: a promise about the days from first to last (counted from the first).

    what: the tag or the dish. of: what it is for ('for Easter'), where that must be said.
    """

    first: int
    last: int
    what: str
    of: str = ""


SHELF = "never more than is on the shelf"
"""Said of the constraints that keep to the shelf."""


class MenuModel(Struct):
    """A model with the meaning of its columns.

    cook: column by candidate. option: columns by (candidate, choice). open: by (table, role).
    opened: by (product, size, day). draws: by product, (day, column, grains).
    off: by product. parts: wish -> columns whose cost belongs to it.
    day_of, reach: by column, the day that it is about, and how many days back a decision can still change it.
    missed: by column, the promise that it misses. even: row -> (product, 1 where the row holds its draw up, -1 where it
    holds it down). sharper: rows of evenness that follow from these and whole dishes.
    giving_way: whether rules may give way here: a dish that one forbids outright is then only noted in ``struck``.
    """

    problem: MenuProblem
    giving_way: bool = False
    linear: LinearModel = field(default_factory=LinearModel)
    cook: list[int] = field(default_factory=list)
    option: dict[tuple[int, int], list[int]] = field(default_factory=dict)
    open: dict[tuple[int, Role], int] = field(default_factory=dict)
    opened: dict[tuple[int, int, int], int] = field(default_factory=dict)
    draws: list[list[tuple[int, int, int]]] = field(default_factory=list)
    off: dict[int, int] = field(default_factory=dict)
    parts: dict[str, list[int]] = field(default_factory=dict)
    largest: int = -1
    missed: dict[int, Missed] = field(default_factory=dict)
    struck: dict[Rule, set[int]] = field(default_factory=dict)
    even: dict[int, tuple[int, int]] = field(default_factory=dict)
    sharper: list[int] = field(default_factory=list)
    day_of: list[int] = field(default_factory=list)
    reach: list[int] = field(default_factory=list)

    def column(
        self, day: int, wish: str = "", lo: int = 0, hi: int = 1, cost: float = 0, implied: bool = False, reach: int = 0
    ) -> int:
        """A new column about a day (-1: about the whole horizon), its cost counted under a wish.

        reach: how many days back a decision can still change it (what is open, what is left).
        """
        col = self.linear.column(lo, hi, cost, implied)
        self.day_of.append(day)
        self.reach.append(reach)
        if wish:
            self.parts.setdefault(wish, []).append(col)
        return col

    def constrain(
        self, kept: Rule | str, terms: Iterable[tuple[int, float]], lo: float = -ANY, hi: float = ANY
    ) -> None:
        """Hold the sum of coefficient x column between lo and hi. kept: the rule, or what else it is for."""
        self.linear.constrain(kept, terms, lo, hi)

    @property
    def places(self) -> np.ndarray:
        """The columns of places left open, by their numbers."""
        return np.array(sorted(self.open.values()), dtype=int)

    @property
    def dishes(self) -> np.ndarray:
        """The columns of dishes cooked, by their numbers."""
        return np.array(self.cook, dtype=int)

    def strike(self, col: int, rule: Rule) -> None:
        """Forbid a dish outright."""
        if self.giving_way:
            self.struck.setdefault(rule, set()).add(col)
        else:
            self.linear.hi[col] = 0

    def taken(self, index: int) -> list[tuple[int, int, int]]:
        """(day, column, grains) of what leaves the shelf: openings of whole containers, or draws."""
        sizes = self.problem.stocks[index].sizes
        opened = [(day, col, sizes[size][1]) for (product, size, day), col in self.opened.items() if product == index]
        return opened or self.draws[index]

    def may_miss(
        self, promise: Missed, most: int, points: int = MISSED_POINTS, short: bool = False
    ) -> list[tuple[int, int]]:
        """On long horizons, a term by which a promise may be missed at a great price, never silently.

        Months ahead the shelf may hold nothing that could keep it; within a week that is a clash to be told.
        short: whether it may be missed on a short one as well.
        """
        if self.problem.days <= DAYS_IN_ONE_PIECE and not short:
            return []
        col = self.column(promise.last, "missed", hi=most, cost=points * POINT)
        self.missed[col] = promise
        return [(col, 1)]


Promise = Callable[[MenuModel], None]
