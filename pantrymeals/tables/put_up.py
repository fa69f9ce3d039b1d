"""Tables of the season: the put-up list and what fits of it, its weeks and limits, sitters, a glut, a year's notes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from pantrymeals.plans.season import (
    Cut,
    FittedSeason,
    GlutForm,
    GlutPlan,
    LimitUse,
    NoteRow,
    PutUpLine,
    PutUpList,
    SeasonNotes,
    SitterRow,
    SpanOf,
    WeekLoads,
)
from pantrymeals.tables.shapes import Column, Shape, frame_of

if TYPE_CHECKING:
    import pandas as pd

_OF_SIZE = "of the size"


def _low(span: SpanOf | None) -> object:
    return span and span.low


def _high(span: SpanOf | None) -> object:
    return span and span.high


PUT_UP_LIST: Shape[tuple[PutUpLine, int]] = Shape(
    "put-up list",
    "a product of next season's list",
    (
        Column("product", "", lambda r: r[0].product),
        Column("size", "", lambda r: r[0].size),
        Column("way", "", lambda r: r[0].way),
        Column("crop", "", lambda r: r[0].crop),
        Column("put_up", "of the size, whole loads", lambda r: r[0].jars),
        Column("loads", "", lambda r: r[0].loads),
        Column("loads_that_fit", "", lambda r: r[1]),
        Column("load", "of the size", lambda r: r[0].load),
        Column("need", "of the size a year", lambda r: r[0].need.a_year),
        Column("need_from", "", lambda r: r[0].need.basis),
        Column("carried_over", _OF_SIZE, lambda r: r[0].carried_over),
        Column("aim", _OF_SIZE, lambda r: r[0].aim),
        Column("served", "share of what the table calls for, 0 to 1", lambda r: r[0].served),
        Column("raw_low", "lb", lambda r: _low(r[0].raw_lb)),
        Column("raw_high", "lb", lambda r: _high(r[0].raw_lb)),
        Column("row_low", "ft", lambda r: _low(r[0].row_ft)),
        Column("row_high", "ft", lambda r: _high(r[0].row_ft)),
        Column("plants_low", "", lambda r: _low(r[0].plants)),
        Column("plants_high", "", lambda r: _high(r[0].plants)),
        Column("flats", "lids", lambda r: r[0].flats),
        Column("first", "day", lambda r: r[0].first),
        Column("last", "day", lambda r: r[0].last),
        Column("why", "", lambda r: r[0].why),
    ),
)

NONE_OF = {"product": "", "why": ""}

WEEKS: Shape[WeekLoads] = Shape(
    "weeks", "a product's loads in one week", (Column("monday"), Column("product"), Column("loads"))
)

CUTS: Shape[Cut] = Shape(
    "cuts",
    "loads that do not fit, least missed first",
    (
        Column("product"),
        Column("size"),
        Column("loads"),
        Column("jars", _OF_SIZE),
        Column("chance", "of being called for, 0 to 1"),
        Column("for_want_of", "", lambda c: c.why),
    ),
)

LIMITS: Shape[LimitUse] = Shape(
    "limits", "a limit", (Column("what"), Column("have", "of the unit"), Column("taken", "of the unit"), Column("unit"))
)

SITTERS: Shape[SitterRow] = Shape(
    "sitters",
    "a thing made and not eaten",
    (
        Column("product"),
        Column("size"),
        Column("on_hand", _OF_SIZE),
        Column("kind"),
        Column("why"),
        Column("cover", "years", lambda r: r.cover_years),
        Column("ends", "", lambda r: tuple(end.words for end in r.ends)),
        Column("cost"),
    ),
)

GLUT: Shape[GlutForm] = Shape(
    "glut",
    "a form a glut can take",
    (
        Column("product"),
        Column("size"),
        Column("loads"),
        Column("jars", _OF_SIZE),
        Column("raw", "lb", lambda f: f.lb),
        Column("chance", "of being called for, 0 to 1"),
        Column("why"),
    ),
)

NOTES: Shape[NoteRow] = Shape(
    "season notes",
    "a product in one book year",
    (
        Column("product", "", lambda n: n.record.product),
        Column("size"),
        Column("carried_in", _OF_SIZE, lambda n: n.record.carried_in),
        Column("put_up", _OF_SIZE, lambda n: n.record.put_up),
        Column("given", _OF_SIZE, lambda n: n.record.given),
        Column("lost", _OF_SIZE, lambda n: n.record.lost),
        Column("used", _OF_SIZE, lambda n: n.record.used),
        Column("carried_out", _OF_SIZE, lambda n: n.record.carried_out),
        Column("listed", "of the size, by the list of that spring"),
        Column("verdict"),
    ),
)


def put_up_list(wanted: PutUpList, fitted: FittedSeason | None = None) -> pd.DataFrame:
    """Next season's list, and how many loads of each fit (all, before any limit)."""
    fits = {} if fitted is None else fitted.loads
    return PUT_UP_LIST.frame((line, fits.get(line.product, line.loads)) for line in wanted.lines)


def season(wanted: PutUpList, fitted: FittedSeason) -> tuple[pd.DataFrame, ...]:
    """The tables of the season's report: the list, what is left alone, what is cut, the weeks and the limits."""
    alone = frame_of("none of these", NONE_OF, wanted.none)
    return (
        put_up_list(wanted, fitted), alone, CUTS.frame(fitted.cuts), WEEKS.frame(fitted.weeks),
        LIMITS.frame(fitted.uses),
    )  # fmt: skip


def sitters(rows: Iterable[SitterRow]) -> tuple[pd.DataFrame, ...]:
    """What is made and not eaten, with its ends."""
    return (SITTERS.frame(rows),)


def glut(plan: GlutPlan) -> tuple[pd.DataFrame, ...]:
    """The forms of a glut, and those passed over."""
    return GLUT.frame(plan.forms), frame_of("passed over", NONE_OF, plan.passed_over)


def season_notes(notes: SeasonNotes) -> tuple[pd.DataFrame, ...]:
    """A book year, product by product."""
    return (NOTES.frame(notes.rows),)
