"""Seven ways in which a table may eat, each as seeded households with a put-up book and with what came after it.

Every household has forty products in eight families (one in five loose, a quarter of them in standing use, the rest in
dishes), a shelf filled up each September to 0.7 to 1.4 times a year's use, and a book of 56 to 182 weeks. Use goes on
after the book ends until what stands there is gone: that day is the truth which a range is held to. The processes are
ours, and nothing in them is taken from the forecast: it fits Gamma-Poisson weeks with one drift, and none of the seven
is that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.records import Household, Movement, Product
from tests.kitchens.tiny import dish, jar, kitchen, loose, lot, standing

PRODUCTS = 40
AFTER = 52 * 4
BOOKS = ((56, date(2026, 1, 17)), (78, date(2026, 3, 14)), (104, date(2026, 5, 16)),
         (130, date(2026, 7, 18)), (156, date(2026, 10, 17)), (182, date(2026, 12, 12)))  # fmt: skip
"""Weeks of the book and the day on which it is asked, of a process's six households."""
_Weeks = NDArray[np.float64]
Shape = Callable[[np.random.Generator, int, NDArray[np.int64]], _Weeks]
"""(chance, weeks, day of the year of each) -> each week's pace over the product's own, about 1."""


class Table(Struct, frozen=True):
    """A household, its book up to its today, and the day on which each product that is there was gone (None: never)."""

    household: Household
    book: tuple[Movement, ...]
    gone: Mapping[str, date | None]


def _steady(_rng: np.random.Generator, weeks: int, _days: NDArray[np.int64]) -> _Weeks:
    return np.ones(weeks)


def _bursty(rng: np.random.Generator, weeks: int, _days: NDArray[np.int64]) -> _Weeks:
    """Nothing for weeks, then two weeks at five times the pace."""
    begins = rng.random(weeks) < 0.1
    on = begins | np.roll(begins, 1)
    return np.where(on, 5.0, 0.1)


def _seasonal(rng: np.random.Generator, _weeks: int, days: NDArray[np.int64]) -> _Weeks:
    return np.asarray(1 + 0.9 * np.cos(2 * np.pi * (days / 365 - rng.random())))


def _halves_and_doubles(rng: np.random.Generator, weeks: int, _days: NDArray[np.int64]) -> _Weeks:
    """A pace that is halved or doubled about three times in two years, never beyond a quarter or four times."""
    level, out = 0, np.empty(weeks)
    for week in range(weeks):
        if rng.random() < 3 / 104:
            level = int(np.clip(level + rng.choice((-1, 1)), -2, 2))
        out[week] = 2.0**level
    return out


def _drifting(rng: np.random.Generator, weeks: int, _days: NDArray[np.int64]) -> _Weeks:
    """A pace that wanders: after a year it is some 35 % off."""
    return np.asarray(np.exp(np.cumsum(rng.normal(0, 0.35 / np.sqrt(52), weeks))))


def _trending(rng: np.random.Generator, weeks: int, _days: NDArray[np.int64]) -> _Weeks:
    """Each year a quarter to a half more, or as much less."""
    a_year = rng.choice((-1, 1)) * np.log(rng.uniform(1.25, 1.5))
    return np.asarray(np.exp(a_year * (np.arange(weeks) - weeks / 2) / 52))


PROCESSES: Mapping[str, Shape] = {
    "steady": _steady,
    "bursty": _bursty,
    "seasonal": _seasonal,
    "halves and doubles": _halves_and_doubles,
    "drifting": _drifting,
    "trending": _trending,
    "mostly nothing": _steady,
}


