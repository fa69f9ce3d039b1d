"""Can so much of a product be spared: the one forecast, with and without it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.foresee import foresee
from pantrymeals.larder.on_hand import less, on_shelf
from pantrymeals.plans.evening import Spared
from pantrymeals.records import Household, Product, Size

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan


def spare(
    household: Household, pace: BookPace, product: Product, size: Size, count: Fraction, plan: MenuPlan | None = None
) -> Spared:
    """The forecast of a product as it is, and with so many containers fewer, the oldest of that size gone.

    after: None where not so many are there above the reserve.
    """
    name, amount = product.name, count * size.content
    there = on_shelf(household)[name]
    of_size = sum(
        (x.count for x in household.lots if (x.product, x.size, x.state) == (name, size.name, "")), Fraction(0)
    )
    before = foresee(household, pace, plan, names={name}, also={name})
    after = None
    if amount <= there and count <= of_size:
        without = replace(household, lots=less(product, household.lots, amount, size.name))
        after = foresee(without, pace, plan, names={name}, also={name}).rows[0]
    return Spared(product, size, count, min(there / size.content, of_size), before.rows[0], after, before.notes)
