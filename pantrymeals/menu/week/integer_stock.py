"""IntegerStock in whole numbers: each product counted in its own grain.

The grain is the greatest measure that divides a product's container, every amount a dish takes and what each part
jar holds (half a quart and a quart: the grain is half a quart). So nothing is rounded; what shelf, arrivals and
standing use leave is cut down to whole grains only after it is summed. Where no grain divides them (cups out of
half-litre jars) it is a thousandth of a container, uses are rounded up, and the menu says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from msgspec import Struct

from pantrymeals.larder.evenness import (
    Windows,
    averaged,
    band,
    in_containers,
    lately,
    neglect,
    owed,
    shares,
    soon_gone,
    steps,
    with_memory,
    worth,
)
from pantrymeals.larder.fresh import comings
from pantrymeals.larder.on_hand import of_size
from pantrymeals.larder.opened_life import OpenedLife, lies_thawing, parts_not_past
from pantrymeals.larder.supply import going_by_day, nights_left, standing_by_day, supply_by_day
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.possible import Possible
from pantrymeals.records import Household, Product

GRAINS_A_CONTAINER = 1000
MOST_GRAINS_A_CONTAINER = 10_000
SOON_OVER_DAYS = 3


class Part(Struct, frozen=True):
    """A part jar, or a pack that is thawing: grains, and the first and last day it can be used."""

    grains: int
    ready: int
    last: int


class IntegerStock(Struct, frozen=True):
    """One product in grains.

    container: grains in one of its first size. whole: opened whole.
    shelf: above the reserve, in grains; part jars of what is dipped into are in it. arrivals: (day, grains).
    standing: grains that standing use keeps from the menu by the end of each day (cumulative): supply less these
        is exactly what menu and openings may have taken, in whole grains.
    parts: part jars and thawing packs, the soonest over first; days counted from the first day.
    life: days an opened one is good, its first day counted; None: nothing opened goes over within the horizon.
    thaw: days of the menu before a container can be ready.
    last: last day it may be planned, counted from the first day; None: no such day.
    share: its even share in containers, before the common pace; averaged: whether it is asked for.
    step: whole containers by which it is usually drawn; stood: what standing use goes through in all (containers,
        parts of one as such).
    lately: see ``evenness.lately`` (containers).
    sizes: (name, grains, how many on the shelf) of each size it comes in, the first size first.
    first_size: how many of the first size there have been by each day, standing use taken off.
    there: what menu and openings may take in all, part jars with it (base measure).
    held_last: grains (parts of one too) that the shelf has held by its last day, standing use taken off.
    thawing: whether a whole pack of it lies thawed or thawing when the menu begins.
    fresh: of what is good for days alone, how many; None: it keeps. comings: (day, grains) of what is good on the first
        day, before it or on it, or comes in later.
    waits: whether it stays on its shelf, by day, since something fresh of the same is there.
    soon_gone: whether the day it keeps to is near, so that an even hand is not slowed.
    exact: whether its grain divides everything, so that nothing is rounded.
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
    lately: Windows = ()
    first_size: tuple[int, ...] = ()
    there: Fraction = Fraction(0)
    held_last: Fraction = Fraction(0)
    exact: bool = True
    thawing: bool = False
    fresh: int | None = None
    comings: tuple[tuple[int, int], ...] = ()
    waits: tuple[bool, ...] = ()
    soon_gone: bool = False

    def good(self, day: int, since: int | None = None) -> int:
        """Grains of what is fresh that came in time to be good on ``since`` (else on the day), up to the day."""
        assert self.fresh is not None
        begin = (day if since is None else since) - self.fresh + 1
        return sum(grains for d, grains in self.comings if begin <= d <= day)

    def share_at(self, pace: Fraction) -> Fraction:
        """Its even share at a common pace, with what it lately lies behind (containers)."""
        return with_memory(self.share * self._its(pace), self._owed(pace))

    def band_at(self, pace: Fraction) -> tuple[Fraction, Fraction]:
        """Between which draws it is even at a common pace (containers)."""
        return band(self.share * self._its(pace), self.step, self.stood, self._owed(pace), soon_gone=self.soon_gone)

    def worth_at(self, pace: Fraction) -> Fraction:
        """What one container outside its band weighs at a common pace."""
        return worth(self.share_at(pace), self.step, neglect(self.lately, self._its(pace)))

    def _owed(self, pace: Fraction) -> Fraction | None:
        return owed(self.lately, self._its(pace), self.step)

    def _its(self, pace: Fraction) -> Fraction:
        return Fraction(1) if self.soon_gone else pace

    def supply(self, day: int) -> int:
        """Grains that shelf and arrivals have held up to the end of a day, without part jars."""
        return self.shelf + sum(grains for d, grains in self.arrivals if d <= day)

    def room(self, day: int) -> int:
        """Grains that the menu may have taken or opened by the end of a day."""
        return self.supply(day) - self.standing[day]


def integer_stocks(
    household: Household, request: MenuRequest, possible: Iterable[Possible], shelf: Mapping[str, Fraction], end: date
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
                share.get(name, Fraction(0)), name in wanted, step[name], before.get(name, ()),
            )  # fmt: skip
    return out


