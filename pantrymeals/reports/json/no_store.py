"""A rehearsal, and an ending, as JSON for other programs; menus stand in it as `menu --json` has them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import __version__
from pantrymeals.plans.no_store import AllowedList, Ending, LongestRun, Money, Nourishment, Pinch, Rehearsal, StapleRow
from pantrymeals.plans.outlook import LarderCover
from pantrymeals.reports.json.plan import MenuFile, Verdict, menu_file, shared, verdict_of
from pantrymeals.reports.json.stored import adapter, written
from pantrymeals.reports.sheet import MenuSheet

_MADE_BY = f"pantrymeals {__version__}"


class MustGoSupper(Struct, frozen=True):
    """A supper that uses something marked."""

    day: date
    product: str
    mark: str


class NoStoreFile(Struct, frozen=True):
    """A rehearsal. before: the menus of the days until then; menu: that of the days themselves; announced: what of
    these days had been announced."""

    format: Literal["pantrymeals no-store 5"]
    made_by: str
    household: str
    first: date
    days: int
    allowed: tuple[str, ...]
    plain_words: tuple[str, ...]
    kept_out: tuple[str, ...]
    announced: tuple[str, ...]
    pinches: tuple[Pinch, ...]
    staples: tuple[StapleRow, ...]
    longest: LongestRun
    lists: tuple[AllowedList, ...]
    asked_must_go: int
    must_go_kept: str
    must_go: tuple[MustGoSupper, ...]
    food: Nourishment
    money: Money
    cover: LarderCover
    verdict: Verdict
    before: tuple[MenuFile, ...]
    menu: MenuFile


def no_store_json(found: Rehearsal, menu: MenuSheet, before: Sequence[MenuSheet]) -> str:
    """The rehearsal as JSON text."""
    told = {
        **shared(NoStoreFile, found),
        "format": "pantrymeals no-store 5",
        "made_by": _MADE_BY,
        "household": found.household.name,
        "first": found.plan.first,
        "days": found.plan.days,
        "kept_out": tuple(f"{a.day}: {a.product}" for a in found.kept_out),
        "must_go_kept": found.must_go_asked,
        "must_go": tuple(
            MustGoSupper(day, product, found.must_go_marks[product])
            for week in found.must_go
            for day, product in week.suppers
        ),
        "food": _rounded(found.nourishment),
        "verdict": verdict_of(tuple(fault for sheet in (*before, menu) for fault in sheet.broken)),
        "before": tuple(menu_file(sheet) for sheet in before),
        "menu": menu_file(menu),
    }
    return written(NoStoreFile(**told), found.household)


def _rounded(food: Nourishment) -> Nourishment:
    """Kilocalories and grams to one decimal, cups and ounces of a week to two."""
    shorter: dict[str, Any] = {
        name: round(getattr(food, name), 1)
        for name in (f"{whose}_{what}" for whose in ("need", "menu", "standing") for what in ("kcal", "protein_g"))
    }
    groups = tuple(replace(g, weekly=round(g.weekly, 2), asked=round(g.asked, 2)) for g in food.groups)
    return replace(food, groups=groups, **shorter)


def ending_json(ended: Ending) -> str:
    """An ending as JSON text; amounts as exact fractions."""
    told = adapter(Ending).dump_python(ended, mode="json")
    by_name = {name: dict(told[name]) for name in ("used", "sitters_opened", "more_of")}
    return json.dumps({"format": "pantrymeals no-store end 1", "made_by": _MADE_BY, **told, **by_name}, indent=2)
