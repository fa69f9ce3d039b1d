"""The common pace: by what one factor all even shares are scaled, so that the table can follow.

A larder often holds more than its household can eat by the deadlines. Then 'evenly' means in the
same proportion: one pace (lambda, at most 1) for all. It is chosen before the menu, by a relaxation
that may cook parts of dishes, as the pace at which the shares are followed best; the menu's bands
are the whole containers around the shares at that pace.
"""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.larder.evenness import band, worth
from pantrymeals.menu.week.constraints import OFF_POINTS, POINT, Band, Promise, build
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.solving.linear_model import arrays
from pantrymeals.solving.solvers import relaxed

PACES = 1000


def worth_millionths(goods: IntegerStock, share: Fraction) -> int:
    """What one grain outside the band weighs, in millionths of the share."""
    return max(1, round(10**6 * worth(share, goods.step) / goods.container))


def bands_at(problem: MenuProblem, pace: Fraction) -> dict[int, Band]:
    """The whole containers around each averaged product's share at a pace."""
    out = {}
    for index, goods in enumerate(problem.goods):
        if goods.averaged:
            share = goods.share_at(pace)
            low, high = band(share, goods.step, goods.stood)
            out[index] = Band(low * goods.container, high * goods.container, worth_millionths(goods, share))
    return out


def common_pace(problem: MenuProblem, promises: tuple[Promise, ...]) -> Fraction:
    """The pace, in thousandths, at which the shares are followed best when parts of dishes may be cooked."""
    rows = build(problem, {}, promises)
    pace = rows.column(-1, hi=PACES, implied=True)
    for index, goods in enumerate(problem.goods):
        if not goods.averaged or not rows.draws[index]:
            continue
        share_grains = round(goods.share * goods.container)
        use = [(c, g * PACES) for _, c, g in rows.draws[index]]
        stood = goods.standing[-1] * PACES
        cost = max(1, OFF_POINTS * POINT * worth_millionths(goods, goods.share) // 10**6)
        off = rows.column(-1, hi=10**9, cost=1, implied=True)
        rows.sheet.row(
            "evenness", [(off, PACES), *((c, g * cost) for c, g in use), (pace, -share_grains * cost)], lo=-stood * cost
        )
        rows.sheet.row(
            "evenness", [(off, PACES), *((c, -g * cost) for c, g in use), (pace, share_grains * cost)], lo=stood * cost
        )
    _, x, _ = relaxed(arrays(rows.sheet))
    return Fraction(round(x[pace]), PACES)
