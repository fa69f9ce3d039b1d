"""Seeded households whose true pace is known: three years of a put-up book each.

steady: the same pace all year, most jars opened one by one. wintry: every family has its own season,
and part of the products were eaten hardly ever. fickle: moods that last a month, a pace that changes
from one year to the next, several jars at one go, and counts that find less than the book says.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import cos, pi

import numpy as np
from msgspec import Struct

from pantrymeals.records import Household, Movement, Product
from tests.kitchens.tiny import dish, jar, kitchen, loose, lot, standing

TODAY = date(2026, 1, 17)
BEGIN = date(2023, 1, 21)
WEEKS = (TODAY - BEGIN).days // 7


class MadeUp(Struct, frozen=True):
    """A household, its book, and the true mean use of each product by week [weeks ahead of BEGIN]."""

    household: Household
    book: tuple[Movement, ...]
    true_use: dict[str, np.ndarray]


class Manner(Struct, frozen=True):
    """How a made-up household eats."""

    season: float = 0.0
    mood: float = 0.0
    drift: float = 0.0
    several: float = 0.0
    unsaid: float = 0.0


MANNERS = {
    "steady": Manner(several=0.1),
    "wintry": Manner(season=0.8, drift=0.1, several=0.2),
    "fickle": Manner(season=0.4, mood=0.25, drift=0.3, several=0.5, unsaid=0.1),
}


def made_up(manner_name: str, seed: int = 1, products: int = 40) -> MadeUp:
    """The household of that manner; the same seed makes the same."""
    manner = MANNERS[manner_name]
    rng = np.random.default_rng([seed, len(manner_name), products])
    kept = [_product(i) for i in range(products)]
    book: list[Movement] = []
    truth = {}
    lots = []
    for i, product in enumerate(kept):
        use = _true_use(product, i, manner, rng)
        truth[product.name] = use
        lines, left = _lines(product, use, manner, rng)
        book += lines
        if left > 0:
            lots.append(lot(product.name, str(left), product.sizes[0].name, put_up=date(2025, 9, 1)))
    stated = [
        standing(p.name, f"{Fraction(truth[p.name].mean()).limit_denominator(20)} {p.sizes[0].name}")
        for i, p in enumerate(kept)
        if i % 4 == 0 and truth[p.name].mean() > 0.03
    ]
    dishes = [dish(f"Pot of {p.name}", [f"1 {p.sizes[0].name} {p.name}"]) for i, p in enumerate(kept) if i % 4]
    household = kitchen(products=kept, lots=lots, dishes=dishes, standing=tuple(stated), today=TODAY)
    return MadeUp(household, tuple(sorted(book, key=lambda m: m.day)), truth)


def _product(i: int) -> Product:
    month = 6 + i % 5
    common = {"family": f"family {i % 8}", "must_last_to": date(2026, month, 10), "deadline_kind": "new crop"}
    if i % 5 == 4:
        return loose(f"Bin {i}", **common)
    return jar(f"Jar {i}", **common)


def _true_use(product: Product, i: int, manner: Manner, rng: np.random.Generator) -> np.ndarray:
    weekly = float(rng.gamma(1.2, 0.6)) + 0.02
    if i % 9 == 8:
        weekly = 0.02
    if not product.whole:
        weekly *= 6
    peak = (i % 8) * 1.5
    months = [(BEGIN + timedelta(days=7 * w + 3)) for w in range(WEEKS)]
    season = np.array([1 + manner.season * cos(2 * pi * (d.month - 1 - peak) / 12) for d in months])
    years = np.exp(rng.normal(0, manner.drift, 4))
    year = np.array([years[d.year - 2023] for d in months])
    return weekly * season * year


def _lines(
    product: Product, use: np.ndarray, manner: Manner, rng: np.random.Generator
) -> tuple[list[Movement], Fraction]:
    """The product's lines in the book, and what is left in the end."""
    size = product.sizes[0].name
    crop = max(3, round(float(use.mean()) * 52 * rng.uniform(0.8, 1.5)))
    stock = Fraction(crop)
    lines = [Movement(BEGIN, product.name, size, stock, "counted")]
    mood, mood_month = 1.0, 0
    for week in range(WEEKS):
        day = BEGIN + timedelta(days=7 * week)
        if day.month != mood_month:
            mood_month = day.month
            mood = float(rng.gamma(1 / manner.mood, manner.mood)) if manner.mood else 1.0
        if week and day.month == 9 and day.day <= 7:
            lines.append(Movement(day, product.name, size, Fraction(crop), "put up"))
            stock += crop
        for taken in _takes(product, float(use[week]) * mood, manner, rng):
            gone = min(taken, stock)
            if gone > 0:
                stock -= gone
                if rng.random() >= manner.unsaid:
                    lines.append(Movement(day + timedelta(days=2), product.name, size, -gone, "eaten"))
    said = sum((m.count for m in lines), Fraction(0))
    if said != stock:
        lines.append(Movement(TODAY - timedelta(days=1), product.name, size, stock - said, "counted"))
    return lines, stock


def _takes(product: Product, mean: float, manner: Manner, rng: np.random.Generator) -> list[Fraction]:
    """What is taken in a week: jars one (or two) by one, loose goods a couple of pounds at a time."""
    several = 1 + manner.several
    if product.whole:
        return [Fraction(1 + int(rng.random() < manner.several)) for _ in range(rng.poisson(mean / several))]
    return [Fraction(round(4 * rng.uniform(1, 3)), 4) for _ in range(rng.poisson(mean / 2))]
