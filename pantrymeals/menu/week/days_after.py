"""What is known beyond the last day binds today: an occasion's own dish, and what a fixed night there will want."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from msgspec import Struct

from pantrymeals.larder.table import days_between, night_of, tables
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.possible import Possible, asked_night, possible_dishes, too_lately
from pantrymeals.records import Household

NIGHTS_AFTER_DAYS = 7
"""Fixed nights so many days beyond the last day are thought of; an occasion's dish as far as its days between."""


class NightAfter(Struct, frozen=True):
    """A fixed night beyond the last day (counted from the first), its tag, and the dishes that could keep it.

    gaps: by dish, its days between.
    """

    day: int
    tag: str
    gaps: tuple[tuple[str, int], ...]


def saved_for(household: Household, request: MenuRequest) -> dict[str, list[date]]:
    """By dish, the days beyond the last one on which an occasion has it as its own."""
    end = request.first + timedelta(days=request.days)
    wanted = {o.dish for o in household.occasions if o.dish in household.dishes and o.last >= end}
    out: dict[str, list[date]] = {}
    if wanted:
        longest = max(days_between(household, household.dishes[name]) for name in wanted)
        for table in tables(household, end, max(1, longest)):
            for occasion in table.occasions:
                dish = household.dishes.get(occasion.dish)
                if dish is not None and table.meal in occasion.meals and dish.role in table.roles:
                    out.setdefault(dish.name, []).append(table.day)
    return out


def not_saved(household: Household, request: MenuRequest, raw: Iterable[Possible]) -> list[Possible]:
    """Dishes but those that an occasion beyond the last day would then have too soon again.

    One that is asked for (pinned) or that an occasion of the menu itself has as its own stays.
    """
    saved = saved_for(household, request)
    if not saved:
        return list(raw)
    asked = {(pin.day, pin.dish) for pin in request.pinned}
    own = {(t.day, o.dish) for t in tables(household, request.first, request.days) for o in t.occasions if o.dish}

    def stays(one: Possible) -> bool:
        day, name = request.first + timedelta(days=one.day), one.dish.name
        near = any((then - day).days < days_between(household, one.dish) for then in saved.get(name, ()))
        return not near or (day, name) in asked or (day, name) in own

    return [one for one in raw if stays(one)]


def nights_after(household: Household, request: MenuRequest, stocked: frozenset[str]) -> tuple[NightAfter, ...]:
    """The fixed nights of the days after the last, with the dishes that could keep each: not those just eaten."""
    end = request.first + timedelta(days=request.days)
    after = tables(household, end, NIGHTS_AFTER_DAYS)
    laid = [t for t in after if asked_night(household, request, t) is not None]
    day_of = tuple((t.day - request.first).days for t in laid)
    out = []
    could = possible_dishes(household, tuple(laid), day_of, stocked)
    for index, table in enumerate(laid):
        tag = night_of(household.rules, table.day) or ""
        gaps = {}
        for one in could:
            dish, gap = one.dish, days_between(household, one.dish)
            fits = one.table == index and dish.role == "main" and tag in dish.tags and dish.needs_left is None
            if fits and not too_lately(household, request, dish, table):
                gaps[dish.name] = gap
        if gaps:
            out.append(NightAfter(day_of[index], tag, tuple(gaps.items())))
    return tuple(out)
