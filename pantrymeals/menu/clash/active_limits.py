"""Leaves out of a menu question what cannot matter: products of which there is enough whatever is cooked.

Each place of the menu has at most one dish. When the greediest dish of every place, each opening
containers of its own, cannot empty the shelf on any day, the product limits nothing, and a use that
may take it can always be met.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.menu.week.problem import Candidate, Draw, MenuProblem


class TrueSupply(Struct, frozen=True):
    """What of a product is really there by the end of each day, and what standing use takes (grains)."""

    supply: tuple[int, ...]
    standing: tuple[int, ...]


def only_active_limits(problem: MenuProblem, truth: Mapping[int, TrueSupply]) -> MenuProblem:
    """The same question, its dishes drawing only on products that could run short.

    truth: by product, what is really there.
    """
    greediest = _greediest(problem)
    enough = frozenset(
        index
        for index in range(len(problem.stocks))
        if _always_enough(problem, index, truth[index], greediest.get(index, {}))
    )
    return replace(problem, candidates=tuple(_lighter(c, enough) for c in problem.candidates))


def _greediest(problem: MenuProblem) -> dict[int, dict[tuple[int, str], int]]:
    """By product and place: the most grains that a dish there can open or take."""
    out: dict[int, dict[tuple[int, str], int]] = {}
    for candidate in problem.candidates:
        total: dict[int, int] = {}
        for draw in [*candidate.fixed, *(d for choice in candidate.choices for d in choice)]:
            stock = problem.stocks[draw.product]
            grains = -(-draw.grains // stock.container) * stock.container if stock.whole else draw.grains
            total[draw.product] = total.get(draw.product, 0) + grains
        for product, grains in total.items():
            places = out.setdefault(product, {})
            place = (candidate.table, candidate.role)
            places[place] = max(places.get(place, 0), grains)
    return out


def _always_enough(
    problem: MenuProblem, index: int, truth: TrueSupply, greediest: Mapping[tuple[int, str], int]
) -> bool:
    stock = problem.stocks[index]
    if len(stock.sizes) > 1:
        return False
    by_day = [0] * problem.days
    for (table, _), grains in greediest.items():
        by_day[problem.table_day[table]] += grains
    total = 0
    for day, grains in enumerate(by_day):
        if grains and day < stock.thaw:
            return False
        total += grains
        if total > truth.supply[day] - truth.standing[day]:
            return False
    return True


def _lighter(candidate: Candidate, enough: frozenset[int]) -> Candidate:
    fixed: tuple[Draw, ...] = tuple(d for d in candidate.fixed if d.product not in enough)
    choices = tuple(c for c in candidate.choices if not any(d.product in enough for d in c))
    return replace(candidate, fixed=fixed, choices=choices)
