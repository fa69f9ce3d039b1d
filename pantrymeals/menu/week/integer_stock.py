"""IntegerStock in whole numbers: each product counted in its own grain.

The grain is the greatest measure that divides a product's container and every amount a dish takes
(half a quart and a quart: the grain is half a quart). Where no coarse grain fits, it is a thousandth
of a container, and uses are rounded up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from pantrymeals.larder.evenness import averaged, in_containers, lately, shares, steps, with_memory
from pantrymeals.larder.on_hand import of_size
from pantrymeals.larder.opened_life import parts_not_past
from pantrymeals.larder.supply import nights_left, standing_by_day, supply_by_day
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.possible import Possible
from pantrymeals.records import Household, Product

GRAINS_A_CONTAINER = 1000


@dataclass(frozen=True, slots=True)
class Part:
    """A part jar, or a pack that is thawing: grains, and the first and last day it can be used."""

    grains: int
    ready: int
    last: int


@dataclass(frozen=True, slots=True)
class IntegerStock:
    """One product in grains.

    container: grains in one of its first size. whole: opened whole.
    shelf: above the reserve, in grains (whole containers for whole goods). arrivals: (day, grains).
    standing: grains taken by standing use by the end of each day (cumulative).
    parts: part jars and thawing packs, the soonest over first; days counted from the first day.
    life: days an opened one is good, its first day counted; None: nothing opened goes over within the horizon.
    thaw: days of the menu before a container can be ready.
    last: last day it may be planned, counted from the first day; None: no such day.
    share: its even share in containers, before the common pace; averaged: whether it is asked for.
    step: whole containers by which it is usually drawn; stood: what standing use takes in all (containers).
    even_lately, eaten_lately: see ``evenness.lately`` (containers).
    sizes: (name, grains, how many on the shelf) of each size it comes in, the first size first.
    """

    name: str
    container: int
    whole: bool
    shelf: int
    arrivals: tuple[tuple[int, int], ...]
    standing: tuple[int, ...]
    parts: tuple[Part, ...]
    life: int | None
    thaw: int
    last: int | None
    share: Fraction
    averaged: bool
    exact_container: Fraction
    sizes: tuple[tuple[str, int, int], ...] = ()
    step: int = 1
    stood: Fraction = Fraction(0)
    even_lately: Fraction = Fraction(0)
    eaten_lately: Fraction = Fraction(0)

    def share_at(self, pace: Fraction) -> Fraction:
        """Its even share at a common pace, put right by what was lately eaten (containers)."""
        return with_memory(self.share, pace, self.even_lately, self.eaten_lately, self.step)

    def supply(self, day: int) -> int:
        """Grains that shelf and arrivals have held up to the end of a day, without part jars."""
        return self.shelf + sum(grains for d, grains in self.arrivals if d <= day)


def integer_stocks(
    household: Household,
    request: MenuRequest,
    possible: Iterable[Possible],
    shelf: Mapping[str, Fraction],
    end: date,
) -> dict[str, IntegerStock]:
    """Every product that a candidate may draw or that is averaged, counted in its own grain."""
    amounts: dict[str, set[Fraction]] = {}
    for r in possible:
        for use in r.uses:
            for option, amount in use:
                amounts.setdefault(option.product, set()).add(amount)
    share = in_containers(household, shares(household, request.first, request.days))
    wanted = averaged(household, request.first, request.days)
    step = steps(household)
    before = lately(household)
    out = {}
    for name, product in household.products.items():
        if name in amounts:
            out[name] = _one_good(
                household, request, product, shelf[name], amounts[name], end,
                share.get(name, Fraction(0)), name in wanted, step[name], before.get(name, (Fraction(0), Fraction(0))),
            )  # fmt: skip
    return out


def _grain(product: Product, amounts: set[Fraction]) -> tuple[Fraction, int]:
    """The grain (base measure) and grains in one container of the first size."""
    container = product.sizes[0].content
    ratios = [amount / container for amount in amounts] + [s.content / container for s in product.sizes]
    common = 1
    for ratio in ratios:
        common = lcm(common, ratio.denominator)
        if common > GRAINS_A_CONTAINER:
            return container / GRAINS_A_CONTAINER, GRAINS_A_CONTAINER
    greatest = 0
    for ratio in [*ratios, Fraction(1)]:
        greatest = gcd(greatest, int(ratio * common))
    return container * greatest / common, common // greatest


def grains_of(stock: IntegerStock, amount: Fraction) -> int:
    """An amount (base measure) in grains, rounded up."""
    return ceil(amount * stock.container / stock.exact_container)


def _one_good(
    household: Household,
    request: MenuRequest,
    product: Product,
    shelf: Fraction,
    amounts: set[Fraction],
    end: date,
    share: Fraction,
    is_averaged: bool,
    step: int,
    past: tuple[Fraction, Fraction],
) -> IntegerStock:
    first, days = request.first, request.days
    grain, container = _grain(product, amounts)
    supply = supply_by_day(household, product, shelf, first, days)
    standing = standing_by_day(household, product, first, days, supply)
    arrivals = []
    before = shelf
    for d in range(days):
        if supply[d] != before:
            arrivals.append((d, floor(supply[d] / grain) - floor(before / grain)))
            before = supply[d]
    parts = [
        Part(floor(jar.left / grain), (life.ready - first).days, (life.last - first).days if life.last else days)
        for jar, life in parts_not_past(household, first)
        if jar.product == product.name
    ]
    life = product.opened_days
    soon_over = any(part.last < days - 1 for part in parts)
    last = None
    keeps = product.must_last_to
    renewed = any(a.product == product.name and keeps is not None and keeps <= a.day < end for a in household.arrivals)
    if product.deadline_kind == "keeps to" and keeps is not None and keeps < end and not renewed:
        last = max(-1, (keeps - first).days)
    return IntegerStock(
        name=product.name,
        container=container,
        whole=product.whole,
        shelf=floor(shelf / grain),
        arrivals=tuple(arrivals),
        standing=tuple(
            min(ceil(taken / grain), floor(held / grain)) for taken, held in zip(standing, supply, strict=True)
        ),
        parts=tuple(sorted(parts, key=lambda p: p.last)),
        life=life if life is not None and (life < days or soon_over) else None,
        thaw=nights_left(household, product, first),
        last=last,
        share=share,
        averaged=is_averaged,
        exact_container=product.sizes[0].content,
        sizes=tuple(
            (size.name, round(size.content / grain), of_size(household, product, size.name)) for size in product.sizes
        ),
        step=step,
        stood=standing[-1] / product.sizes[0].content,
        even_lately=past[0] / product.sizes[0].content,
        eaten_lately=past[1] / product.sizes[0].content,
    )
