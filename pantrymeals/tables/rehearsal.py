"""Tables of a month without the store: what pinches, what staples carry, what to let in; and how it ended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pantrymeals.plans.menu import PullList
from pantrymeals.plans.no_store import (
    AllowedItem,
    AllowedList,
    Ending,
    GroupRow,
    Pinch,
    Rehearsal,
    Slip,
    StapleRow,
)
from pantrymeals.records import Household
from pantrymeals.tables.menus import menu
from pantrymeals.tables.shapes import Column, Shape, frame_of
from pantrymeals.tables.stores import CONTAINERS, with_size

if TYPE_CHECKING:
    import pandas as pd

_DOLLARS = "US dollars"

PINCHES: Shape[Pinch] = Shape(
    "what pinches",
    "a product that pinches",
    (
        Column("product"),
        Column("day"),
        Column("kind"),
        Column("weekly", "containers a week"),
        Column("lacking", CONTAINERS),
        Column("why"),
        Column("plan"),
    ),
)

STAPLES: Shape[StapleRow] = Shape(
    "staples",
    "a product with standing use",
    (
        Column("product"),
        Column("weekly", "containers a week"),
        Column("out", "nothing: not in the days looked at"),
        Column("days", "held"),
        Column("lacking", CONTAINERS),
        Column("one_more_days", "days by one container more"),
    ),
)

LET_IN: Shape[tuple[AllowedList, AllowedItem]] = Shape(
    "to let in",
    "a thing of a smallest list",
    (
        Column("list", "", lambda r: r[0].aim),
        Column("product", "", lambda r: r[1].product),
        Column("count", CONTAINERS, lambda r: r[1].count),
        Column("cost", _DOLLARS, lambda r: r[1].cost_usd),
        Column("why", "", lambda r: r[1].why),
        Column("reached", "yes: it is enough", lambda r: r[0].reached),
        Column("proven", "yes: no smaller list is", lambda r: r[0].proven),
    ),
)

GROUPS: Shape[GroupRow] = Shape(
    "food groups",
    "a food group",
    (Column("group"), Column("unit"), Column("weekly", "of the unit a week"), Column("asked", "of the unit a week")),
)

SLIPS: Shape[Slip] = Shape(
    "slips", "a slip", (Column("day"), Column("what"), Column("price", _DOLLARS, lambda s: s.price_usd))
)


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
