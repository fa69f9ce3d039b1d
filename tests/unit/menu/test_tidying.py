"""A container that a search opened for nothing is not opened: it would stand in the way of a dish that needs it."""

from __future__ import annotations

import threading
from fractions import Fraction

import numpy as np

from pantrymeals.menu.long.long_table import LongTable
from pantrymeals.menu.long.settling import settle
from pantrymeals.menu.long.tidying import tidy
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.pace import bands_at
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.solving.cutting import cut
from pantrymeals.solving.solvers import linear_relaxation, solved
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, lot

DAYS, JARS = 13, 7


def laid() -> LongTable:
    """Thirteen days of half a jar, and just as many jars as that takes."""
    house = kitchen(
        products=[jar("Sauce", opened_days=2)],
        lots=[lot("Sauce", JARS)],
        dishes=[dish("Half a jar", ["1/2 qt Sauce"], days_between=1)],
    )
    problem = menu_problem(house, MenuRequest(MONDAY, DAYS))
    bands = bands_at(problem, Fraction(1))
    table = LongTable(build(problem, bands, PROMISES), bands, 1)
    best = solved(table.linear, 60).x
    assert best is not None
    put(table, best)
    assert not table.x[table.open_cols].any()
    return table


def put(table: LongTable, x: np.ndarray) -> None:
    table.x, table.sums, table.cost = x, table.entries.sums(x), table.price(x)


def wasteful(table: LongTable) -> np.ndarray:
    """The same menu without its last supper, and the jar of that opened on the second day for nothing."""
    model, x = table.model, table.x.copy()
    for number, candidate in enumerate(model.problem.candidates):
        if candidate.day == DAYS - 1:
            x[model.cook[number]] = 0
            x[model.open[candidate.table, candidate.role]] = 1
    by_day = {day: col for (_, _, day), col in model.opened.items()}
    x[by_day[DAYS - 1]] = 0
    x[by_day[1]] = 1
    keep = np.flatnonzero(table.implied & ~table.whole_horizon)
    x[keep] = linear_relaxation(cut(table.linear, table.entries, keep, x, table.entries.sums(x))).x
    table.settle(x)
    assert table.holds(x)
    return x


def opened(table: LongTable) -> float:
    return float(sum(table.x[col] for col in table.model.opened.values()))


def test_what_was_opened_for_nothing_is_closed_again() -> None:
    table = laid()
    put(table, wasteful(table))
    assert opened(table) == JARS
    before = table.cost
    tidy(table)
    assert opened(table) == JARS - 1
    assert table.holds(table.x)
    assert table.cost < before


def test_a_place_that_lacks_a_jar_opened_for_nothing_is_filled_and_not_called_impossible() -> None:
    table = laid()
    put(table, wasteful(table))
    assert table.x[table.open_cols].sum() == 1
    assert settle(table, threading.Event()) == frozenset()
    assert not table.x[table.open_cols].any()


def test_a_menu_that_opens_what_it_needs_stays_as_it_is() -> None:
    table = laid()
    before = table.x.copy()
    tidy(table)
    assert opened(table) == JARS
    assert table.price(table.x) <= table.price(before)
