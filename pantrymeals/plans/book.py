"""What the book says of past seasons, summed."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec import Struct


class BookYear(Struct, frozen=True):
    """One product over one book year, in containers of its first size.

    year: the year in which it began. full: False while it is still running, or where the book
    began too late. weeks: how many weeks of it the figures speak for.
    """

    product: str
    year: int
    carried_in: Fraction
    put_up: Fraction
    given: Fraction
    lost: Fraction
    used: Fraction
    carried_out: Fraction
    full: bool = True
    weeks: float = 52.0


class ShelfDay(Struct, frozen=True):
    """What the book says was there at the end of a day on which something changed, and what came in that day."""

    day: date
    there: Fraction
    came: Fraction
