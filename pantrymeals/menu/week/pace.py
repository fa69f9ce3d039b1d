"""The common pace: by what one factor all even shares are scaled, so that the table can follow.

A larder often holds more of most things than its meals can take. Then 'evenly' means in the same proportion: one
pace (lambda, 0 to 1, in thousandths) for all. It is chosen before the menu, as the pace at which the shares could be
followed best, all places filled, if parts of dishes could be cooked and days were not told apart; what that means
exactly stands in DEVELOPERS.md ('What a menu costs'), and the checker works it out a second time.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import lcm

from pantrymeals.larder.evenness import worth
from pantrymeals.larder.table import days_between
from pantrymeals.menu.week.model import OFF_POINTS, OPEN_ROLE_POINTS, Band
from pantrymeals.menu.week.possible import Possible
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.records import Role
from pantrymeals.solving.linear_model import ANY, LinearModel, arrays
from pantrymeals.solving.solvers import linear_relaxation

PACES = 1000
SOONER = 1e-6
"""What the whole pace is worth by itself: of several that are as good the greatest is taken."""


def bands_at(problem: MenuProblem, pace: Fraction) -> dict[int, Band]:
    """The whole steps around each averaged product's share at a pace, less what standing use takes."""
    out = {}
    for index, stock in enumerate(problem.stocks):
        if stock.averaged:
            low, high = stock.band_at(pace)
            stood = stock.stood * stock.container
            units = lcm((low * stock.container - stood).denominator, (high * stock.container - stood).denominator)
            out[index] = Band(
                int((low * stock.container - stood) * units),
                int((high * stock.container - stood) * units),
                units,
                stock.worth_at(pace) / (stock.container * units),
            )
    return out


def common_pace(problem: MenuProblem) -> Fraction:
    """The pace, in thousandths, at which the shares are followed best when parts of dishes may be cooked."""
    linear = LinearModel()
    pace = linear.column(cost=-SOONER, implied=True)
    takes: dict[str, list[tuple[int, Fraction]]] = defaultdict(list)
    cooked: dict[str, list[int]] = defaultdict(list)
    for members, many in _alike(problem):
        _laid(linear, problem.tables[members[0].table].roles, members, many, takes, cooked)
    for name, columns in cooked.items():
        dish = problem.household.dishes[name]
        apart = days_between(problem.household, dish)
        if apart > 1 or dish.role not in ("bread", "fruit"):
            most = -(-problem.days // max(1, apart))
            linear.constrain("days between repeats", [(col, 1) for col in columns], hi=most)
    for stock in problem.stocks:
        use = [(col, float(amount / stock.exact_container)) for col, amount in takes[stock.name]]
        linear.constrain("never more than is on the shelf", use, hi=float(stock.there / stock.exact_container))
        if stock.averaged:
            off = linear.column(hi=ANY, cost=float(worth(stock.share, stock.step)), implied=True)
            share, stood = float(stock.share), float(stock.stood)
            linear.constrain("evenness", [(off, 1), *use, (pace, -share)], lo=-stood)
            linear.constrain("evenness", [(off, 1), *((c, -g) for c, g in use), (pace, share)], lo=stood)
    x = linear_relaxation(arrays(linear)).x
    return Fraction(round(min(1.0, max(0.0, x[pace])) * PACES), PACES)


def _alike(problem: MenuProblem) -> list[tuple[list[Possible], int]]:
    """What could stand at a table, and at how many tables just that: those need not be told apart."""
    by_table: dict[int, list[Possible]] = defaultdict(list)
    for one in problem.possible:
        by_table[one.table].append(one)
    found: dict[tuple[object, ...], tuple[list[Possible], int]] = {}
    for index, members in by_table.items():
        key = (problem.tables[index].roles, tuple((one.dish.name, id(one.uses)) for one in members))
        same, many = found.get(key, (members, 0))
        found[key] = same, many + 1
    return list(found.values())


def _laid(
    linear: LinearModel,
    roles: tuple[Role, ...],
    members: list[Possible],
    many: int,
    takes: dict[str, list[tuple[int, Fraction]]],
    cooked: dict[str, list[int]],
) -> None:
    """Columns for parts of dishes at so many tables that are alike: each role filled once, or open at its price."""
    filled: dict[Role, list[tuple[int, float]]] = {role: [] for role in roles}
    for one in members:
        col = linear.column(hi=many, implied=True)
        cooked[one.dish.name].append(col)
        for role in roles:
            if role == one.dish.role or role in one.dish.covers:
                filled[role].append((col, 1))
        for use in one.uses:
            columns = [col] if len(use) == 1 else [linear.column(hi=many, implied=True) for _ in use]
            if len(use) > 1:
                linear.constrain("one product for each use", [*((y, 1) for y in columns), (col, -1)], 0, 0)
            for y, (option, amount) in zip(columns, use, strict=True):
                takes[option.product].append((y, amount))
    for role, terms in filled.items():
        left_open = linear.column(hi=many, cost=OPEN_ROLE_POINTS[role] / OFF_POINTS, implied=True)
        linear.constrain("every role filled once", [*terms, (left_open, 1)], many, many)
