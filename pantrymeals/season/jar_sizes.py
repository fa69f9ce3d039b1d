"""Which jar size leaves no half jars, by what the dishes of this household take at a cooking."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from pantrymeals.larder.table import batches
from pantrymeals.plans.season import SizeAdvice
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.clear import dishes_using, portions_at_table
from pantrymeals.season.words import counted
from pantrymeals.season.yields import QUARTS, WORDS, tested_sizes
from pantrymeals.units import UNITS, as_words


def left_over(amount: Fraction, size: Fraction) -> Fraction:
    """What stays in the last jar when whole jars of ``size`` are opened for ``amount`` (one measure)."""
    return ceil(amount / size) * size - amount


def size_advice(asked: SeasonQuestion) -> tuple[SizeAdvice, ...]:
    """Jar products for which another size would leave less in opened jars; the largest saving first.

    Sizes that the household counts go first; where none of them is better, that it counts none of the other is said.
    Only sizes no larger than one that was tested, and never a larger jar than the product comes in
    now where the tables say nothing of it. Fewest lids decide between sizes that leave the same.
    """
    found = []
    for product in asked.household.products.values():
        if product.kind == "jar" and product.measure == "ml" and product.on_menus:
            advice = advice_for(asked, product)
            if advice is not None:
                found.append(advice)
    return tuple(sorted(found, key=lambda a: (a.left_better - a.left_now, a.product)))


def advice_for(asked: SeasonQuestion, product: Product) -> SizeAdvice | None:
    """Another size for one product; None where the present one is as good, or no dish takes it."""
    portions = portions_at_table(asked.household)
    takes = {
        dish.name: batches(asked.household, dish, portions) * option.amount
        for dish, option in dishes_using(asked.household, product.name)
        if dish.book == "household" and not option.stand_in
    }
    now = product.sizes[0].name
    if not takes or now not in QUARTS:
        return None
    allowed = _allowed(asked, product)
    by_size = {s: _left(takes, s) for s in allowed}
    left_now = by_size.get(now, _left(takes, now))
    less = [s for s in by_size if by_size[s] < left_now]
    if not less:
        return None
    counted_here = asked.facts.empties.keys() | asked.facts.out.keys()
    owned = [s for s in less if s in counted_here or not counted_here]
    better = min(owned or less, key=lambda s: (by_size[s], _jars(takes, s)))
    none = "" if owned else f"; season.yaml counts no {WORDS[better]} jars of yours"
    return SizeAdvice(
        product.name,
        now,
        better,
        tuple((name, amount / UNITS[better][1]) for name, amount in sorted(takes.items())),
        left_now / UNITS[now][1],
        by_size[better] / UNITS[better][1],
        _why(takes, now, better, left_now, by_size[better]) + none,
    )


def _allowed(asked: SeasonQuestion, product: Product) -> tuple[str, ...]:
    tested = tested_sizes(asked.tables, asked.tables.of(product))
    largest = max((QUARTS[s] for s in tested), default=QUARTS[product.sizes[0].name])
    return tuple(s for s in QUARTS if QUARTS[s] <= largest)


def _left(takes: dict[str, Fraction], size: str) -> Fraction:
    return sum((left_over(a, UNITS[size][1]) for a in takes.values()), Fraction(0))


def _jars(takes: dict[str, Fraction], size: str) -> int:
    return sum(ceil(a / UNITS[size][1]) for a in takes.values())


def _why(takes: dict[str, Fraction], now: str, better: str, left_now: Fraction, left: Fraction) -> str:
    name, amount = max(takes.items(), key=lambda item: left_over(item[1], UNITS[now][1]))
    over = left_over(amount, UNITS[now][1]) / UNITS[now][1]
    asks = f"{name} takes {counted(amount / UNITS[now][1], now)} and leaves {as_words(over)} of a jar"
    saved = "leaves nothing" if left == 0 else f"leaves less ({as_words(left / UNITS[now][1])} against "
    saved += "" if left == 0 else f"{as_words(left_now / UNITS[now][1])} {WORDS[now]})"
    return f"{asks}; the {WORDS[better]} {saved}"
