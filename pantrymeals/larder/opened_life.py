"""How long an opened container may be eaten from: the one place that knows (rule 5 of 'What the rules mean').

With opened_days = L, what is ready on day d is good on days d to d + L - 1. A pack that must thaw is lifted out
``thaw_days`` before it is ready and is written down under that day; one begun already is ready, and its days
still count from the day it was thawed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.records import PartJar, Product

if TYPE_CHECKING:
    from pantrymeals.records import Household


class OpenedLife(Struct, frozen=True):
    """The first and the last day on which an opened container is used, both counted; last None: no clock."""

    ready: date
    last: date | None

    def past(self, day: date) -> bool:
        """Whether its last day lies before ``day``."""
        return self.last is not None and self.last < day

    def good(self, day: date) -> bool:
        """Whether it may be used on ``day``."""
        return self.ready <= day and not self.past(day)


def life_from(product: Product, ready: date) -> OpenedLife:
    """The life of a container that is opened, or thawed, on the day ``ready``."""
    days = product.opened_days
    return OpenedLife(ready, None if days is None else ready + timedelta(days=days - 1))


_SHORT_DAYS = 14


def goes_back_frozen(product: Product) -> bool:
    """A bag that is dipped into frozen and put back: not thawed first, and no short clock once it is opened."""
    long_lived = product.opened_days is None or product.opened_days > _SHORT_DAYS
    return product.kind == "freezer" and product.whole and not product.thaw_days and long_lived


def lifted_out(product: Product, ready: date) -> date:
    """The day a container is taken from its place to be ready on ``ready``: its nights in the fridge before."""
    return ready - timedelta(days=product.thaw_days)


def life_since(product: Product, opened: date, full: bool) -> OpenedLife:
    """The life of what was opened or lifted out on a day; a full pack is ready only when it has thawed."""
    thawed = life_from(product, opened + timedelta(days=product.thaw_days))
    return thawed if full else OpenedLife(opened, thawed.last)


def untouched(product: Product, part: PartJar) -> bool:
    """Whether a container is still full: then it was lifted out to thaw, not begun."""
    return part.left >= product.content(part.size)


def life_of(product: Product, part: PartJar) -> OpenedLife:
    """The life of a part jar, or of a pack lifted out to thaw."""
    return life_since(product, part.opened, untouched(product, part))


def lies_thawing(household: Household, product: Product, day: date) -> bool:
    """Whether a whole pack of a product, lifted out to thaw before, is there on a day."""
    return bool(product.thaw_days) and any(
        part.product == product.name and untouched(product, part) for part, _ in parts_not_past(household, day)
    )


def parts_not_past(household: Household, day: date) -> Iterator[tuple[PartJar, OpenedLife]]:
    """The part jars whose last day is ``day`` or later (packs that still thaw among them)."""
    for part in household.part_jars:
        life = life_of(household.products[part.product], part)
        if not life.past(day):
            yield part, life
