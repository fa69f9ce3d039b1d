"""The work of a long menu: one lane proves from totals, then both improve, until time or the gap is reached."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from pantrymeals.planning.house_rules import PROMISES
from pantrymeals.planning.laying import Laying
from pantrymeals.planning.long_table import LongTable, prove_totals
from pantrymeals.planning.menu_rows import POINT, MenuRows, build
from pantrymeals.planning.pace import bands_at
from pantrymeals.planning.problem import MenuProblem
from pantrymeals.planning.request import Watch
from pantrymeals.planning.rows import hopeless_rows
from pantrymeals.planning.solvers import Found, Linked
from pantrymeals.planning.totals import guide, pace_of_totals

LAYING_PART = 0.5
"""Of the time: for laying the weeks in turn."""

PROVING_PART = 0.2
"""Of the time: at most for the bound from whole-number totals."""

READING_PART = 0.02
"""Of the time: kept for writing the plan down."""


@dataclass(frozen=True, slots=True)
class LongAnswer:
    """The best long menu: its sheet, columns, pace, cost and bound (sheet units)."""

    rows: MenuRows
    x: np.ndarray
    pace: Fraction
    cost: float
    bound: float


def long_menu(problem: MenuProblem, watch: Watch, begun: float) -> LongAnswer:
    """The best menu found in the time asked, with a bound from totals.

    Where no menu fits or none was found, its columns keep not all rows: see ``rows.holds``.
    """
    asked = problem.request
    seconds = asked.seconds
    until = begun + seconds * (1 - READING_PART)
    watch.progress("how often each dish, how much of each product", None, None, None)
    pace = pace_of_totals(problem)
    bands = bands_at(problem, pace)
    best = guide(problem, bands)
    rows = build(problem, bands, PROMISES)
    table = LongTable(rows, bands, asked.seed)
    if hopeless_rows(table.sheet).size:
        return LongAnswer(rows, table.x, pace, table.cost, best.bound)
    proof = Found()
    proof.proved(best.bound, "totals")
    stop = threading.Event()

    laid = threading.Event()

    def proving() -> None:
        left = min(seconds * PROVING_PART, until - time.monotonic())
        prove_totals(rows, bands, left, Linked(stop), proof)
        laid.wait()
        table.improve(until, stop, lane=1)

    def laying() -> None:
        Laying(table, best.drawn, best.prices(rows)).lay(begun + seconds * LAYING_PART, watch, stop)
        laid.set()
        table.improve(until, stop, lane=0)

    lanes, troubles = _lanes((laying, proving), stop, laid)
    for lane in lanes:
        lane.start()
    while any(lane.is_alive() for lane in lanes):
        time.sleep(0.05)
        if laid.is_set():
            _tell(table, proof, watch)
        close = laid.is_set() and table.cost <= proof.bound + asked.gap * max(table.cost, 1.0)
        if close or watch.stopped() or time.monotonic() > until:
            stop.set()
    for lane in lanes:
        lane.join()
    if troubles:
        raise troubles[0]
    return LongAnswer(rows, table.x, pace, table.cost, proof.bound)


def _lanes(
    works: tuple[Callable[[], None], ...], stop: threading.Event, laid: threading.Event
) -> tuple[list[threading.Thread], list[BaseException]]:
    """A thread for each work, and the list in which one that fails leaves its trouble; then all stop."""
    troubles: list[BaseException] = []

    def heard(work: Callable[[], None]) -> None:
        try:
            work()
        except BaseException as trouble:
            troubles.append(trouble)
            stop.set()
        finally:
            laid.set()

    return [threading.Thread(target=heard, args=(work,), daemon=True) for work in works], troubles


def _tell(table: LongTable, proof: Found, watch: Watch) -> None:
    watch.progress("days cooked anew", table.cost / POINT, proof.bound / POINT, round(table.x[table.open_cols].sum()))
