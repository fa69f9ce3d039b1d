"""Which containers a menu opens, and what of them goes over: opened no sooner than needed, oldest used first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from pantrymeals.larder.opened_life import OpenedLife, life_from, parts_not_past
from pantrymeals.plans.menu import Opening, Waste
from pantrymeals.records import Household, Product


@dataclass(slots=True)
class _Opened:
    left: Fraction
    life: OpenedLife


def opened_for(
    household: Household,
    first: date,
    days: int,
    needs: Mapping[str, Mapping[int, Fraction]],
    pool: Mapping[str, list[tuple[int, str]]],
) -> tuple[tuple[Opening, ...], tuple[Waste, ...]]:
    """Openings and waste for what is needed of each whole-container product, by day from the first.

    pool: for products of several sizes, the (day, size) of containers meant to be opened.
    """
    openings: list[Opening] = []
    waste: list[Waste] = []
    names = {*needs, *(p.product for p in household.part_jars)}
    for name in sorted(names):
        product = household.products[name]
        if product.whole:
            opened, wasted = _one(household, product, first, days, needs.get(name, {}), pool.get(name, []))
            openings += opened
            waste += wasted
    openings.sort(key=lambda o: (o.day, o.product, o.size))
    waste.sort(key=lambda w: (w.day, w.product))
    return tuple(openings), tuple(waste)


def _one(
    household: Household,
    product: Product,
    first: date,
    days: int,
    needs: Mapping[int, Fraction],
    pool: list[tuple[int, str]],
) -> tuple[list[Opening], list[Waste]]:
    parts = sorted(parts_not_past(household, first), key=lambda found: found[0].opened)
    open_now = [_Opened(part.left, life) for part, life in parts if part.product == product.name]
    openings: list[Opening] = []
    waste: list[Waste] = []
    for day in range(days):
        need = needs.get(day, Fraction(0))
        on = first + timedelta(days=day)
        short = need - sum((j.left for j in open_now if j.life.ready <= on), Fraction(0))
        while short > 0:
            size, count = _next_size(product, short, pool)
            content = next(s.content for s in product.sizes if s.name == size)
            openings.append(Opening(on, product.name, size, count))
            open_now += [_Opened(content, life_from(product, on)) for _ in range(count)]
            short -= count * content
        for jar in open_now:
            taken = min(jar.left, need) if jar.life.ready <= on else Fraction(0)
            jar.left -= taken
            need -= taken
        over = sum((j.left for j in open_now if j.life.last == on), Fraction(0))
        if over > 0:
            waste.append(Waste(on, product.name, over))
        open_now = [j for j in open_now if j.life.last != on and j.left > 0]
    return openings, waste


def _next_size(product: Product, short: Fraction, pool: list[tuple[int, str]]) -> tuple[str, int]:
    """The size to open next, and how many of it."""
    if len(product.sizes) == 1 or not pool:
        return product.sizes[0].name, ceil(short / product.sizes[0].content)
    return pool.pop(0)[1], 1
