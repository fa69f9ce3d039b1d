"""Tables of a month without the store: what runs out, what staples carry, what to let in; and how it ended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pantrymeals.plans.menu import PullList
from pantrymeals.plans.no_store import AllowedItem, AllowedList, Ending, GroupRow, Pinch, Rehearsal, Slip, StapleRow
from pantrymeals.records import Household
from pantrymeals.tables.menus import menu
from pantrymeals.tables.shapes import Shape, frame_of
from pantrymeals.tables.stores import CONTAINERS, with_size

if TYPE_CHECKING:
    import pandas as pd


PINCHES: Shape[Pinch] = Shape(
    "what runs out",
    "a product that runs out, or only just reaches",
    "product, day, kind, weekly (containers a week), lacking (containers), why, plan",
)

STAPLES: Shape[StapleRow] = Shape(
    "staples",
    "a product with standing use",
    """product, weekly (containers a week), out (nothing: not in the days looked at), days (held), without
    (days of these that lack), lacking (containers), one_more_days (days by one container more)""",
    without=lambda row: len(row.without),
)

LET_IN: Shape[tuple[AllowedList, AllowedItem]] = Shape(
    "to let in",
    "a thing of a smallest list",
    """list, product, count (containers), cost (money), why, reached (yes: it is enough), proven (yes: no
    smaller list is)""",
    list="aim",
    product=lambda r: r[1].product,
    count=lambda r: r[1].count,
    cost=lambda r: r[1].cost_usd,
    why=lambda r: r[1].why,
)

GROUPS: Shape[GroupRow] = Shape(
    "food groups", "a food group", "group, unit, weekly (of the unit a week), asked (of the unit a week)"
)

SLIPS: Shape[Slip] = Shape("slips", "a slip", "day, what, price (money)", price="price_usd")


def no_store(found: Rehearsal, pull: PullList) -> tuple[pd.DataFrame, ...]:
    """The tables of a rehearsal: pinches, staples, what to let in, food groups, then its menu."""
    let_in = LET_IN.frame((each, item) for each in found.lists for item in each.items)
    counted = PINCHES.frame(found.pinches), STAPLES.frame(found.staples), let_in
    return (
        *(with_size(frame, found.household) for frame in counted),
        GROUPS.frame(found.nourishment.groups),
        *menu(found.plan, pull),
    )


def no_store_end(household: Household, ended: Ending) -> tuple[pd.DataFrame, ...]:
    """What was used, the slips, the shelves emptied, and what to put up more of."""
    used = frame_of("used", {"product": "", "used": CONTAINERS}, ended.used)
    emptied = frame_of(
        "emptied",
        {"product": "", "day": "", "had": "containers on the first day; now down to the reserve"},
        ((row.product, row.day, row.count) for row in ended.emptied),
    )
    more_of = frame_of("more of", {"product": "", "why": ""}, ended.more_of)
    return with_size(used, household), SLIPS.frame(ended.slips), with_size(emptied, household), more_of
