"""How long standing use lasts: flour, butter, coffee and the jam pot, as the household really uses them.

Standing use goes before the menu, so its days depend on the shelf and on what comes in alone.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from itertools import accumulate, pairwise
from math import ceil

from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.larder.supply import going_by_day, held_by_day, stands, supply_by_day, wanted_by_day
from pantrymeals.plans.no_store import StapleRow
from pantrymeals.records import Household, Product

ZERO = Fraction(0)


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
    supply = supply_by_day(household, product, on_shelf(household)[product.name], first, look_to)
    held = held_by_day(product, supply)
    lacks = next((d for d in range(look_to) if wanted[d] > held[d]), None)
    container = product.sizes[0].content
    missed = missed_by_day(going_by_day(household, product, first, days), held)
    lacking = missed[-1] / container
    weekly = stands(household, product.name).times(1 / container)
    rate = weekly.on(first + timedelta(days=lacks or 0))
    return StapleRow(
        product=product.name,
        weekly=weekly.on(first),
        out=None if lacks is None else first + timedelta(days=lacks),
        days=lacks,
        without=tuple(
            first + timedelta(days=d) for d, (before, by) in enumerate(pairwise((ZERO, *missed))) if by > before
        ),
        lacking=Fraction(ceil(lacking)) if product.whole else lacking,
        one_more_days=7 / rate if rate and lacks is not None else None,
    )


def missed_by_day(going: list[Fraction], held: list[Fraction]) -> list[Fraction]:
    """What went missing by the end of each day (base measure), if nobody eats on Friday what lacked on Tuesday.

    So much had to be let in beforehand that nothing lacked: the most by which what was wanted so far was ever ahead
    of what had been there so far.
    """
    short = (max(ZERO, want - there) for want, there in zip(going, held, strict=False))
    return list(accumulate(short, max))
