"""The smallest list of things to let in so that N days are reached: every role filled, standing use whole.

What standing use lacks must be let in: nothing stands in for coffee. What the menu lacks is chosen
by a program over totals: a yes or no for each product with a store price, and how many containers.
A list that totals find too small is too small; one that they allow is tried on a whole menu, and
where that fails, something beyond it is asked for and the search goes on.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from math import ceil
from typing import Literal

import numpy as np

from pantrymeals.no_store_plans import AllowedItem, AllowedList, StapleRow
from pantrymeals.planning.no_store.runs import SMALL, fits, role_totals, rooms
from pantrymeals.planning.problem import MenuProblem, menu_problem
from pantrymeals.planning.request import MenuRequest
from pantrymeals.planning.rows import Arrays, arrays
from pantrymeals.planning.solvers import Found, run_highs
from pantrymeals.records import Arrival, Household

Aim = Literal["fewest things", "least money"]
_PLENTY = 1000
_MOST_TRIES = 40
_A_THING = 10**6
"""Price of one more thing when things are counted (cents); far above any amount of money."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the list is for. standing: containers each standing use lacks by the end."""

    household: Household
    first: date
    days: int
    standing: Mapping[str, int]
    menu_known: bool
    until: float


def what_standing_lacks(household: Household, rows: tuple[StapleRow, ...]) -> dict[str, int]:
    """Whole containers to let in for standing use, by product."""
    return {row.product: ceil(row.lacking) for row in rows if row.lacking > 0}


def may_be_bought(household: Household) -> tuple[str, ...]:
    """Products with a store price that may stand on a menu."""
    return tuple(n for n, p in household.products.items() if p.price_usd is not None and p.on_menus)


def smallest_list(wanted: Wanted, aim: Aim) -> AllowedList:
    """The list with the fewest things, or the least money, that reaches the days."""
    if wanted.menu_known:
        return _listed(wanted, aim, {}, True, True)
    names = may_be_bought(wanted.household)
    generous = _with_plenty(wanted.household, names, wanted.first)
    problem = menu_problem(generous, MenuRequest(wanted.first, wanted.days))
    not_enough: list[frozenset[str]] = []
    for _ in range(_MOST_TRIES):
        bought = _by_totals(wanted, problem, names, aim, not_enough)
        if bought is None:
            return AllowedList(aim, (), False, time.monotonic() < wanted.until)
        enough = _try(wanted, frozenset(bought) | frozenset(wanted.standing))
        if enough is not False:
            return _listed(wanted, aim, bought, True, enough is True)
        not_enough.append(frozenset(bought) | frozenset(wanted.standing))
    return AllowedList(aim, (), False, False)


def _with_plenty(household: Household, names: tuple[str, ...], day: date) -> Household:
    """The household with far more than enough of some products from ``day`` on."""
    products = household.products
    more = tuple(Arrival(n, products[n].sizes[0].content * _PLENTY, day, "let in") for n in names)
    return replace(household, arrivals=(*household.arrivals, *more))


def _try(wanted: Wanted, names: frozenset[str]) -> bool | None:
    """Whether a whole menu exists when these come in freely; None when it is too long to tell."""
    household = _with_plenty(wanted.household, tuple(sorted(names)), wanted.first)
    problem = menu_problem(household, MenuRequest(wanted.first, wanted.days))
    if len(problem.candidates) > 4 * SMALL:
        return None
    return fits(problem, max(0.5, wanted.until - time.monotonic()))


def _by_totals(
    wanted: Wanted, problem: MenuProblem, names: tuple[str, ...], aim: Aim, not_enough: list[frozenset[str]]
) -> dict[str, int] | None:
    """Product -> containers that the best totals let in for the menu; None when no list does it."""
    roles = role_totals(problem)
    sheet = roles.totals.sheet
    columns: dict[str, tuple[int, int]] = {}
    for name in names:
        forced = name in wanted.standing
        things = _A_THING if aim == "fewest things" else 1
        yes = sheet.column(1 if forced else 0, 1, 0 if forced else things)
        price = wanted.household.products[name].price_usd or Fraction(0)
        count = sheet.column(0, _PLENTY, max(1, round(price * 100)))
        sheet.row("let in", [(count, 1), (yes, -_PLENTY)], hi=0)
        columns[name] = (yes, count)
    for too_few in not_enough:
        sheet.row("something more", [(yes, 1) for n, (yes, _) in columns.items() if n not in too_few], lo=1)
    _own_shelf_rows(problem, roles.totals.draws, sheet, columns)
    part = _only_counts_whole(roles.arrays(), arrays(sheet), columns, roles.open_columns)
    found = Found()
    run_highs(part, found, threading.Event(), max(0.5, wanted.until - time.monotonic()), 1)
    if found.x is None:
        return None
    return {n: round(found.x[c]) for n, (yes, c) in columns.items() if found.x[yes] > 0.5 and found.x[c] > 0.5}


def _own_shelf_rows(problem: MenuProblem, draws, sheet, columns) -> None:  # type: ignore[no-untyped-def]
    """What the menu takes stays within the shelf and what is let in for it."""
    for index, goods in enumerate(problem.goods):
        if goods.name not in columns:
            continue
        let_in, parts = columns[goods.name][1], sum(p.grains for p in goods.parts)
        for stretch, room in rooms(problem, goods):
            cols = [(col, g) for s, col, g in draws[index] if s <= stretch]
            own = max(0, room - _PLENTY * goods.container) + parts
            if cols:
                sheet.row("let in", [*cols, (let_in, -goods.container)], hi=own)


def _only_counts_whole(
    shelf: Arrays, sheet: Arrays, columns: Mapping[str, tuple[int, int]], open_columns: list[int]
) -> Arrays:
    """The sheet with no role open, priced by what is let in, whole numbers asked of that alone."""
    mine = [c for pair in columns.values() for c in pair]
    whole = np.zeros_like(sheet.whole)
    whole[mine] = True
    cost = np.zeros_like(sheet.cost)
    cost[mine] = sheet.cost[mine]
    hi = sheet.hi.copy()
    hi[open_columns] = 0
    return replace(sheet, whole=whole, cost=cost, hi=hi, row_hi=shelf.row_hi, fixed_cost=0.0)


def _listed(
    wanted: Wanted, aim: Aim, for_menu: Mapping[str, int], reached: bool, proven: bool
) -> AllowedList:
    items = []
    for name in dict.fromkeys([*wanted.standing, *for_menu]):
        count = wanted.standing.get(name, 0) + for_menu.get(name, 0)
        price = wanted.household.products[name].price_usd
        why = " and ".join(
            words
            for words, there in (("standing use", name in wanted.standing), ("the menu", name in for_menu))
            if there
        )
        items.append(AllowedItem(name, Fraction(count), None if price is None else price * count, f"for {why}"))
    return AllowedList(aim, tuple(items), reached, proven)
