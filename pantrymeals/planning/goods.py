"""Goods in whole numbers: each product counted in its own grain.

The grain is the greatest measure that divides a product's container and every amount a dish takes
(half a quart and a quart: the grain is half a quart). Where no coarse grain fits, it is a thousandth
of a container, and uses are rounded up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from pantrymeals.planning.evenness import averaged, in_containers, lately, put_right, shares, steps
from pantrymeals.planning.possible import Possible
from pantrymeals.planning.request import MenuRequest
from pantrymeals.records import Household, PartJar, Product

GRAINS_A_CONTAINER = 1000


@dataclass(frozen=True, slots=True)
class Part:
    """A part jar, or a pack that is thawing: grains, and the first and last day it can be used."""

    grains: int
    ready: int
    last: int


@dataclass(frozen=True, slots=True)
class Goods:
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
        return put_right(self.share, pace, self.even_lately, self.eaten_lately, self.step)

    def supply(self, day: int) -> int:
        """Grains that shelf and arrivals have held up to the end of a day, without part jars."""
        return self.shelf + sum(grains for d, grains in self.arrivals if d <= day)


def goods_for(
    household: Household,
    request: MenuRequest,
    possible: Iterable[Possible],
    shelf: Mapping[str, Fraction],
    end: date,
) -> dict[str, Goods]:
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


def standing_by_day(
    household: Household, product: Product, first: date, days: int, supply: list[Fraction]
) -> list[Fraction]:
    """What standing use has taken by the end of each day (base measure).

    Whole containers where the product is opened whole; never more than supply up to that day.
    """
    rows = [s for s in household.standing if s.product == product.name]
    if not rows:
        return [Fraction(0)] * days
    container = product.sizes[0].content
    total = Fraction(0)
    out = []
    for d in range(days):
        month = (first + timedelta(days=d)).month
        total += sum((s.weekly[month - 1] for s in rows), Fraction(0)) / 7
        taken = ceil(total / container) * container if product.whole else total
        held = floor(supply[d] / container) * container if product.whole else supply[d]
        out.append(min(taken, held))
    return out


def supply_by_day(household: Household, product: Product, shelf: Fraction, first: date, days: int) -> list[Fraction]:
    """What shelf and arrivals have held by the end of each day (base measure), reserve and part jars apart."""
    out = []
    held = shelf
    coming: dict[int, Fraction] = {}
    for a in household.arrivals:
        if a.product == product.name:
            d = (a.day - first).days
            if 0 <= d < days:
                coming[d] = coming.get(d, Fraction(0)) + a.amount
    for d in range(days):
        held += coming.get(d, Fraction(0))
        out.append(held)
    return out


def part_days(product: Product, jar: PartJar, first: date, days: int) -> tuple[int, int]:
    """First and last day a part jar can be used, counted from the first day.

    What must thaw has been open since it was lifted out; its clock starts after its nights in the
    fridge, and a whole pack is ready only then. One begun already is ready.
    """
    whole_pack = any(s.name == jar.size and s.content <= jar.left for s in product.sizes)
    opened = (jar.opened - first).days
    ready = opened + product.thaw_days if whole_pack else opened
    if product.opened_days is None:
        return ready, days
    return ready, opened + product.thaw_days + product.opened_days - 1


def nights_left(household: Household, product: Product, first: date) -> int:
    """Days of the menu before a pack can be ready: its nights in the fridge, less those from today to the first day.

    A menu that begins later than today is known today, so a pack may be lifted out before its first day.
    """
    return max(0, product.thaw_days - max(0, (first - household.today).days))


def grains_of(goods: Goods, amount: Fraction) -> int:
    """An amount (base measure) in grains, rounded up."""
    return ceil(amount * goods.container / goods.exact_container)


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
) -> Goods:
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
    parts = []
    for jar in household.part_jars:
        if jar.product == product.name:
            ready, good = part_days(product, jar, first, days)
            if good >= 0:
                parts.append(Part(floor(jar.left / grain), ready, good))
    life = product.opened_days
    soon_over = any(part.last < days - 1 for part in parts)
    last = None
    keeps = product.must_last_to
    renewed = any(a.product == product.name and keeps is not None and keeps <= a.day < end for a in household.arrivals)
    if product.deadline_kind == "keeps to" and keeps is not None and keeps < end and not renewed:
        last = max(-1, (keeps - first).days)
    return Goods(
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
            (size.name, round(size.content / grain), _count(household, product.name, size.name))
            for size in product.sizes
        ),
        step=step,
        stood=standing[-1] / product.sizes[0].content,
        even_lately=past[0] / product.sizes[0].content,
        eaten_lately=past[1] / product.sizes[0].content,
    )


def _count(household: Household, product: str, size: str) -> int:
    """Whole containers of one size on the shelf."""
    return floor(
        sum(
            (lot.count for lot in household.lots if (lot.product, lot.size, lot.state) == (product, size, "")),
            Fraction(0),
        )
    )
