"""How long standing use lasts: flour, butter, coffee and the jam pot, as the household really uses them.

Standing use goes before the menu, so its days depend on the shelf and on what comes in alone.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from pantrymeals.larder.evenness import on_shelf
from pantrymeals.larder.supply import supply_by_day
from pantrymeals.plans.no_store import StapleRow
from pantrymeals.records import Household, Product

ZERO = Fraction(0)


def wanted_by_day(household: Household, product: Product, first: date, days: int) -> list[Fraction]:
    """What standing use would have taken by the end of each day if there were enough (base measure)."""
    rows = [s for s in household.standing if s.product == product.name]
    container, total, out = product.sizes[0].content, ZERO, []
    for number in range(days):
        month = (first + timedelta(days=number)).month
        total += sum((s.weekly[month - 1] for s in rows), ZERO) / 7
        out.append(Fraction(ceil(total / container)) * container if product.whole else total)
    return out


def held_by_day(household: Household, product: Product, first: date, days: int) -> list[Fraction]:
    """What shelf and arrivals have held for standing use by the end of each day (base measure)."""
    supply = supply_by_day(household, product, on_shelf(household)[product.name], first, days)
    container = product.sizes[0].content
    return [Fraction(floor(s / container)) * container for s in supply] if product.whole else supply


def staple_rows(household: Household, first: date, days: int, look_to: int) -> tuple[StapleRow, ...]:
    """One row for each product with standing use, the first to end first.

    days: the rehearsal's; look_to: how many days ahead an end is looked for.
    """
    names = dict.fromkeys(s.product for s in household.standing)
    rows = [_row(household, household.products[name], first, days, max(days, look_to)) for name in names]
    known = [row for row in rows if row is not None]
    return tuple(sorted(known, key=lambda r: (r.days is None, r.days or 0, r.product)))


def _row(household: Household, product: Product, first: date, days: int, look_to: int) -> StapleRow | None:
    wanted = wanted_by_day(household, product, first, look_to)
    if not wanted or wanted[-1] <= 0:
        return None
    held = held_by_day(household, product, first, look_to)
    lacks = next((d for d in range(look_to) if wanted[d] > held[d]), None)
    container = product.sizes[0].content
    rate = _weekly(household, product, first + timedelta(days=lacks or 0))
    return StapleRow(
        product=product.name,
        weekly=_weekly(household, product, first),
        out=None if lacks is None else first + timedelta(days=lacks),
        days=lacks,
        lacking=max(ZERO, wanted[days - 1] - held[days - 1]) / container,
        one_more_days=7 / rate if rate and lacks is not None else None,
    )


def _weekly(household: Household, product: Product, day: date) -> Fraction:
    rows = (s.weekly[day.month - 1] for s in household.standing if s.product == product.name)
    return sum(rows, ZERO) / product.sizes[0].content
