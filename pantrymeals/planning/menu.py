"""Menus from the shelf: one question in, one menu with its proof out."""

from __future__ import annotations

import time

import numpy as np

from pantrymeals.planning.house_rules import PROMISES
from pantrymeals.planning.menu_rows import POINT, build
from pantrymeals.planning.pace import bands_at, common_pace
from pantrymeals.planning.problem import MenuProblem, menu_problem
from pantrymeals.planning.reading import day_name, read_plan
from pantrymeals.planning.request import MenuRequest, NobodyWatching, Watch
from pantrymeals.planning.rows import arrays
from pantrymeals.planning.solvers import Found, side_by_side
from pantrymeals.plans import MenuPlan
from pantrymeals.records import Household

WEEKS_IN_ONE_PIECE = 10
"""Days up to which one model is solved whole; beyond, the long table's way."""


def plan_menu(household: Household, asked: MenuRequest, watch: Watch | None = None) -> MenuPlan:
    """The best menu found for the days asked, with its bound.

    Raises NoMenuFits when no menu keeps the household's rules, naming those that clash.
    """
    watch = watch or NobodyWatching()
    begun = time.monotonic()
    problem = menu_problem(household, asked)
    return _in_one_piece(problem, watch, begun)


def _in_one_piece(problem: MenuProblem, watch: Watch, begun: float) -> MenuPlan:
    pace = common_pace(problem, PROMISES)
    rows = build(problem, bands_at(problem, pace), PROMISES)
    sheet = arrays(rows.sheet)

    def watching(found: Found) -> bool:
        have = found.x is not None
        watch.progress(
            "the whole menu",
            found.cost / POINT if have else None,
            found.bound / POINT if found.bound > float("-inf") else None,
            None if found.x is None else round(sum(found.x[c] for c in rows.open.values())),
        )
        return watch.stopped() and have

    left = problem.request.seconds - (time.monotonic() - begun)
    found = side_by_side(
        sheet,
        max(left, 0.5),
        problem.request.seed,
        problem.request.gap,
        np.array(sorted(rows.open.values())),
        watching,
    )
    if found.x is None:
        from pantrymeals.errors import NoMenuFits

        raise NoMenuFits("no menu was found that keeps the house rules")
    proven = found.gap() <= problem.request.gap
    ended = "proven" if proven else "stopped" if watch.stopped() else "time"
    return read_plan(
        rows, found.x, pace, found.cost, found.bound, time.monotonic() - begun, ended, notes_for(problem)
    )


def notes_for(problem: MenuProblem) -> tuple[str, ...]:
    """Plain sentences about the whole: fixed nights that no dish can keep."""
    return tuple(
        f"No '{tag}' can be ready by {day_name(problem.request.first.fromordinal(problem.request.first.toordinal() + day))}: planned without."
        for day, tag in problem.waived
    )
