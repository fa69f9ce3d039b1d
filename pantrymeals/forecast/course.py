"""How one product goes down week by week, and which families of food are gone when."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from pantrymeals.forecast.forecast import WEEKS_AHEAD, BookPace, futures
from pantrymeals.forecast.foresee import PATHS, three_edges
from pantrymeals.forecast.planned import Menus, Run, go_down
from pantrymeals.forecast.simulate import simulate
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.outlook import Course, CoursePoint, FamilyWeek, Forecast, ForecastRow
from pantrymeals.records import Household

_BEYOND = 8
"""Weeks shown after a product's day, or after its last one."""
_LEAST = 26
_YEAR = 52


def course(
    household: Household,
    pace: BookPace,
    forecast: Forecast,
    name: str,
    plan: MenuPlan | None = None,
    paths: int = PATHS,
) -> Course:
    """One product's course from today to some weeks after its day, at both paces of its row in the forecast.

    plan, paths: those of the forecast, so that the lines end where its row says.
    """
    row = next(row for row in forecast.rows if row.product == name)
    runs: list[Run] = []
    menus = Menus(household, plan)
    go_down(menus.household, menus.household.products[name], menus.pace(name), runs=runs)
    edges: list[tuple[float, float, float]] = []
    if row.as_eaten is not None:
        future = next(f for f in futures(household, pace, WEEKS_AHEAD) if f.name == name)
        edges.append((future.stock,) * 3)

        def look(stock: NDArray[np.float32]) -> None:
            edges.append(three_edges(np.maximum(stock, np.float32(0))))

        simulate(future, paths, forecast.seed, look)
    weeks = _weeks_shown(forecast.today, row)
    days = [forecast.today + timedelta(weeks=week) for week in range(weeks + 1)]
    return Course(row, forecast.today, tuple(_point(day, runs, edges, week) for week, day in enumerate(days)))


def _weeks_shown(today: date, row: ForecastRow) -> int:
    ends = [row.due(), row.leading().out, row.as_planned.out]
    last = max((day for day in ends if day is not None), default=today)
    return min(WEEKS_AHEAD, max(_LEAST, (last - today).days // 7 + _BEYOND))


def _point(day: date, runs: Sequence[Run], edges: Sequence[tuple[float, float, float]], week: int) -> CoursePoint:
    run = runs[max(0, bisect_right([r.day for r in runs], day) - 1)]
    planned = max(0.0, float(run.left - run.daily * (day - run.day).days))
    return CoursePoint(day, planned, *edges[week]) if edges else CoursePoint(day, planned)


def hungry_gap(household: Household, forecast: Forecast) -> tuple[FamilyWeek, ...]:
    """Each family of food that the table uses, week by week over a year: what of it is there.

    The pace is the one that speaks for a product; what is held or kept off the menus is no kind of it. What has no
    day to last to is there in a week in which some comes in.
    """
    families: dict[str, list[ForecastRow]] = {}
    for row in forecast.rows:
        pace = row.leading()
        if pace.weekly > 0 and pace.mark not in ("held", "not on menus"):
            families.setdefault(household.products[row.product].family or "other", []).append(row)
    weeks = [forecast.today + timedelta(weeks=week) for week in range(_YEAR)]
    comes = {(a.product, (a.day - forecast.today).days // 7) for a in household.arrivals if a.day >= forecast.today}
    found = []
    for family in sorted(families):
        for week, day in enumerate(weeks):
            gone = tuple(
                row.product
                for row in families[family]
                if (row.must_last_to or (row.product, week) not in comes) and _is_gone(row, day, forecast.today)
            )
            kinds = len(families[family])
            found.append(FamilyWeek(family, day, kinds - len(gone), kinds, gone))
    return tuple(found)


def _is_gone(row: ForecastRow, day: date, today: date) -> bool:
    """Whether its last one is gone by a day, and its new crop not in; what does not keep is told of no new crop."""
    out, back = row.leading().out, row.must_last_to
    return out is not None and out < day and not (back is not None and today < back <= day)
