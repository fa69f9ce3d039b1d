"""What a product has held and lost by each day: shelf and arrivals, and standing use."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from pantrymeals.records import Household, Product


def standing_by_day(
    household: Household, product: Product, first: date, days: int, supply: list[Fraction]
) -> list[Fraction]:
    """What standing use has taken by the end of each day (base measure).

    Whole containers where the product is opened whole; never more than supply up to that day.
    """
    rows = [s for s in household.standing if s.product == product.name]
    if not rows:
        return [Fraction(0)] * days
    container = product.sizes[0].content
    total = Fraction(0)
    out = []
    for d in range(days):
        month = (first + timedelta(days=d)).month
        total += sum((s.weekly[month - 1] for s in rows), Fraction(0)) / 7
        taken = ceil(total / container) * container if product.whole else total
        held = floor(supply[d] / container) * container if product.whole else supply[d]
        out.append(min(taken, held))
    return out


def supply_by_day(household: Household, product: Product, shelf: Fraction, first: date, days: int) -> list[Fraction]:
    """What shelf and arrivals have held by the end of each day (base measure), reserve and part jars apart."""
    out = []
    held = shelf
    coming: dict[int, Fraction] = {}
    for a in household.arrivals:
        if a.product == product.name:
            d = (a.day - first).days
            if 0 <= d < days:
                coming[d] = coming.get(d, Fraction(0)) + a.amount
    for d in range(days):
        held += coming.get(d, Fraction(0))
        out.append(held)
    return out


def nights_left(household: Household, product: Product, first: date) -> int:
    """Days of the menu before a pack can be ready: its nights in the fridge, less those from today to the first day.

    A menu that begins later than today is known today, so a pack may be lifted out before its first day.
    """
    return max(0, product.thaw_days - max(0, (first - household.today).days))
