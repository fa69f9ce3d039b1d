"""Which containers a menu opens, no sooner than needed, what it takes of each, and what goes over."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from msgspec import Struct, field

from pantrymeals.larder.opened_life import OpenedLife, life_from, lifted_out, parts_not_past
from pantrymeals.plans.menu import BegunUse, DayUse, Opening, Waste
from pantrymeals.records import Household, PartJar, Product


class _Container(Struct):
    """Containers that are opened together: what is left of them all (base measure), and what was taken when."""

    size: str
    count: int
    left: Fraction
    life: OpenedLife
    part: PartJar | None = None
    uses: list[DayUse] = field(default_factory=list)

    def take(self, day: date, amount: Fraction) -> Fraction:
        """What of an amount it gives on a day."""
        taken = min(self.left, amount)
        if taken:
            self.left -= taken
            self.uses.append((day, taken))
        return taken


class Opened(Struct, frozen=True):
    """What a menu opens, what it takes of containers that are open already, and what goes over."""

    openings: tuple[Opening, ...]
    begun: tuple[BegunUse, ...]
    waste: tuple[Waste, ...]
    still: Mapping[str, Fraction]
    """By product, what is open and good when the last day is over (base measure)."""


def opened_for(
    household: Household,
    first: date,
    days: int,
    needs: Mapping[str, Mapping[int, Fraction]],
    pool: Mapping[str, list[tuple[int, str]]],
) -> Opened:
    """For what is needed of each whole-container product, by day from the first.

    pool: for products of several sizes, the (day, size) of containers meant to be opened.
    """
    openings: list[Opening] = []
    begun: list[BegunUse] = []
    waste: dict[tuple[date, str], Fraction] = {}
    still: dict[str, Fraction] = {}
    end = first + timedelta(days=days)
    for name in sorted({*needs, *(p.product for p in household.part_jars)}):
        product = household.products[name]
        if not product.whole:
            continue
        for c in _containers(household, product, first, needs.get(name, {}), pool.get(name, [])):
            if c.part is not None:
                begun.append(BegunUse(name, c.part.size, c.part.opened, tuple(c.uses)))
            else:
                ready = c.life.ready
                lifted = lifted_out(product, ready) if product.thaw_days else None
                openings.append(Opening(ready, name, c.size, c.count, lifted, c.life.last, tuple(c.uses)))
            if c.left and c.life.last is not None and c.life.last < end:
                waste[c.life.last, name] = waste.get((c.life.last, name), Fraction(0)) + c.left
            elif c.life.ready < end:
                still[name] = still.get(name, Fraction(0)) + c.left
    return Opened(
        tuple(sorted(openings, key=lambda o: (o.day, o.product, o.size))),
        tuple(b for b in begun if b.uses),
        tuple(Waste(day, name, over) for (day, name), over in sorted(waste.items())),
        still,
    )


def _containers(
    household: Household, product: Product, first: date, needs: Mapping[int, Fraction], pool: list[tuple[int, str]]
) -> list[_Container]:
    """Everything of a product that is or will be open, with what is taken of it."""
    parts = sorted(parts_not_past(household, first), key=lambda found: found[0].opened)
    found = [_Container(p.size, 1, p.left, life, p) for p, life in parts if p.product == product.name]
    for number, need in sorted(needs.items()):
        day = first + timedelta(days=number)
        short = need - sum((c.left for c in found if c.life.good(day)), Fraction(0))
        while short > 0:
            size, count = _next_size(product, short, pool)
            content = next(s.content for s in product.sizes if s.name == size)
            found.append(_Container(size, count, content * count, life_from(product, day)))
            short -= count * content
        for container in sorted(found, key=lambda c: c.life.last or date.max):
            if container.life.good(day):
                need -= container.take(day, need)
    return found


def _next_size(product: Product, short: Fraction, pool: list[tuple[int, str]]) -> tuple[str, int]:
    """The size to open next, and how many of it."""
    if len(product.sizes) == 1 or not pool:
        return product.sizes[0].name, ceil(short / product.sizes[0].content)
    return pool.pop(0)[1], 1
