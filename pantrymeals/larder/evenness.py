"""What an even hand would draw.

For a product with S in hand above its reserve, a deadline H and a horizon that ends at T,
the share is S x (days of its season from the first day to the earlier of T and H) / (days of
its season from the first day to H). Where the meals cannot follow all shares, one pace
(lambda, 1 or less) scales every share alike. A three-jar product cannot be drawn 0.7 jars,
and potatoes that are cooked three pounds at a time cannot be drawn 7: the band around a share is the
whole steps below and above it and one step more below, a step being a container, or what a usual dish
takes if that is more. What standing use takes by itself is never held against a menu.

An even hand remembers: where it is known what was lately eaten, what it lies behind joins its share, a step at most,
and what it is ahead is let off its lower edge: there the band begins at the whole steps below, so that no product
comes to lie a step behind. So rhubarb of which a week's share is half a bag comes up every other week, not never, and
beans of which it is a jar and a half are a jar and two jars in turn.
Behind is by the last four weeks or eight, whichever is more; and what was left standing for eight weeks weighs more.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from pantrymeals.larder.must_reach import YEAR, deadline, season_days
from pantrymeals.larder.on_hand import usable
from pantrymeals.records import Household, Product

LOOK_BACK_DAYS, SLOW_BACK_DAYS = 28, 56
"""So far back it counts what was eaten too little: by the days of these of which it was eaten less."""

ZERO = Fraction(0)

Windows = tuple[tuple[Fraction, Fraction], ...]
"""What an even hand would have eaten, before the pace, and what was eaten: in four weeks and in eight."""

LITTLE_TIME = timedelta(days=56)
"""What keeps no longer than so is eaten at an even hand's own pace: what is put off now is lost."""

FEWEST = 4
"""A deviation counts as a share of the stock's share, or of this many steps if that is more."""


def averaged(household: Household, first: date, days: int) -> frozenset[str]:
    """Products of which an even hand is asked.

    What comes fresh again and again within the days asked (milk, eggs, the week's bread) and has no
    day to last to is not: it is eaten as it comes.
    """
    end = first + timedelta(days=days)
    fresh = {a.product for a in household.arrivals if first <= a.day < end}
    return frozenset(
        name
        for name, product in household.products.items()
        if product.on_menus and not (product.must_last_to is None and (name in fresh or product.kind == "fridge"))
    )


def shares(household: Household, first: date, days: int) -> dict[str, Fraction]:
    """Each averaged product's even share over the days asked, before the common pace (base measure).

    What arrives before the product's deadline joins what is in hand; what arrives on or after it
    (the new crop) opens an account of its own, to be eaten evenly over its own year.
    """
    end = first + timedelta(days=days)
    shelf = usable(household, first)
    late: dict[str, list[tuple[date, Fraction]]] = {}
    for arrival in household.arrivals:
        product = household.products[arrival.product]
        if not first <= arrival.day < end:
            continue
        if product.must_last_to is not None and arrival.day >= deadline(product, first):
            late.setdefault(arrival.product, []).append((arrival.day, arrival.amount))
        else:
            shelf[arrival.product] += arrival.amount
    out = {}
    for name in averaged(household, first, days):
        product = household.products[name]
        share = _even(product, shelf[name], first, end, deadline(product, first))
        for day, amount in late.get(name, ()):
            share += _even(product, amount, day, end, day + YEAR)
        out[name] = share
    return out


def _even(product: Product, amount: Fraction, first: date, end: date, last: date) -> Fraction:
    """An amount's even part from first to the earlier of end and last."""
    season = season_days(product, first, last)
    return amount * season_days(product, first, min(end, last)) / season if season else Fraction(0)


def lately(household: Household) -> dict[str, Windows]:
    """What an even hand would have eaten of each product lately, before the pace, and what was eaten (base measure).

    Lately: the four weeks, and the eight, up to the household's own day, or as long as there has been nothing new of
    it and it is known what was eaten; of what nothing goes before. The even hand began with what there is now and what
    was eaten since.
    """
    today = household.today
    shelf = usable(household, today)
    out = {}
    for name, since in household.known_since.items():
        if name not in household.products or since >= today:
            continue
        product = household.products[name]
        if goes_later(household, product, shelf):
            continue
        windows = []
        for days in (LOOK_BACK_DAYS, SLOW_BACK_DAYS):
            begin = max(since, today - timedelta(days=days))
            eaten = eaten_since(household, name, begin)
            even = _even(product, shelf[name] + eaten, begin, today, deadline(product, today))
            windows.append((even, eaten))
        out[name] = tuple(windows)
    return out


