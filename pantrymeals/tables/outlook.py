"""Tables of what is foreseen: run-out, its back-test, what if, eat-first, and the freezer that is off."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from pantrymeals.plans.outlook import (
    BackTest,
    BackTestMonth,
    Clock,
    Course,
    CoursePoint,
    EatFirst,
    FamilyWeek,
    Forecast,
    ForecastRow,
    FreezerOff,
    GapChange,
    LarderCover,
    Limiting,
    MustGo,
    PackLine,
    RoundLine,
    WhatIf,
)
from pantrymeals.tables.shapes import Shape

if TYPE_CHECKING:
    import pandas as pd

_AT_PACE = """{0}_mark, {0}_weekly (containers a week), {0}_runs_out (nothing: not within 2 years),
    {0}_runs_out_early (10 in 100), {0}_runs_out_late (90 in 100), {0}_chance (0 to 1), {0}_without (weeks),
    {0}_left (containers), {0}_left_low (containers, 10 in 100), {0}_left_high (containers, 90 in 100),
    {0}_reason, {0}_advice"""
_FIELDS = {"runs_out": "out", "runs_out_early": "out_early", "runs_out_late": "out_late", "without": "gap_weeks"} | {
    field: field for field in ("mark", "weekly", "chance", "left", "left_low", "left_high", "reason", "advice")
}
_PACES = ("as_eaten", "as_planned")
"""The two paces and the columns of each; empty where the book is too young for the first."""

RUN_OUT: Shape[tuple[ForecastRow, date | None]] = Shape(
    "run-out",
    "a product",
    """product, size, on_hand (containers), reckoned_from (day of the count; nothing: counted),
    reserve (containers), part (containers in part jars), elsewhere (containers held or promised), must_last_to,
    eat_by, why_then, stated (containers a week), told_by (what as eaten rests on), range_held (earlier ranges of use
    that held), range_tested (of how many), """
    + ", ".join(map(_AT_PACE.format, _PACES)),
    reckoned_from=lambda r: r[1],
    why_then="deadline_kind",
    **{f"{pace}_{column}": f"{pace}.{field}" for pace in _PACES for column, field in _FIELDS.items()},
)

LIMITS: Shape[Limiting] = Shape(
    "what limits",
    "a product that ends the full meals first",
    "product, size, on_hand (containers), days_a_container (days)",
)

BACK_TEST: Shape[BackTestMonth] = Shape(
    "back-test", "a past month-end", "day, cases (products), held (0 to 1), held_evenly (0 to 1)"
)

WHAT_IF: Shape[GapChange] = Shape(
    "what if",
    "a product whose run-out moves",
    """product, mark_before, mark_after, out_before (nothing: not within 2 years), out_after (nothing: not within
    2 years)""",
)

EAT_FIRST: Shape[MustGo] = Shape(
    "eat first",
    "a thing that will not wait",
    "kind, product, amount (of the size), size, place, eat_by, past (yes: it is behind), why, source, dishes",
    place="where",
)

ROUND: Shape[RoundLine] = Shape(
    "weekly round",
    "a thing to go over in cellar and loft",
    "place, place_name, product, amount (of the size), size, in_store (weeks), keeps, source, look_for, note",
    place="where",
    in_store="weeks_in_store",
)

PACKS: Shape[PackLine] = Shape(
    "freezer",
    "a product on one shelf of a freezer",
    "place, product, amount (of the size), size, oldest (put up), group, verdict",
    place="where",
)

CLOCKS: Shape[Clock] = Shape("clocks", "a clock of the power cut", "what, hours (hours), until")


COURSE: Shape[CoursePoint] = Shape(
    "course",
    "a week ahead of one product, above its reserve",
    """day, low (containers, 10 in 100), middle (containers, as eaten), high (containers, 90 in 100),
    planned (containers, if the menus are followed)""",
)

HUNGRY_GAP: Shape[FamilyWeek] = Shape(
    "hungry gap",
    "a family of food in a week ahead",
    "family, day (the week's first), there (kinds of it), kinds (that are used), gone (kinds that are not there)",
)


def course(found: Course) -> tuple[pd.DataFrame, ...]:
    """One product's row of the run-out, and how it goes week by week."""
    return RUN_OUT.frame(((found.row, None),)), COURSE.frame(found.points)


def hungry_gap(weeks: Iterable[FamilyWeek]) -> tuple[pd.DataFrame, ...]:
    """Which kinds of each family of food are there, week by week."""
    return (HUNGRY_GAP.frame(weeks),)


def run_out(
    forecast: Forecast, cover: LarderCover | None = None, reckoned_from: date | None = None
) -> tuple[pd.DataFrame, ...]:
    """When each product runs out; and what limits the whole larder, where that was asked.

    reckoned_from: the day of the count that what is on hand is reckoned from; None: it was counted.
    """
    rows = ((row, reckoned_from) for row in forecast.rows)
    return (RUN_OUT.frame(rows), *(() if cover is None else (LIMITS.frame(cover.limiting),)))


def back_test(test: BackTest) -> tuple[pd.DataFrame, ...]:
    """How often the range foreseen held, by month-end."""
    return (BACK_TEST.frame(test.months),)


def what_if(change: WhatIf, after: Forecast) -> tuple[pd.DataFrame, ...]:
    """What moves, and the run-out as it then is."""
    return WHAT_IF.frame(change.first_gaps), *run_out(after)


def eat_first(sheet: EatFirst) -> tuple[pd.DataFrame, ...]:
    """What will not wait, and the weekly round."""
    return EAT_FIRST.frame(sheet.must_go), ROUND.frame(sheet.round)


def freezer_off(sheet: FreezerOff) -> tuple[pd.DataFrame, ...]:
    """What lies in the freezers, and the clocks."""
    return PACKS.frame(sheet.packs), CLOCKS.frame(sheet.clocks)
