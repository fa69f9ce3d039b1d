"""Tables of what is foreseen: run-out, its back-test, what if, eat-first, and the freezer that is off."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from pantrymeals.plans.outlook import (
    AtPace,
    BackTest,
    BackTestMonth,
    Clock,
    EatFirst,
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
from pantrymeals.tables.shapes import Column, Shape
from pantrymeals.tables.stores import CONTAINERS

if TYPE_CHECKING:
    import pandas as pd

A_WEEK = "containers a week"
CHANCE = "0 to 1"


def _at_pace(name: str, pace: Callable[[ForecastRow], AtPace | None]) -> tuple[Column[ForecastRow], ...]:
    """The columns of one pace; empty where the book is too young to have one."""

    def figure(field: str) -> Callable[[ForecastRow], object]:
        return lambda row: getattr(pace(row), field, None)

    return (
        Column(f"{name}_mark", "", figure("mark")),
        Column(f"{name}_weekly", A_WEEK, figure("weekly")),
        Column(f"{name}_runs_out", "nothing: not within 2 years", figure("out")),
        Column(f"{name}_runs_out_early", "10 in 100", figure("out_early")),
        Column(f"{name}_runs_out_late", "90 in 100", figure("out_late")),
        Column(f"{name}_chance", CHANCE, figure("chance")),
        Column(f"{name}_without", "weeks", figure("gap_weeks")),
        Column(f"{name}_left", CONTAINERS, figure("left")),
        Column(f"{name}_left_low", "containers, 10 in 100", figure("left_low")),
        Column(f"{name}_left_high", "containers, 90 in 100", figure("left_high")),
        Column(f"{name}_reason", "", figure("reason")),
        Column(f"{name}_advice", "", figure("advice")),
    )


RUN_OUT: Shape[ForecastRow] = Shape(
    "run-out",
    "a product",
    (
        Column("product"),
        Column("size"),
        Column("on_hand", CONTAINERS),
        Column("reserve", CONTAINERS),
        Column("part", "containers in part jars"),
        Column("elsewhere", "containers held or promised"),
        Column("must_last_to"),
        Column("eat_by"),
        Column("why_then", "", lambda r: r.deadline_kind),
        Column("stated", A_WEEK),
        *_at_pace("as_eaten", lambda r: r.as_eaten),
        *_at_pace("as_planned", lambda r: r.as_planned),
    ),
)

LIMITS: Shape[Limiting] = Shape(
    "what limits",
    "a product that ends the full meals first",
    (Column("product"), Column("size"), Column("on_hand", CONTAINERS), Column("days_a_container", "days")),
)

BACK_TEST: Shape[BackTestMonth] = Shape(
    "back-test",
    "a past month-end",
    (
        Column("day"),
        Column("cases", "products"),
        Column("held", CHANCE),
        Column("held_evenly", CHANCE),
    ),
)

WHAT_IF: Shape[GapChange] = Shape(
    "what if",
    "a product whose run-out moves",
    (
        Column("product"),
        Column("mark_before"),
        Column("mark_after"),
        Column("out_before", "nothing: not within 2 years"),
        Column("out_after", "nothing: not within 2 years"),
    ),
)

EAT_FIRST: Shape[MustGo] = Shape(
    "eat first",
    "a thing that will not wait",
    (
        Column("kind"),
        Column("product"),
        Column("amount", "of the size"),
        Column("size"),
        Column("place", "", lambda r: r.where),
        Column("eat_by"),
        Column("past", "yes: it is behind"),
        Column("why"),
        Column("source"),
        Column("dishes"),
    ),
)

ROUND: Shape[RoundLine] = Shape(
    "weekly round",
    "a thing to go over in cellar and loft",
    (
        Column("place", "", lambda r: r.where),
        Column("place_name"),
        Column("product"),
        Column("amount", "of the size"),
        Column("size"),
        Column("in_store", "weeks", lambda r: r.weeks_in_store),
        Column("keeps"),
        Column("source"),
        Column("look_for"),
        Column("note"),
    ),
)

PACKS: Shape[PackLine] = Shape(
    "freezer",
    "a product on one shelf of a freezer",
    (
        Column("place", "", lambda r: r.where),
        Column("product"),
        Column("amount", "of the size"),
        Column("size"),
        Column("oldest", "put up"),
        Column("group"),
        Column("verdict"),
    ),
)

CLOCKS: Shape[Clock] = Shape(
    "clocks", "a clock of the power cut", (Column("what"), Column("hours", "hours"), Column("until"))
)


def run_out(forecast: Forecast, cover: LarderCover | None = None) -> tuple[pd.DataFrame, ...]:
    """When each product runs out; and what limits the whole larder, where that was asked."""
    return (RUN_OUT.frame(forecast.rows), *(() if cover is None else (LIMITS.frame(cover.limiting),)))


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
