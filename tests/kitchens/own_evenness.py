"""Rule 14, an even hand over a product's days, written once more for tests that judge (see own_rules)."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from pantrymeals.records import Household, Product
from tests.kitchens.own_rules import ZERO, on_shelf, part_jars


def _season(product: Product, first: date, end: date) -> int:
    days = [first + timedelta(days=n) for n in range(max(0, (end - first).days))]
    return sum((not product.eaten_in or d.month in product.eaten_in) and d not in product.waits_on for d in days)


def _part(product: Product, amount: Fraction, first: date, end: date, until: date) -> Fraction:
    season = _season(product, first, until)
    return amount * _season(product, first, min(end, until)) / season if season else ZERO


def _until(product: Product, first: date) -> date:
    ahead = product.must_last_to is not None and product.must_last_to > first
    return product.must_last_to if ahead and product.must_last_to else first + timedelta(days=365)


def even_share(home: Household, product: Product, first: date, days: int) -> Fraction:
    """Rule 14: containers of an even hand before the pace."""
    end, until = first + timedelta(days=days), _until(product, first)
    there = on_shelf(home, product) + sum((left for _, _, left in part_jars(home, product, first, days)), ZERO)
    own = ZERO
    for a in home.arrivals:
        if a.product == product.name and first <= a.day < end:
            if product.must_last_to is not None and a.day >= until:
                own += _part(product, a.amount, a.day, end, a.day + timedelta(days=365))
            else:
                there += a.amount
    return (_part(product, there, first, end, until) + own) / product.sizes[0].content


def kept_even(home: Household, product: Product, first: date, days: int) -> bool:
    """Rule 14: whether an even hand is asked of it."""
    end = first + timedelta(days=days)
    fresh = any(a.product == product.name and first <= a.day < end for a in home.arrivals)
    return product.on_menus and not (product.must_last_to is None and (fresh or product.kind == "fridge"))


def step_of(home: Household, product: Product) -> int:
    """Rule 14: whole containers by which it is usually drawn."""
    every = [o for dish in home.dishes.values() for use in dish.uses for o in use.options if o.product == product.name]
    takes = sorted(o.amount / product.sizes[0].content for o in every)
    return max(1, ceil(takes[(len(takes) - 1) // 2])) if takes else 1


def is_hurried(product: Product, first: date) -> bool:
    """Rule 14: keeps to one of the 56 days from the first."""
    day = product.must_last_to
    return product.deadline_kind == "keeps to" and day is not None and first <= day <= first + timedelta(days=55)


def _eaten_of_it(home: Household, product: Product, weeks: int) -> tuple[Fraction, Fraction] | None:
    """What an even hand eats of it in so many weeks up to today, before the pace, and what was eaten, where known."""
    since = home.known_since.get(product.name, home.today)
    begin = max(since, home.today - timedelta(weeks=weeks))
    if begin >= home.today or _has_one_before_it(home, product):
        return None
    had = on_shelf(home, product) + sum((left for _, _, left in part_jars(home, product, home.today, 1)), ZERO)
    eaten = sum((t.amount for t in home.taken if t.product == product.name and begin <= t.day < home.today), ZERO)
    hand = _part(product, had + eaten, begin, home.today, _until(product, home.today))
    return hand / product.sizes[0].content, eaten / product.sizes[0].content


def _has_one_before_it(home: Household, product: Product) -> bool:
    """Rule 14: rack B while rack A is there."""
    kind = ("cellar", product.family, product.sizes[0].name)
    beside = [
        p for p in home.products.values() if (p.kind, p.family, p.sizes[0].name) == kind and product.kind == p.kind
    ]
    return any(
        p.deadline_kind == "keeps to"
        and p.on_menus
        and _until(p, home.today) < _until(product, home.today)
        and on_shelf(home, p) + sum(left for _, _, left in part_jars(home, p, home.today, 1)) > 0
        for p in beside
    )


def owed(home: Household, product: Product, pace: Fraction) -> Fraction | None:
    """Rule 14: containers that it lies behind over four weeks or eight, whichever is more, a step at most."""
    known = [one for weeks in (4, 8) if (one := _eaten_of_it(home, product, weeks)) is not None]
    if not known:
        return None
    return min(Fraction(step_of(home, product)), max(hand * pace - eaten for hand, eaten in known))


def neglected(home: Household, product: Product, pace: Fraction) -> Fraction:
    """'What a menu costs': the part of its share of eight weeks that was not eaten."""
    hand, eaten = _eaten_of_it(home, product, 8) or (ZERO, ZERO)
    return max(ZERO, 1 - eaten / (hand * pace)) if hand * pace else ZERO
