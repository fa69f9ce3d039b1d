"""What calendar.yaml says of days: what comes in on one, and who comes or is away."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from pantrymeals.errors import Place
from pantrymeals.records.store import MealName

__all__ = ["Arrival", "Occasion"]


class Arrival(Struct, frozen=True):
    """Something that comes in on one day: eggs, milk, the week's bread, an order, a new crop."""

    product: str
    amount: Fraction
    day: date
    note: str = ""
    place: Place = Place("calendar.yaml")


class Occasion(Struct, frozen=True):
    """A day (or run of days) when the table is larger, smaller or finer than usual.

    guests: extra portions at ``meals``; away: names not at table; no_tins: names who carry no lunch tin.
    feast: dishes kept for feasts may be planned; crew: likewise for crews.
    """

    first: date
    last: date
    name: str
    guests: Fraction = Fraction(0)
    meals: tuple[MealName, ...] = ("supper",)
    away: frozenset[str] = frozenset()
    no_tins: frozenset[str] = frozenset()
    kind: Literal["", "feast", "crew"] = ""
    dish: str = ""
    weekdays: frozenset[str] = frozenset()
    place: Place = Place("calendar.yaml")
