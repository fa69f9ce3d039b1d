"""The day a product must reach, and the days of its season up to it."""

from __future__ import annotations

from datetime import date, timedelta

from pantrymeals.records import Product

YEAR = timedelta(days=365)


def must_reach(product: Product, after: date, looking_back: bool = False) -> date | None:
    """The day after ``after`` that it must last to: as written, or, where that is past, the next time it comes round.

    29 February is the 28th in plain years. looking_back: ``after`` is a day of years gone by, in which it came
    round as it does in the year that is written.
    """
    due = product.must_last_to
    if due is None or (due > after and not looking_back):
        return due
    day = _in_year(due, after.year)
    return day if day > after else _in_year(due, after.year + 1)


def _in_year(day: date, year: int) -> date:
    return day.replace(year=year, day=28) if (day.month, day.day) == (2, 29) else day.replace(year=year)


def deadline(product: Product, first: date) -> date:
    """The day that what is there must last to; a year on where none is written."""
    return must_reach(product, first) or first + YEAR


def season_days(product: Product, first: date, end: date) -> int:
    """Days from first up to (not including) end on which the product is eaten."""
    if not product.eaten_in:
        return max(0, (end - first).days)
    return sum((first + timedelta(d)).month in product.eaten_in for d in range(max(0, (end - first).days)))
