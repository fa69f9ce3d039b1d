"""The day a product must reach, the days of its season up to it, and whether it may be eaten on one of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction
from typing import TypeVar

from msgspec.structs import replace

from pantrymeals.records import Arrival, Household, Product
from pantrymeals.season_facts import ExpectedCrop

YEAR = timedelta(days=365)


def must_reach(product: Product, after: date, looking_back: bool = False) -> date | None:
    """The day after ``after`` that it must last to: as written, or, where that is past, the next time it comes round.

    29 February is the 28th in plain years. looking_back: ``after`` is a day of years gone by, in which it came
    round as it does in the year that is written.
    """
    due = product.must_last_to
    if due is None or (due > after and not looking_back):
        return due
    return comes_round(due, after)


def comes_round(day: date, after: date) -> date:
    """The next time that day of the year comes round after a day; 29 February as the 28th in plain years."""
    day = date(2000, 2, 28) if (day.month, day.day) == (2, 29) else day
    this_year = day.replace(year=after.year)
    return this_year if this_year > after else day.replace(year=after.year + 1)


def deadline(product: Product, first: date) -> date:
    """The day that what is there must last to; a year on where none is written."""
    return must_reach(product, first) or first + YEAR


def season_days(product: Product, first: date, end: date) -> int:
    """Days from first up to (not including) end on which the product is eaten, nothing fresh being there instead."""
    days = range(max(0, (end - first).days))
    if not product.eaten_in and not product.waits_on:
        return len(days)
    on = (first + timedelta(d) for d in days)
    return sum(is_eaten(product, day) and day not in product.waits_on for day in on)


def is_eaten(product: Product, day: date) -> bool:
    """Whether the product is eaten in that month."""
    return not product.eaten_in or day.month in product.eaten_in


def past_keeping(household: Household, product: Product, day: date) -> bool:
    """Whether the day that a product keeps to is behind, with nothing new come in on it or since."""
    keeps = product.must_last_to
    if not keeps_to(product) or keeps is None or day <= keeps:
        return False
    return not any(a.product == product.name and keeps <= a.day <= day for a in household.arrivals)


def may_be_planned(household: Household, product: Product, day: date) -> bool:
    """Whether a dish of that day may take it: for menus at all, eaten in that month, and not past keeping."""
    return product.on_menus and is_eaten(product, day) and not past_keeping(household, product, day)


def keeps_to(product: Product) -> bool:
    """Whether its day is one to be gone by, not one to reach: it does not keep beyond it."""
    return product.deadline_kind == "keeps to"


def its_day(household: Household, product: Product) -> date | None:
    """The day it must last to, or be eaten by, as the household stands; that may be past for what does not keep.

    Past is what was there before its day. A day behind which something new was put up is the old crop's: the new
    one keeps till it comes round again.
    """
    due, today = product.must_last_to, household.today
    if due is None or due > today or not keeps_to(product):
        return must_reach(product, today)
    lots = [lot for lot in household.lots if lot.product == product.name and lot.state == "" and lot.count > 0]
    newer = [lot for lot in lots if lot.put_up is not None and lot.put_up >= due]
    return must_reach(product, today) if newer else due


EARLY = timedelta(days=30)
"""A crop may be in so long before its usual day. Common practice, no published source."""


def _put_up_by_day(household: Household, name: str) -> list[tuple[date, Fraction]]:
    """What is there of a product's own crops, by the day it was put up (base measure)."""
    product = household.products[name]
    lots = (lot for lot in household.lots if lot.product == name and lot.state == "" and not lot.year_only)
    return [(lot.put_up, lot.count * product.content(lot.size)) for lot in lots if lot.put_up]


def _new_crop_is_in(household: Household, name: str, due: date) -> bool:
    """Whether some of it is there that was put up in the month before its usual day, which is still ahead."""
    early, today = due - EARLY, household.today
    return early <= today < due and any(
        early <= day <= today and there for day, there in _put_up_by_day(household, name)
    )


Coming = TypeVar("Coming", Arrival, ExpectedCrop)


def _still_to_come(household: Household, rows: Iterable[Coming]) -> tuple[Coming, ...]:
    """What is expected of crops, less what of them is in: put up since a month before the day of its row.

    A jar stands for one row, and earlier rows have theirs first, so a crop that is late leaves what is still to come.
    """
    kept = list(rows)
    again = {name for name, product in household.products.items() if product.deadline_kind == "new crop"}
    new = {name: _put_up_by_day(household, name) for name in again & {row.product for row in kept}}
    left = {}
    for at in sorted(range(len(kept)), key=lambda at: kept[at].day):
        row = kept[at]
        left[at] = row.amount
        lots = new.get(row.product, [])
        for number, (day, there) in enumerate(lots):
            if day >= row.day - EARLY:
                less = min(left[at], there)
                left[at], lots[number] = left[at] - less, (day, there - less)
    return tuple(
        row if left[at] == row.amount else replace(row, amount=left[at]) for at, row in enumerate(kept) if left[at]
    )


def with_crops_that_are_in(household: Household) -> Household:
    """The household whose products last to the next crop, where the one that was due is in already.

    What is in of a crop is no longer expected, neither of the calendar nor of the season. What does not keep beyond its
    day, and has been put up anew since, keeps till that day comes round again.
    """
    products = dict(household.products)
    for name, product in household.products.items():
        due = product.must_last_to
        if keeps_to(product):
            products[name] = replace(product, must_last_to=its_day(household, product))
        elif due and product.deadline_kind == "new crop" and _new_crop_is_in(household, name, due):
            products[name] = replace(product, must_last_to=comes_round(due, due))
    season, written = household.season, {(a.product, a.day) for a in household.arrivals}
    gone_by = [e for e in season.expected if e.day < household.today and (e.product, e.day) not in written]
    behind = {(e.product, e.day) for e in gone_by}
    coming = _still_to_come(household, (*(Arrival(e.product, e.amount, e.day) for e in gone_by), *household.arrivals))
    return replace(
        household,
        products=products,
        arrivals=tuple(a for a in coming if (a.product, a.day) not in behind),
        season=replace(season, expected=_still_to_come(household, season.expected)),
    )
