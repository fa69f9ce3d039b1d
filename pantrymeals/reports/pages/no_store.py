"""The month without the store on one page across: its suppers day by day, and what runs out when."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from pantrymeals.plans.menu import PlannedDish
from pantrymeals.plans.no_store import Pinch, Rehearsal
from pantrymeals.records import WEEKDAYS_IN_FULL
from pantrymeals.reports.no_store_words import list_words, run_words
from pantrymeals.reports.pages.typeset import (
    AS_USUAL,
    Block,
    Cell,
    Col,
    Printing,
    boxed,
    origin_of,
    page,
    set_pages,
    table,
    title,
    words,
)
from pantrymeals.reports.proof_words import unsettled
from pantrymeals.reports.terminal.menu import in_order
from pantrymeals.words import capital, listed, near_day, plural, short_date, span

_PINCHES = {"goes without": "none left of", "used up": "last of", "just reaches": "just enough"}


def no_store_pdf(found: Rehearsal, broken: Sequence[str], printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same rehearsal gives the same bytes."""
    name = f"{plural(found.plan.days, 'day')} without the store, {found.household.name}"
    return set_pages(
        name, [page(_blocks(name, found, broken), fit=True, flipped=True)], origin_of(found.household), printing
    )


def _blocks(name: str, found: Rehearsal, broken: Sequence[str]) -> list[Block]:
    plan = found.plan
    coming = listed([*found.allowed, *found.plain_words]) or "nothing"
    blocks: list[Block] = [title(name, f"{span(plan.first, plan.last)}. May still come in: {coming}.")]
    if broken:
        blocks.append(boxed(["Do not cook from this menu: the checker finds broken rules.", *broken]))
    if doubts := unsettled(plan):
        blocks.append(words(*(("strong", note) for note in doubts)))
    blocks.append(table([Col(day, "1fr") for day in WEEKDAYS_IN_FULL], _weeks(found), "grid", air=0.3))
    later = [f"{p.product} about {near_day(p.day, plan.first)}" for p in found.pinches if p.kind == "later share"]
    said = [("plain", f"Eaten out of a later month's share, so gone: {listed(later, 12)}.")] if later else []
    let_in = [x for each in found.lists[:1] for x in list_words(found.household, each, plan.days)]
    said += [("plain", text) for text in run_words(found)]
    said += [("plain", f"Smallest list to let in: {'; '.join(let_in)}")] if let_in else []
    return [*blocks, words(*said)]


def _weeks(found: Rehearsal) -> list[list[Cell]]:
    """A row a week, from Monday; days before the first and after the last are empty."""
    first, last = found.plan.first, found.plan.last
    monday = first - timedelta(days=first.weekday())
    pinches: Mapping[date, list[Pinch]] = defaultdict(list)
    for pinch in found.pinches:
        pinches[pinch.day].append(pinch)
    weeks = range(((last - monday).days // 7) + 1)
    days = [[monday + timedelta(days=7 * week + n) for n in range(7)] for week in weeks]
    return [[_day(found, day, pinches.get(day, ())) if first <= day <= last else "" for day in week] for week in days]


def _day(found: Rehearsal, day: date, pinches: Sequence[Pinch]) -> Cell:
    parts = [("strong", short_date(day) if day.day == 1 or day == found.plan.first else str(day.day))]
    for meal in found.plan.meals:
        if meal.day == day and meal.meal == "supper":
            for place, (_, planned) in enumerate(in_order(meal)):
                name = planned.dish if isinstance(planned, PlannedDish) else f"{planned} left open"
                parts.append(("small" if place else "strong", name))
    return [*parts, *(("quiet", f"{capital(_PINCHES[p.kind])} {p.product}") for p in pinches if p.kind in _PINCHES)]
