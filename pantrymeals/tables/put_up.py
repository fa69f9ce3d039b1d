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
    SeasonWeek,
    SitterRow,
    ToBuy,
    TwoNeeds,
    WeekLoads,
)
from pantrymeals.plans.years_ahead import FamilyAhead, ProductAhead, Reserve, YearsAhead
from pantrymeals.tables.shapes import Shape, frame_of

if TYPE_CHECKING:
    import pandas as pd

PUT_UP_LIST: Shape[tuple[PutUpLine, int]] = Shape(
    "put-up list",
    "a product of next season's list",
    """product, size, way, crop, put_up (of the size, whole loads), loads, loads_that_fit, load (of the size),
    need (of the size a year), need_from, carried_over (of the size), aim (of the size), served (share of what
    the table calls for, 0 to 1), raw_low (lb), raw_high (lb), row_low (ft), row_high (ft), plants_low,
    plants_high, flats (lids), first (day), last (day), why""",
    put_up="jars",
    loads_that_fit=lambda r: r[1],
    need="need.a_year",
    need_from="need.basis",
    raw_low="raw_lb.low",
    raw_high="raw_lb.high",
    row_low="row_ft.low",
    row_high="row_ft.high",
    plants_low="plants.low",
    plants_high="plants.high",
)

NONE_OF = {"product": "", "why": ""}

WEEKS: Shape[WeekLoads] = Shape("weeks", "a product's loads in one week", "monday, product, loads")

SEASON_WEEKS: Shape[SeasonWeek] = Shape(
    "season by week",
    "a week of the season",
    "monday, hours (taken), hours_there (hours), loads (canner loads), jars (jars and packs)",
)

CUTS: Shape[Cut] = Shape(
    "cuts",
    "loads that do not fit, least missed first",
    "product, size, loads, jars (of the size), chance (of being called for, 0 to 1), for_want_of",
    for_want_of="why",
)

LIMITS: Shape[LimitUse] = Shape("limits", "a limit", "what, have (of the unit), taken (of the unit), unit")

SITTERS: Shape[SitterRow] = Shape(
    "sitters",
    "a thing made and not eaten",
    "product, size, on_hand (of the size), kind, why, cover (years), ends, cost",
    cover="cover_years",
    ends=lambda r: tuple(end.words for end in r.ends),
)

PRODUCTS_AHEAD: Shape[ProductAhead] = Shape(
    "products over years",
    "a product over the years drawn",
    "product, family, years_out (years), ever_out (chance, 0 to 1), missing (share of the need, 0 to 1)",
)

TO_BUY: Shape[ToBuy] = Shape(
    "to buy", "something that the list takes and is bought", "what, count (of the size), size, by, cost (money), why"
)

BOOK_AND_MENUS: Shape[TwoNeeds] = Shape(
    "book and menus",
    "a product of which book and menus differ",
    "product, size, by_book (of the size a year), by_menus (of the size a year), chosen (yes: in season.yaml)",
)

RESERVES: Shape[Reserve] = Shape(
    "reserves",
    "a way to fill the shelves",
    """filled_to, out (years in which an average product runs out), served (share of the need, 0 to 1), jars (a year),
    packs (a year), hours (a year), standing (jars), litres (litres), metres (of shelf)""",
    filled_to="words",
)

FAMILIES_AHEAD: Shape[FamilyAhead] = Shape(
    "families over years", "a family over the years drawn", "family, kinds, years_out (years)"
)

GLUT: Shape[GlutForm] = Shape(
    "glut",
    "a form a glut can take",
    "product, size, loads, jars (of the size), raw (lb), chance (of being called for, 0 to 1), why",
    raw="lb",
)

NOTES: Shape[NoteRow] = Shape(
    "season notes",
    "a product in one book year",
    """product, size, carried_in (of the size), put_up (of the size), given (of the size), lost (of the size),
    used (of the size), carried_out (of the size), listed (of the size, by the list of that spring), verdict""",
    product="record.product",
    carried_in="record.carried_in",
    put_up="record.put_up",
    given="record.given",
    lost="record.lost",
    used="record.used",
    carried_out="record.carried_out",
)


def put_up_list(wanted: PutUpList, fitted: FittedSeason | None = None) -> pd.DataFrame:
    """Next season's list, and how many loads of each fit (all, before any limit)."""
    fits = {} if fitted is None else fitted.loads
    return PUT_UP_LIST.frame((line, fits.get(line.product, line.loads)) for line in wanted.lines)


def season(
    wanted: PutUpList, fitted: FittedSeason, weeks: Iterable[SeasonWeek], bought: Iterable[ToBuy] = (),
    differ: Iterable[TwoNeeds] = (),
) -> tuple[pd.DataFrame, ...]:  # fmt: skip
    """The tables of the season's report: the list, what is left alone, what is cut, weeks, limits, what to buy."""
    alone = frame_of("none of these", NONE_OF, wanted.none)
    return (
        put_up_list(wanted, fitted), alone, CUTS.frame(fitted.cuts), WEEKS.frame(fitted.weeks),
        LIMITS.frame(fitted.uses), SEASON_WEEKS.frame(weeks), TO_BUY.frame(bought), BOOK_AND_MENUS.frame(differ),
    )  # fmt: skip


def years_ahead(ahead: YearsAhead) -> tuple[pd.DataFrame, ...]:
    """The list's rule over years: products, families, and what more or less reserve changes."""
    return (PRODUCTS_AHEAD.frame(ahead.products), FAMILIES_AHEAD.frame(ahead.families), RESERVES.frame(ahead.reserves))


def sitters(rows: Iterable[SitterRow]) -> tuple[pd.DataFrame, ...]:
    """What is made and not eaten, with its ends."""
    return (SITTERS.frame(rows),)


def glut(plan: GlutPlan) -> tuple[pd.DataFrame, ...]:
    """The forms of a glut, and those passed over."""
    return GLUT.frame(plan.forms), frame_of("passed over", NONE_OF, plan.passed_over)


def season_notes(notes: SeasonNotes) -> tuple[pd.DataFrame, ...]:
    """A book year, product by product."""
    return (NOTES.frame(notes.rows),)
