"""The smallest list of things to let in so that N days are reached: every role filled, standing use whole.

What standing use lacks must be let in: nothing stands in for coffee. What the menu lacks is chosen by
a program: a yes or no for each product with a store price, and how many whole containers, there
on the first day. Where the question is small that program holds the whole menu, and its answer is
the smallest. Else it holds totals: a list that totals find too small is too small; one that they allow is
tried on a whole menu, and where that fails, something beyond it is asked for and the search goes on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from math import ceil
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.model import MenuModel
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.no_store.runs import SMALL, fits, role_totals, rooms
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.plans.no_store import AllowedItem, AllowedList, StapleRow
from pantrymeals.records import Arrival, Household
from pantrymeals.solving.linear_model import Arrays, LinearModel, arrays
from pantrymeals.solving.solvers import Found

Aim = Literal["fewest things", "least money"]
LetIn = Mapping[str, tuple[int, int]]
"""Product -> its columns: let in or not, and how many containers."""

_PLENTY = 1000
_MOST_TRIES = 40
_A_THING = 10**6
"""Price of one more thing when things are counted, in cents; far above any amount of money."""
_TOO_LONG_TO_TRY = 4 * SMALL


class ListWanted(Struct, frozen=True):
    """What the list is for. standing: whole containers that each standing use lacks by the end.

    menu_known: a menu without an open role is at hand. time: what the search for this list has.
    """

    household: Household
    first: date
    days: int
    standing: Mapping[str, int]
    menu_known: bool
    time: SearchTime


def what_standing_lacks(model: tuple[StapleRow, ...]) -> dict[str, int]:
    """Whole containers to let in for standing use, by product."""
    return {row.product: ceil(row.lacking) for row in model if row.lacking > 0}


def may_be_bought(household: Household) -> tuple[str, ...]:
    """Products with a store price that may stand on a menu."""
    return tuple(n for n, p in household.products.items() if p.price_usd is not None and p.on_menus)


def smallest_list(wanted: ListWanted, aim: Aim) -> AllowedList:
    """The list with the fewest things, or the least money, that reaches the days.

    Among lists of equally few things the cheapest. Where only totals were asked, the amounts are
    the least that totals need, and ``proven`` speaks of which things are on the list alone.
    """
    if wanted.menu_known:
        return _listed(wanted, aim, {}, True)
    if wanted.time.enough():
        return _not_settled(wanted, aim, False)
    names = may_be_bought(wanted.household)
    generous = _with_plenty(wanted.household, names, wanted.first)
    problem = wanted.time.looked_at(menu_problem(generous, MenuRequest(wanted.first, wanted.days)))
    if len(problem.candidates) <= SMALL:
        found = _by_whole_menus(wanted, problem, names, aim)
        bought = _read(found[0], found[1])
        if bought is None:
            return _not_settled(wanted, aim, found[0].infeasible)
        return _listed(wanted, aim, bought, found[0].settled)
    return _by_trying(wanted, problem, names, aim)


def _by_trying(wanted: ListWanted, problem: MenuProblem, names: tuple[str, ...], aim: Aim) -> AllowedList:
    """Totals propose a list, a whole menu tries it, until one holds."""
    too_few: list[frozenset[str]] = []
    for _ in range(_MOST_TRIES):
        if wanted.time.over():
            break
        found, columns = _by_totals(wanted, problem, names, aim, too_few)
        bought = _read(found, columns)
        if bought is None:
            return _not_settled(wanted, aim, found.infeasible)
        things = frozenset(bought) | frozenset(wanted.standing)
        enough = _try(wanted, things)
        if enough is not False:
            return _listed(wanted, aim, bought, enough is True and found.settled and aim == "fewest things")
        too_few.append(things)
    return _not_settled(wanted, aim, False)


def _not_settled(wanted: ListWanted, aim: Aim, none_does: bool) -> AllowedList:
    """What standing use lacks, which is on every list; none_does: no list of things with a price is enough."""
    return replace(_listed(wanted, aim, {}, none_does), reached=False)


def _with_plenty(household: Household, names: Iterable[str], day: date) -> Household:
    """The household with far more than enough of some products from ``day`` on."""
    products = household.products
    more = tuple(Arrival(n, products[n].sizes[0].content * _PLENTY, day, "let in") for n in names)
    return replace(household, arrivals=(*household.arrivals, *more))


def _try(wanted: ListWanted, names: frozenset[str]) -> bool | None:
    """Whether a whole menu exists when these come in freely; None when it is too long to tell."""
    household = _with_plenty(wanted.household, sorted(names), wanted.first)
    problem = wanted.time.looked_at(menu_problem(household, MenuRequest(wanted.first, wanted.days)))
    return None if len(problem.candidates) > _TOO_LONG_TO_TRY else fits(problem, wanted.time)


def _let_in(wanted: ListWanted, linear: LinearModel, names: Iterable[str], aim: Aim) -> dict[str, tuple[int, int]]:
    """Columns for letting things in, priced by the aim; those that standing use lacks are in already."""
    columns = {}
    for name in names:
        there = name in wanted.standing
        price = wanted.household.products[name].price_usd or Fraction(0)
        yes = linear.column(int(there), 1, 0 if there else _A_THING if aim == "fewest things" else 1)
        count = linear.column(0, _PLENTY, max(1, round(price * 100)))
        linear.constrain("let in", [(count, 1), (yes, -_PLENTY)], hi=0)
        columns[name] = (yes, count)
    return columns


def _by_totals(
    wanted: ListWanted, problem: MenuProblem, names: tuple[str, ...], aim: Aim, too_few: list[frozenset[str]]
) -> tuple[Found, LetIn]:
    """The list that totals find smallest; dishes may be cooked in parts, things are let in whole."""
    roles = role_totals(problem)
    linear = roles.totals.linear
    columns = _let_in(wanted, linear, names, aim)
    for things in too_few:
        linear.constrain("something more", [(yes, 1) for n, (yes, _) in columns.items() if n not in things], lo=1)
    for index, stock in enumerate(problem.stocks):
        if stock.name in columns:
            parts = sum(p.grains for p in stock.parts)
            for stretch, room in rooms(problem, stock):
                cols = [(col, g) for s, col, g in roles.totals.draws[index] if s <= stretch]
                _own_shelf(linear, stock, columns, cols, room, parts)
    whole = np.zeros(linear.width, bool)
    whole[_all_columns(columns)] = True
    part = _priced(replace(roles.arrays(), whole=whole), linear, columns, roles.totals.open)
    return wanted.time.solved(part, in_parts=True), columns


def _by_whole_menus(wanted: ListWanted, problem: MenuProblem, names: tuple[str, ...], aim: Aim) -> tuple[Found, LetIn]:
    """The smallest list by a program that holds the whole menu."""
    model = build(problem, {}, PROMISES)
    columns = _let_in(wanted, model.linear, names, aim)
    for index, stock in enumerate(problem.stocks):
        if stock.name in columns:
            taken, parts = _taken(model, index, stock)
            for day in range(problem.days):
                cols = [(col, g) for d, col, g in taken if d <= day]
                room = stock.supply(day) - stock.standing[day]
                if cols and (day == problem.days - 1 or any(d == day + 1 for d, _ in stock.arrivals)):
                    _own_shelf(model.linear, stock, columns, cols, room, parts)
    part = arrays(model.linear)
    return wanted.time.solved(_priced(part, model.linear, columns, list(model.open.values()))), columns


def _taken(model: MenuModel, index: int, stock: IntegerStock) -> tuple[list[tuple[int, int, int]], int]:
    """(day, column, grains) of what leaves the shelf, and grains of part jars that spare it."""
    opened = any(product == index for product, _, _ in model.opened)
    return model.taken(index), 0 if opened else sum(p.grains for p in stock.parts)


def _own_shelf(
    linear: LinearModel, stock: IntegerStock, columns: LetIn, cols: list[tuple[int, int]], room: int, parts: int
) -> None:
    """The menu takes what the household's own shelf leaves it and what is let in, no more.

    room: on the generous shelf, where standing use is whole; what it lacks is let in apart.
    """
    if cols:
        own = max(0, room - _PLENTY * stock.container) + parts
        linear.constrain("let in", [*cols, (columns[stock.name][1], -stock.container)], hi=own)


def _all_columns(columns: LetIn) -> list[int]:
    return [column for pair in columns.values() for column in pair]


def _priced(part: Arrays, linear: LinearModel, columns: LetIn, open_columns: list[int]) -> Arrays:
    """The model with no role open and no price but that of what is let in."""
    mine = _all_columns(columns)
    cost = np.zeros(linear.width)
    cost[mine] = np.array(linear.cost, float)[mine]
    hi = part.hi.copy()
    hi[open_columns] = 0
    return replace(part, cost=cost, hi=hi, fixed_cost=0.0)


def _read(found: Found, columns: LetIn) -> dict[str, int] | None:
    """Product -> containers let in for the menu; None when no list was found."""
    x = found.x
    if x is None:
        return None
    return {n: round(x[count]) for n, (_, count) in columns.items() if x[count] > 0.5}


def _listed(wanted: ListWanted, aim: Aim, for_menu: Mapping[str, int], proven: bool) -> AllowedList:
    items = []
    for name in dict.fromkeys([*wanted.standing, *for_menu]):
        count = wanted.standing.get(name, 0) + for_menu.get(name, 0)
        price = wanted.household.products[name].price_usd
        cost = None if price is None else price * count
        uses = [w for w, there in (("standing use", wanted.standing), ("the menu", for_menu)) if name in there]
        items.append(AllowedItem(name, Fraction(count), cost, f"for {' and '.join(uses)}"))
    return AllowedList(aim, tuple(items), True, proven)
