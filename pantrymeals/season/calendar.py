"""Lays a season's loads on days: one product to a canning day, within the days its crop is in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.plans.season import DayLoads, FittedSeason, PutUpLine, PutUpList, SeasonWeek
from pantrymeals.season.fit import Chosen


def deal_days(lines: Iterable[PutUpLine], chosen: Chosen, most_a_day: int, canning_days: int) -> tuple[DayLoads, ...]:
    """Loads laid on days: one product to a canning day, evenly over its days, within the crop's days.

    Freezing and binning go on the crop's first day of that week; they need no canner.
    """
    by_name = {line.product: line for line in lines}
    out: list[DayLoads] = []
    for week in sorted({w for _, w in chosen.loads}):
        ours = {p: n for (p, w), n in chosen.loads.items() if w == week}
        on_days = _earliest_last_first(
            {p: chosen.days[p, week] for p in ours if (p, week) in chosen.days}, by_name, week, canning_days
        )
        for product, loads in ours.items():
            days = sorted(on_days.get(product, ()))
            if not days:
                out.append(DayLoads(max(week, by_name[product].first), product, loads))
            for index, day in enumerate(days):
                share = loads // len(days) + (1 if index < loads % len(days) else 0)
                out.append(DayLoads(day, product, min(share, most_a_day)))
    return tuple(sorted(out, key=lambda item: (item.day, item.product)))


def _earliest_last_first(
    wanted: Mapping[str, int], by_name: Mapping[str, PutUpLine], week: date, canning_days: int
) -> dict[str, list[date]]:
    """A day each for so many canning days a product: day by day, the crop that ends soonest goes first."""
    left, out = dict(wanted), {product: list[date]() for product in wanted}
    for offset in range(canning_days):
        day = week + timedelta(days=offset)
        waiting = [p for p, n in left.items() if n and by_name[p].first <= day <= by_name[p].last]
        if waiting:
            product = min(waiting, key=lambda p: (by_name[p].last, p))
            out[product].append(day)
            left[product] -= 1
    return out


def season_weeks(wanted: PutUpList, fitted: FittedSeason) -> tuple[SeasonWeek, ...]:
    """The weeks in which anything is put up in the kitchen: hours, canner loads, jars and packs."""
    lines = {line.product: line for line in wanted.lines if line.in_kitchen}
    ours = [week for week in fitted.weeks if week.product in lines and week.loads]
    found = []
    for monday in sorted({week.monday for week in ours}):
        here = [(lines[week.product], week.loads) for week in ours if week.monday == monday]
        taken, there = fitted.hours_by_week.get(monday, (Fraction(0), Fraction(0)))
        loads = sum(loads for line, loads in here if line.way == "canner")
        found.append(SeasonWeek(monday, taken, there, loads, sum(loads * line.load for line, loads in here)))
    return tuple(found)
