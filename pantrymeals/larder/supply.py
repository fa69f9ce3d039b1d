"""What a product has held and lost by each day: shelf and arrivals, and standing use."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from functools import reduce
from math import ceil, floor
from typing import TYPE_CHECKING

from pantrymeals.records import Household, Product, StandingUse

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan


def stands(household: Household, name: str) -> StandingUse:
    """What standing use takes of a product (base measure a week); nothing where it has none."""
    rows = (use for use in household.standing if use.product == name)
    return reduce(StandingUse.beside, rows, StandingUse(name, (Fraction(0),) * 12))


def going_by_day(household: Household, product: Product, first: date, days: int) -> list[Fraction]:
    """What standing use goes through by the end of each day (base measure), parts of containers told as such."""
    use, total, out = stands(household, product.name), Fraction(0), []
    if not use:
        return [total] * days
    for d in range(days):
        total += use.on(first + timedelta(days=d)) / 7
        out.append(total)
    return out


def wanted_by_day(household: Household, product: Product, first: date, days: int) -> list[Fraction]:
    """What standing use would have taken by the end of each day if there were enough (base measure).

    Whole containers where the product is opened whole.
    """
    out = going_by_day(household, product, first, days)
    container = product.sizes[0].content
    return [ceil(total / container) * container for total in out] if product.whole else out


def held_by_day(product: Product, supply: list[Fraction]) -> list[Fraction]:
    """What supply holds for standing use by the end of each day: whole containers of what is opened whole."""
    container = product.sizes[0].content
    return [floor(held / container) * container for held in supply] if product.whole else supply


def standing_by_day(
    household: Household, product: Product, first: date, days: int, supply: list[Fraction]
) -> list[Fraction]:
    """What standing use has taken by the end of each day (base measure); never more than supply up to that day."""
    if not stands(household, product.name):
        return [Fraction(0)] * days
    wanted = wanted_by_day(household, product, first, days)
    return list(map(min, wanted, held_by_day(product, supply)))


def used_by_day(plan: MenuPlan, name: str) -> list[Fraction]:
    """What the dishes of each day take of a product (base measure)."""
    out = [Fraction(0)] * plan.days
    for meal in plan.meals:
        taken = (use.amount for dish in meal.dishes for use in dish.uses if use.product == name)
        out[(meal.day - plan.first).days] += sum(taken, Fraction(0))
    return out


def fetched_by_day(plan: MenuPlan, product: Product, size: str = "") -> list[Fraction]:
    """What a menu takes off the shelf each day (base measure): containers as opened (of that size), else as used."""
    if not product.whole:
        return used_by_day(plan, product.name)
    out = [Fraction(0)] * plan.days
    for o in plan.openings:
        if o.product == product.name and size in ("", o.size):
            out[(o.day - plan.first).days] += o.count * product.content(o.size)
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
    return max(0, product.thaw_days - max(0, (first - (household.reckoned_from or household.today)).days))
