"""What a count should begin with, when the last word on the shelves is old."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.larder.on_hand import in_lots
from pantrymeals.records import Household

if TYPE_CHECKING:
    from pantrymeals.forecast.forecast import BookPace

MOST_NAMED = 4


def count_first(
    household: Household, pace: BookPace, since: date, now: date
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Products of which usual use is reckoned to have taken the largest share since a day, with their places.

    The largest share stands first; of those that would be gone alike, the one of which more containers went. What
    stands in the fridge is seen every day, and is not named.
    """
    from pantrymeals.forecast.reckoned import reckoned

    then = reckoned(replace(household, today=since), now, pace)
    gone = []
    for name, product in household.products.items():
        there = in_lots(household, name)
        less = there - in_lots(then, name)
        if less > 0 and product.kind != "fridge" and product.on_menus:
            gone.append((-less / there, -product.containers(less), name))
    return tuple((name, places(household, name)) for _, _, name in sorted(gone)[:MOST_NAMED])


def places(household: Household, name: str) -> tuple[str, ...]:
    """The codes of the places where a product stands, in walking order."""
    order = {place.code: number for number, place in enumerate(household.places)}
    codes = {lot.where for lot in household.lots if (lot.product, lot.state) == (name, "") and lot.count > Fraction(0)}
    return tuple(sorted(filter(None, codes), key=lambda code: (order.get(code, len(order)), code)))
