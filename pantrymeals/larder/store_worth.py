"""What was eaten would have cost in a store; and what of it was bought."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from pantrymeals.larder.book_history import Entry, Lines
from pantrymeals.plans.evening import Origin
from pantrymeals.records import Product

_ORIGINS: Mapping[str, Origin] = {"put up": "put up", "bought": "bought", "arrived": "came in"}


def at_store_prices(products: Mapping[str, Product], used: Mapping[str, Fraction]) -> tuple[Fraction, tuple[str, ...]]:
    """(what so many containers cost at the prices written down, the products without a price)."""
    priced = {name: products[name].price_usd for name in used}
    worth = sum((used[n] * price for n, price in priced.items() if price is not None), Fraction(0))
    return worth, tuple(n for n, price in priced.items() if price is None)


def used_by_origin(lines: Lines, first: date, last: date) -> dict[Origin, dict[str, Fraction]]:
    """Containers used within those days, by how their lot first came: put up, bought, brought in, or there before."""
    out: dict[Origin, dict[str, Fraction]] = {}
    for name, own in lines.items():
        came: dict[int, Entry] = {}
        for line in own:
            if line.amount > 0:
                came.setdefault(line.lot, line)
        for line in own:
            if line.sort == "used" and first <= line.day <= last:
                origin = _ORIGINS.get(came[line.lot].reason, "before") if line.lot in came else "before"
                its = out.setdefault(origin, {})
                its[name] = its.get(name, Fraction(0)) - line.amount
    return out
