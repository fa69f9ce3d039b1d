"""One trip for a menu's goods: a line a product and place, for whoever is sent with a basket."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.plans.menu import PullLine


class TripRow(Struct, frozen=True):
    """All of one product that is fetched at one place.

    takes: (size, count) of each size, as the plan takes it. whole: it is opened whole, so each count is a whole
    number. lots: what the labels say, in the order they are taken; '' is never among them.
    """

    where: str
    product: str
    whole: bool
    takes: tuple[tuple[str, Fraction], ...]
    lots: tuple[str, ...]


class StillToCome(Struct, frozen=True):
    """What is not baked, milked or brought yet on the first day, and the days it comes in."""

    product: str
    size: str
    count: Fraction
    days: tuple[date, ...]


class Trip(Struct, frozen=True):
    """What is fetched for the days up to ``last``, in walking order; what is open already; what only comes in."""

    last: date
    open_already: tuple[PullLine, ...] = ()
    rows: tuple[TripRow, ...] = ()
    to_come: tuple[StillToCome, ...] = ()


NO_TRIP = Trip(date.max)