def _grain(product: Product, amounts: Iterable[Fraction]) -> tuple[Fraction, int]:
    """The grain (base measure) and grains in one container of the first size."""
    container = product.sizes[0].content
    ratios = [amount / container for amount in amounts] + [s.content / container for s in product.sizes]
    common = 1
    for ratio in ratios:
        common = lcm(common, ratio.denominator)
        if common > MOST_GRAINS_A_CONTAINER:
            return container / GRAINS_A_CONTAINER, GRAINS_A_CONTAINER
    greatest = 0
    for ratio in [*ratios, Fraction(1)]:
        greatest = gcd(greatest, int(ratio * common))
    return container * greatest / common, common // greatest


def grains_of(stock: IntegerStock, amount: Fraction) -> int:
    """An amount (base measure) in grains, rounded up."""
    return ceil(amount * stock.container / stock.exact_container)


def _parts_of(
    product: Product, open_now: Iterable[tuple[Fraction, OpenedLife]], grain: Fraction, request: MenuRequest
) -> tuple[Part, ...]:
    """What is open of what is opened whole, soonest over first."""
    first = request.first
    parts = [
        Part(floor(left / grain), (life.ready - first).days, (life.last - first).days if life.last else request.days)
        for left, life in open_now
        if product.whole
    ]
    return tuple(sorted(parts, key=lambda part: part.last))


def _last_day(household: Household, product: Product, first: date, end: date) -> int | None:
    """The last day of the menu on which what does not keep may be used (-1: before it); None: it keeps for later menus.

    What keeps but a day or three longer than the menu no later menu can do much with.
    """
    keeps, soon = product.must_last_to, end + timedelta(days=SOON_OVER_DAYS)
    if product.deadline_kind != "keeps to" or keeps is None or keeps >= soon:
        return None
    renewed = any(a.product == product.name and keeps <= a.day < soon for a in household.arrivals)
    return None if renewed else max(-1, (min(keeps, end - timedelta(days=1)) - first).days)


def _each_day(by_day: Sequence[tuple[Fraction, Fraction]], sum_of: Callable[[Fraction, Fraction], int]) -> list[int]:
    """A sum over what was supplied and what was taken by each day, reckoned anew on the days on which these change."""
    out: list[int] = []
    before: tuple[Fraction, Fraction] | None = None
    for day in by_day:
        out.append(out[-1] if day == before else sum_of(*day))
        before = day
    return out


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
    past: Windows,
) -> IntegerStock:
    first, days = request.first, request.days
    content = product.sizes[0].content
    open_now = [(jar.left, life) for jar, life in parts_not_past(household, first) if jar.product == product.name]
    in_parts = sum((left for left, _ in open_now), Fraction(0))
    came = list(comings(household, product, first, days)) if product.fresh_days is not None else []
    divided = [*amounts, *(left for left, _ in open_now if product.whole), *(amount for _, amount in came)]
    grain, container = _grain(product, divided)
    exact = all((amount / grain).denominator == 1 for amount in (*amounts, *(s.content for s in product.sizes)))
    supply = supply_by_day(household, product, shelf, first, days)
    standing = standing_by_day(household, product, first, days, supply)
    there_of = {size.name: of_size(household, product, size.name) for size in product.sizes}
    of_first = there_of[product.sizes[0].name]
    loose = 0 if product.whole else in_parts
    by_day = list(zip(supply, standing, strict=True))
    first_size = _each_day(by_day, lambda s, taken: max(0, floor(of_first + (s - shelf - taken) / content)))
    held = [floor((shelf + loose) / grain), *_each_day(by_day, lambda s, _: floor((s + loose) / grain))]
    room = _each_day(by_day, lambda s, taken: floor((s + loose - taken) / grain))
    parts = _parts_of(product, open_now, grain, request)
    life, soon_over = product.opened_days, any(part.last < days for part in parts)
    last = _last_day(household, product, first, end)
    return IntegerStock(
        name=product.name,
        container=container,
        whole=product.whole,
        shelf=held[0],
        arrivals=tuple((d, held[d + 1] - held[d]) for d in range(days) if held[d + 1] != held[d]),
        standing=tuple(there - left for there, left in zip(held[1:], room, strict=True)),
        parts=parts,
        life=life if life is not None and (life <= days or soon_over) else None,
        thaw=nights_left(household, product, first),
        last=last,
        share=share,
        averaged=is_averaged,
        exact_container=content,
        sizes=tuple((size.name, round(size.content / grain), there_of[size.name]) for size in product.sizes),
        step=step,
        stood=min(going_by_day(household, product, first, days)[-1], supply[-1]) / content,
        lately=tuple((even / content, eaten / content) for even, eaten in past),
        first_size=tuple(first_size),
        there=supply[-1] - standing[-1] + in_parts,
        held_last=Fraction(0) if last is None or last < 0 else (supply[last] - standing[last]) / grain,
        exact=exact,
        thawing=lies_thawing(household, product, first),
        fresh=product.fresh_days,
        comings=tuple((d, floor(amount / grain)) for d, amount in came),
        waits=tuple(first + timedelta(days=d) in product.waits_on for d in range(days)),
        soon_gone=soon_gone(product, first),
    )