def goes_later(household: Household, product: Product, there: Mapping[str, Fraction]) -> bool:
    """Whether a keeper of the cellar waits for another of its family and count that is there and keeps less long.

    Rack B while rack A is not empty, blue squash while there is buttercup: it is not owed.
    """
    return any(
        kept_alike(product, other)
        and other.deadline_kind == "keeps to"
        and there[other.name] > 0
        and deadline(other, household.today) < deadline(product, household.today)
        for other in household.products.values()
    )


def kept_alike(product: Product, other: Product) -> bool:
    """Whether one may be eaten in the other's place: keepers of the cellar of one family, counted in one unit."""
    kind = ("cellar", product.family, product.sizes[0].name)
    return product.kind == "cellar" and other.on_menus and (other.kind, other.family, other.sizes[0].name) == kind


def eaten_since(household: Household, name: str, begin: date) -> Fraction:
    """What the book says was eaten of a product from a day on, up to the household's own (base measure)."""
    taken = (t.amount for t in household.taken if t.product == name and begin <= t.day < household.today)
    return sum(taken, Fraction(0))


def owed(windows: Windows, pace: Fraction, step: int) -> Fraction | None:
    """How far what was eaten lies behind an even hand at a pace, a step at most (containers); less than nothing: ahead.

    By the four weeks or the eight, whichever is more; None where it is not known what was eaten.
    """
    if not windows:
        return None
    return min(Fraction(step), max(even * pace - eaten for even, eaten in windows))


def with_memory(share: Fraction, owed: Fraction | None) -> Fraction:
    """A share and what it lies behind (containers); what is ahead keeps its share."""
    return share + max(ZERO, owed or ZERO)


def neglect(windows: Windows, pace: Fraction) -> Fraction:
    """What part of its share of the last eight weeks was not eaten, at a pace (0 to 1); 0 where it is not known."""
    even, eaten = windows[-1] if windows else (ZERO, ZERO)
    return max(ZERO, 1 - eaten / (even * pace)) if even * pace else ZERO


def soon_gone(product: Product, first: date) -> bool:
    """Whether it keeps to a day so near that it is not put off."""
    keeps = product.must_last_to
    return product.deadline_kind == "keeps to" and keeps is not None and first <= keeps < first + LITTLE_TIME


def steps(household: Household) -> dict[str, int]:
    """By product, the whole containers by which it is usually drawn: the middle one of what dishes take."""
    takes: dict[str, list[Fraction]] = {}
    for dish in household.dishes.values():
        for use in dish.uses:
            for option in use.options:
                content = household.products[option.product].sizes[0].content
                takes.setdefault(option.product, []).append(option.amount / content)
    middle = {name: sorted(amounts)[(len(amounts) - 1) // 2] for name, amounts in takes.items()}
    return {name: max(1, ceil(middle.get(name, Fraction(1)))) for name in household.products}


def band(
    share: Fraction, step: int, stood: Fraction, owed: Fraction | None, *, soon_gone: bool = False
) -> tuple[Fraction, Fraction]:
    """Between which draws a menu is even (containers).

    share: before its memory. Up to the whole step above share and what is owed; down to the whole steps below, so that
    it is never a step behind; where nothing is remembered one step lower, but for what is soon gone: what is a step
    behind is made up for later. Standing use that takes more by itself is not held against a menu, but leaves it
    nothing.
    """
    whole = with_memory(share, owed)
    steps_below = floor(share / step) - 1 if owed is None else floor((share + owed) / step)
    low = Fraction(max(0, steps_below, floor(share / step) if soon_gone else 0) * step)
    if stood > whole:
        return min(low, stood), stood
    return low, Fraction(ceil(whole / step) * step)


def worth(share: Fraction, step: int, neglect: Fraction = ZERO) -> Fraction:
    """What one container off weighs, as a share: 1 / max(share, FEWEST steps); up to twice that if neglected."""
    return (1 + neglect) / max(share, Fraction(FEWEST * step))


def in_containers(household: Household, amounts: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """Amounts in containers of each product's first size."""
    return {name: amount / household.products[name].sizes[0].content for name, amount in amounts.items()}
