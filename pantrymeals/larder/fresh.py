"""What comes in fresh and is good for a few days: when it is there, and what of it is left by when (rule 16).

What comes in on day a, of a product that is good for k days (``fresh_days``), may be eaten on days a .. a+k-1 and is
then over. What was there at the count is as old as its lot; one without a day came on the day of the count.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

from pantrymeals.larder.supply import used_by_day
from pantrymeals.records import Household, Lot, Product

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan


def came_on(household: Household, lot: Lot) -> date:
    """The day a fresh lot came in."""
    return household.today if lot.put_up is None or lot.year_only else lot.put_up


def gone_by(household: Household, product: Product, lot: Lot, day: date) -> bool:
    """Whether a lot of what is good for days is over by the morning of a day."""
    return product.fresh_days is not None and came_on(household, lot) + timedelta(days=product.fresh_days) <= day


def could_give(household: Household, product: Product, plan: MenuPlan, day: date) -> Fraction:
    """What more of a fresh product a dish of that day could have had, all else as it is (base measure)."""
    came = list(comings(household, product, plan.first, plan.days))
    eaten, number, good = used_by_day(plan, product.name), (day - plan.first).days, product.fresh_days or 0
    return min(
        sum((amount for on, amount in came if start - good < on <= end), Fraction(0))
        - sum(eaten[start : end + 1], Fraction(0))
        for start in range(number + 1)
        for end in range(number, plan.days)
    )


def comings(household: Household, product: Product, first: date, days: int) -> Iterator[tuple[int, Fraction]]:
    """(day counted from the first, base measure) of what is still good on the first day or comes in within the days."""
    for lot in household.lots:
        if (lot.product, lot.state) == (product.name, "") and not gone_by(household, product, lot, first):
            yield min(0, (came_on(household, lot) - first).days), lot.count * product.content(lot.size)
    for arrival in household.arrivals:
        number = (arrival.day - first).days
        if arrival.product == product.name and 0 <= number < days:
            yield number, arrival.amount
