"""What a menu takes, drawn together for one trip: a line a product and place, whatever it is for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.batch_days_done import arrivals_after
from pantrymeals.larder.table import earliest_day
from pantrymeals.plans.menu import Fetched, FromLot, MenuPlan, PullList
from pantrymeals.plans.trip import StillToCome, Trip, TripRow
from pantrymeals.pull.pull import put_up_words, walking_order
from pantrymeals.records import Household

TRIP_DAYS = 7
"""Days that one basket is filled for: what is needed later is fetched then."""


def trip(household: Household, plan: MenuPlan, pull: PullList) -> Trip:
    """What a menu's first seven days fetch. What thaws stands under its evening, so it is not fetched here."""
    last = min(plan.last, plan.first + timedelta(days=TRIP_DAYS - 1))
    taken = sorted((x for x in _taken(household, plan) if x.day <= last), key=lambda x: x.day)
    fresh = _only_comes_in(household, plan)
    come = [x for x in taken if x.lot and (x.product, x.lot.put_up) in fresh]
    rows = list(_rows(household, (x for x in taken if x not in come)))
    order = walking_order(household, (row.where for row in rows))
    return Trip(
        last,
        tuple(line for line in pull.lines if line.kind == "part jar" and line.needed <= last),
        tuple(sorted(rows, key=lambda row: (order[row.where], row.product))),
        tuple(_to_come(come)),
    )


def _taken(household: Household, plan: MenuPlan) -> Iterator[Fetched]:
    """What dishes take: whole containers that need no thawing, and loose goods. A batch day fetches its own."""
    for o in plan.openings:
        if not household.products[o.product].thaw_days:
            yield Fetched(o.day, o.product, o.size, Fraction(o.count), o.lot)
    yield from (got for got in plan.fetched if not got.work)


def _only_comes_in(household: Household, plan: MenuPlan) -> frozenset[tuple[str, date | None]]:
    """(product, day) of all that is not there before the first day on which anything is done for the menu."""
    begin, there = earliest_day(household, plan.first), {(lot.product, lot.put_up) for lot in household.lots}
    return frozenset((a.product, a.day) for a in arrivals_after(household, plan) if a.day >= begin) - there


def _rows(household: Household, taken: Iterable[Fetched]) -> Iterator[TripRow]:
    together: dict[tuple[str, str], list[Fetched]] = {}
    for got in taken:
        together.setdefault((got.lot.where if got.lot else "", got.product), []).append(got)
    for (where, product), same in together.items():
        takes: dict[str, Fraction] = {}
        for got in same:
            takes[got.size] = takes.get(got.size, Fraction(0)) + got.count
        lots = tuple(dict.fromkeys(lot for got in same if (lot := _label(got.lot))))
        yield TripRow(where, product, household.products[product].whole, tuple(takes.items()), lots)


def _label(lot: FromLot | None) -> str:
    """'6 Oct 2025': what the label says; the load where there is no day."""
    return f"load {lot.load}" if lot and lot.load and lot.put_up is None else put_up_words(lot)


def _to_come(taken: Iterable[Fetched]) -> Iterator[StillToCome]:
    together: dict[tuple[str, str], list[Fetched]] = {}
    for got in taken:
        together.setdefault((got.product, got.size), []).append(got)
    for (product, size), same in together.items():
        days = dict.fromkeys(got.lot.put_up for got in same if got.lot and got.lot.put_up)
        yield StillToCome(product, size, sum((got.count for got in same), Fraction(0)), tuple(sorted(days)))
