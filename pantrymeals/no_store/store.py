"""What comes from a store, and a household without one.

An arrival comes from a store when its note speaks of an order, of buying, of a shop or of a co-op,
unless its product is on the household's allowed list. Milk by barter, the hens' eggs, the week's
bread and what garden and barn bring speak of none of these, and come in.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from pantrymeals.records import Arrival, Household
from pantrymeals.words import fold

_STORE = re.compile(r"\b(orders?|ordered|bought|buy|buying|purchased?|stores?|shops?|co-?op)\b", re.IGNORECASE)


def allowed_products(household: Household) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The allowed list as (products of this larder, plain words that are none of them)."""
    named: dict[str, str] = {}
    for product in household.products.values():
        for name in (*product.also_called, product.name):
            named[fold(name)] = product.name
    products: list[str] = []
    words: list[str] = []
    for text in household.no_store.allowed:
        found = named.get(fold(text))
        (words if found is None else products).append(text if found is None else found)
    return tuple(dict.fromkeys(products)), tuple(words)


def comes_from_store(arrival: Arrival) -> bool:
    """Whether an arrival's note says that it is bought."""
    return bool(_STORE.search(arrival.note))


def without_store(household: Household, first: date) -> Household:
    """The household with nothing coming in from a store from ``first`` on, save what it allows."""
    allowed = frozenset(allowed_products(household)[0])
    return replace(
        household,
        arrivals=tuple(
            a for a in household.arrivals if a.day < first or a.product in allowed or not comes_from_store(a)
        ),
    )


def kept_out(household: Household, first: date, days: int) -> tuple[Arrival, ...]:
    """What would have come from a store in these days."""
    allowed = frozenset(allowed_products(household)[0])
    end = first + timedelta(days=days)
    return tuple(
        a for a in household.arrivals if first <= a.day < end and a.product not in allowed and comes_from_store(a)
    )


def with_more(household: Household, product: str, containers: int, day: date) -> Household:
    """The household with so many more containers of a product, there on the morning of ``day``."""
    amount = household.products[product].sizes[0].content * containers
    more = Arrival(product, amount, day, "one more")
    return replace(household, arrivals=(*household.arrivals, more))
