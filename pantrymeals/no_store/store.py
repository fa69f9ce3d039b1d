"""What comes from a store, and a household without one.

An arrival comes from a store when its note speaks of an order, of buying, of a shop or of a co-op,
unless its product is on the household's allowed list. Milk by barter, the hens' eggs, the week's
bread and what garden and barn bring speak of none of these, and come in.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from msgspec.structs import replace

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


def _bought(household: Household) -> tuple[Arrival, ...]:
    """What comes in whose note says that it is bought, save what the household allows."""
    allowed = frozenset(allowed_products(household)[0])
    return tuple(a for a in household.arrivals if a.product not in allowed and _STORE.search(a.note))


def without_store(household: Household, first: date) -> Household:
    """The household with nothing coming in from a store from ``first`` on, save what it allows."""
    bought = [a for a in _bought(household) if a.day >= first]
    return replace(household, arrivals=tuple(a for a in household.arrivals if a not in bought))


def kept_out(household: Household, first: date, days: int) -> tuple[Arrival, ...]:
    """What would have come from a store in these days."""
    return tuple(a for a in _bought(household) if first <= a.day < first + timedelta(days=days))


def with_more(household: Household, product: str, containers: int, day: date) -> Household:
    """The household with so many more containers of a product, there on the morning of ``day``."""
    amount = household.products[product].sizes[0].content * containers
    more = Arrival(product, amount, day, "one more")
    return replace(household, arrivals=(*household.arrivals, more))