def table_of(process: str, seed: int, which: int, products: int = PRODUCTS) -> Table:
    """The household ``which`` (0 to 5) of a process; the same seed makes the same."""
    weeks, today = BOOKS[which % len(BOOKS)]
    rng = np.random.default_rng([seed, list(PROCESSES).index(process), which])
    begin = today - timedelta(weeks=weeks)
    kept = [_product(i, today) for i in range(products)]
    book, lots, gone, means = [], [], {}, {}
    for product in kept:
        base = _own_pace(process, product, rng)
        days = np.array([(begin + timedelta(days=7 * w)).timetuple().tm_yday for w in range(weeks + AFTER)])
        pace = base * PROCESSES[process](rng, weeks + AFTER, days)
        means[product.name] = float(pace[:weeks].mean())
        lines, left = _lines(product, pace[:weeks], begin, rng)
        book += lines
        if left > 0:
            gone[product.name] = _gone(product, left, pace[weeks:], today, rng)
            lots.append(lot(product.name, str(left), product.sizes[0].name, put_up=today - timedelta(days=90)))
    household = kitchen(
        products=kept,
        lots=lots,
        dishes=[dish(f"Pot of {p.name}", [f"1 {p.sizes[0].name} {p.name}"]) for i, p in enumerate(kept) if i % 4],
        standing=tuple(
            standing(p.name, f"{Fraction(means[p.name]).limit_denominator(50)} {p.sizes[0].name}")
            for i, p in enumerate(kept) if i % 4 == 0 and means[p.name] > 0.02
        ),
        today=today,
    )  # fmt: skip
    return Table(household, tuple(sorted(book, key=lambda m: m.day)), gone)


def _product(i: int, today: date) -> Product:
    crop = date(today.year + (today.month >= 9), 9, 1 + i % 25)
    common = {"family": f"family {i % 8}", "must_last_to": crop, "deadline_kind": "new crop"}
    return loose(f"Bin {i}", **common) if i % 5 == 4 else jar(f"Jar {i}", **common)


def _own_pace(process: str, product: Product, rng: np.random.Generator) -> float:
    """Containers a week: a jar in ten weeks to a few a week, six times that of loose goods; one to five a year."""
    if process == "mostly nothing":
        return float(rng.uniform(1, 5)) / 52 * (1 if product.whole else 2)
    return float(rng.gamma(1.2, 0.6) + 0.1) * (1 if product.whole else 6)


def _takes(product: Product, mean: float, rng: np.random.Generator) -> list[Fraction]:
    """What is taken in a week: jars one by one, loose goods one to three pounds at a time."""
    if product.whole:
        return [Fraction(1)] * int(rng.poisson(mean))
    return [Fraction(round(4 * rng.uniform(1, 3)), 4) for _ in range(rng.poisson(mean / 2))]


def _lines(
    product: Product, pace: _Weeks, begin: date, rng: np.random.Generator
) -> tuple[list[Movement], Fraction]:  # fmt: skip
    """The product's lines in the book, and what is left at its end."""
    size = product.sizes[0].name
    aim = Fraction(max(2, round(float(pace.mean()) * 52 * rng.uniform(0.7, 1.4))))
    stock = aim
    lines = [Movement(begin, product.name, size, stock, "counted")]
    for week, mean in enumerate(pace):
        day = begin + timedelta(days=7 * week)
        if week and day.month == 9 and day.day <= 7 and stock < aim:
            lines.append(Movement(day, product.name, size, aim - stock, "put up"))
            stock = aim
        for taken in _takes(product, float(mean), rng):
            gone = min(taken, stock)
            if gone > 0:
                stock -= gone
                lines.append(
                    Movement(day + timedelta(days=int(rng.integers(0, 7))), product.name, size, -gone, "eaten")
                )
    return lines, stock


def _gone(product: Product, stock: Fraction, pace: _Weeks, today: date, rng: np.random.Generator) -> date | None:
    """The day on which the last of it is taken, without a new crop."""
    for week, mean in enumerate(pace):
        takes = _takes(product, float(mean), rng)
        days = sorted(int(day) for day in rng.integers(0, 7, len(takes)))
        for day, taken in zip(days, takes, strict=True):
            stock -= taken
            if stock <= 0:
                return today + timedelta(days=7 * week + day)
    return None
