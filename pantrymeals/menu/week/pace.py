"""The common pace: by what one factor all even shares are scaled, so that the table can follow.

A larder often holds more than its household can eat by the deadlines. Then 'evenly' means in the
same proportion: one pace (lambda, at most 1) for all. It is chosen before the menu, by a relaxation
that may cook parts of dishes, as the pace at which the shares are followed best; the menu's bands
are the whole containers around the shares at that pace.
"""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.larder.evenness import band, worth
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.model import OFF_POINTS, POINT, Band, Promise
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.solving.linear_model import arrays
from pantrymeals.solving.solvers import linear_relaxation

PACES = 1000


def worth_millionths(stock: IntegerStock, share: Fraction) -> int:
    """What one grain outside the band weighs, in millionths of the share."""
    return max(1, round(10**6 * worth(share, stock.step) / stock.container))


def bands_at(problem: MenuProblem, pace: Fraction) -> dict[int, Band]:
    """The whole containers around each averaged product's share at a pace."""
    out = {}
    for index, stock in enumerate(problem.stocks):
        if stock.averaged:
            share = stock.share_at(pace)
            low, high = band(share, stock.step, stock.stood)
            out[index] = Band(low * stock.container, high * stock.container, worth_millionths(stock, share))
    return out


def common_pace(problem: MenuProblem, promises: tuple[Promise, ...]) -> Fraction:
    """The pace, in thousandths, at which the shares are followed best when parts of dishes may be cooked."""
    model = build(problem, {}, promises)
    pace = model.column(-1, hi=PACES, implied=True)
    for index, stock in enumerate(problem.stocks):
        if not stock.averaged or not model.draws[index]:
            continue
        share_grains = round(stock.share * stock.container)
        use = [(c, g * PACES) for _, c, g in model.draws[index]]
        stood = stock.standing[-1] * PACES
        cost = max(1, OFF_POINTS * POINT * worth_millionths(stock, stock.share) // 10**6)
        off = model.column(-1, hi=10**9, cost=1, implied=True)
        model.constrain(
            "evenness", [(off, PACES), *((c, g * cost) for c, g in use), (pace, -share_grains * cost)], lo=-stood * cost
        )
        model.constrain(
            "evenness", [(off, PACES), *((c, -g * cost) for c, g in use), (pace, share_grains * cost)], lo=stood * cost
        )
    return Fraction(round(linear_relaxation(arrays(model.linear)).x[pace]), PACES)
