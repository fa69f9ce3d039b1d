"""A household as data frames: what it keeps, what is on hand, what its book says, what is planned and foreseen.

    from pantrymeals import tables
    from pantrymeals.actions.with_book import open_with_book

    larder = open_with_book(Path("demo"), None, date.today())
    tables.on_hand(larder.household)

Each frame has the columns of its shape, listed with their units in DEVELOPERS.md, as columns of
objects: exact Fractions and whole numbers, days, texts, None for nothing. ``frame.attrs['units']`` has the units.
pandas is imported when the first frame is made; nothing of this package loads before it is asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pantrymeals.tables.asked import (
        can_cook,
        dishes,
        eaten,
        every_kind,
        figures,
        first_count,
        spared,
        takers,
        worth,
    )
    from pantrymeals.tables.menus import changes, draws, meals, menu, offers, pull_list, weeks
    from pantrymeals.tables.outlook import back_test, course, eat_first, freezer_off, hungry_gap, run_out, what_if
    from pantrymeals.tables.put_up import glut, put_up_list, season, season_notes, sitters, years_ahead
    from pantrymeals.tables.rehearsal import no_store, no_store_end
    from pantrymeals.tables.stores import lots, movements, on_hand, products, seasons, shelf, use_by_week

__all__ = [
    "back_test",
    "can_cook",
    "changes",
    "course",
    "dishes",
    "draws",
    "eat_first",
    "eaten",
    "every_kind",
    "figures",
    "first_count",
    "freezer_off",
    "glut",
    "hungry_gap",
    "lots",
    "meals",
    "menu",
    "movements",
    "no_store",
    "no_store_end",
    "offers",
    "on_hand",
    "products",
    "pull_list",
    "put_up_list",
    "run_out",
    "season",
    "season_notes",
    "seasons",
    "shelf",
    "sitters",
    "spared",
    "takers",
    "use_by_week",
    "weeks",
    "what_if",
    "worth",
    "years_ahead",
]  # fmt: skip


def __getattr__(name: str) -> object:
    if name in __all__:
        for module in ("stores", "menus", "outlook", "put_up", "rehearsal", "asked"):
            found: object = getattr(import_module(f"pantrymeals.tables.{module}"), name, None)
            if found is not None:
                return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
