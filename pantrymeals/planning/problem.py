"""The menu question, frozen: days, dishes that could stand there, and goods in whole numbers.

Whole numbers come from one scaling for each product: its amounts are counted in a grain, the
greatest measure that divides its container and every amount a dish takes (half a quart and a
quart: the grain is half a quart). Where no coarse grain fits, it is a thousandth of a container,
and uses are rounded up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from pantrymeals.planning.evenness import averaged, in_containers, on_shelf, shares, steps
from pantrymeals.planning.request import MenuRequest
from pantrymeals.planning.table import (
    Table,
    alternative_for,
    barred_marks,
    batches,
    must_not,
    refusals,
    tables,
    weekday,
)
from pantrymeals.records import Dish, Household, Instead, Option, Product, Role, Use

GRAINS_A_CONTAINER = 1000


@dataclass(frozen=True, slots=True)
class Draw:
    """So many grains of one product. rank: 0 for the option liked best; stand-ins add to it."""

    product: int
    grains: int
    exact: Fraction
    rank: int
    stand_in: bool


@dataclass(frozen=True, slots=True)
class Candidate:
    """A dish that could stand in one role of one table.

    fixed: draws without choice. choices: for each use with several options, its draws.
    points: liking, effort and refusals. instead: alternatives served beside it.
    """

    table: int
    day: int
    role: Role
    dish: Dish
    batches: int
    fixed: tuple[Draw, ...]
    choices: tuple[tuple[Draw, ...], ...]
    points: int
    instead: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Goods:
    """One product in grains.

    container: grains in one of its first size. whole: opened whole.
    shelf: above the reserve, in grains (whole containers for whole goods). arrivals: (day, grains).
    standing: grains taken by standing use by the end of each day (cumulative).
    parts: part jars as (grains left, last day good, counted from the first day).
    life: days an opened one is good, its first day counted; None: no clock within the horizon.
    last: last day it may be planned, counted from the first day; None: no such day.
    share: its even share in containers, before the common pace; averaged: whether it is asked for.
    step: whole containers by which it is usually drawn; stood: what standing use takes in all (containers).
    sizes: (name, grains, how many on the shelf) of each size it comes in, the first size first.
    """

    name: str
    container: int
    whole: bool
    shelf: int
    arrivals: tuple[tuple[int, int], ...]
    standing: tuple[int, ...]
    parts: tuple[tuple[int, int], ...]
    life: int | None
    thaw: int
    last: int | None
    share: Fraction
    averaged: bool
    exact_container: Fraction
    sizes: tuple[tuple[str, int, int], ...] = ()
    step: int = 1
    stood: Fraction = Fraction(0)

    def supply(self, day: int) -> int:
        """Grains that shelf and arrivals have held up to the end of a day, without part jars."""
        return self.shelf + sum(grains for d, grains in self.arrivals if d <= day)


@dataclass(frozen=True, slots=True)
class MenuProblem:
    """All that the menu solver sees.

    recent: (day counted from the first, so negative; dish name; tags).
    waived: (day, tag) fixed nights that no dish can keep.
    """

    household: Household
    request: MenuRequest
    tables: tuple[Table, ...]
    table_day: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    goods: tuple[Goods, ...]
    recent: tuple[tuple[int, str, frozenset[str]], ...]
    waived: tuple[tuple[int, str], ...]

    @property
    def days(self) -> int:
        """How many days."""
        return self.request.days


def menu_problem(household: Household, request: MenuRequest) -> MenuProblem:
    """The frozen question for a household and a request."""
    laid = tables(household, request.first, request.days)
    day_of = tuple((t.day - request.first).days for t in laid)
    shelf = on_shelf(household)
    stocked = {name for name, amount in shelf.items() if amount > 0}
    stocked |= {p.product for p in household.part_jars}
    stocked |= {a.product for a in household.arrivals}
    end = request.first + timedelta(days=request.days)
    raw: list[_Raw] = []
    for index, (table, day) in enumerate(zip(laid, day_of, strict=True)):
        for dish in household.dishes.values():
            if dish.role in table.roles and dish.name not in request.banned:
                found = _candidate(household, stocked, table, dish)
                if found is not None:
                    raw.append(_Raw(index, day, dish, *found))
    goods_of = _goods(household, request, raw, shelf, end)
    raw = _thawed_in_time(household, raw, goods_of, request)
    raw, waived = _fixed_nights(household, request, laid, raw)
    names = {name: i for i, name in enumerate(goods_of)}
    candidates = tuple(_scaled(household, laid, r, goods_of, names) for r in raw)
    recent = tuple(
        (
            (day - request.first).days,
            dish,
            household.dishes[dish].tags if dish in household.dishes else frozenset(),
        )
        for day, dish in household.recent
        if day < request.first
    )
    return MenuProblem(
        household, request, laid, day_of, candidates, tuple(goods_of.values()), recent, waived
    )


@dataclass(frozen=True, slots=True)
class _Raw:
    table: int
    day: int
    dish: Dish
    batches: int
    uses: tuple[tuple[tuple[Option, Fraction], ...], ...]
    instead: tuple[str, ...]


def _candidate(
    household: Household, stocked: set[str], table: Table, dish: Dish
) -> tuple[int, tuple[tuple[tuple[Option, Fraction], ...], ...], tuple[str, ...]] | None:
    """Batches, viable options with exact amounts, and alternatives; None when it cannot stand there."""
    day = table.day
    if dish.season and day.month not in dish.season:
        return None
    if dish.only_for and dish.only_for not in table.kinds:
        return None
    longest = household.rules.longest_minutes.get(weekday(day))
    if longest is not None and dish.minutes > longest and not table.kinds:
        return None
    barred = barred_marks(dish, table.eaters, day)
    if barred & dish.contents:
        return None
    times = batches(dish, table.portions, household.rules.stretch)
    uses = []
    for use in dish.uses:
        viable = _viable(household, stocked, use, day, barred)
        if not viable:
            return None
        uses.append(tuple((o, o.amount * times) for o in viable))
    notes = []
    for instead in _alternatives(household, table, dish):
        for use in instead.uses:
            viable = _viable(household, stocked, use, day, frozenset())
            if not viable:
                return None
            uses.append(tuple((o, o.amount) for o in viable))
        notes.append(f"{instead.whom}: {instead.what}")
    return times, tuple(uses), tuple(notes)


def _alternatives(household: Household, table: Table, dish: Dish) -> tuple[Instead, ...]:
    """The noted alternatives that are served at this table: for those who must not or will not eat it."""
    marks = dish.contents.union(
        *(household.products[o.product].contents for u in dish.uses for o in u.options)
    )
    wanted = []
    for instead in dish.instead:
        for person in table.eaters:
            stopped = any(
                alternative_for(dish, person, mark, table.day) is instead
                for mark in must_not(person, table.day) & marks
            )
            refused = person.name.casefold() == instead.whom.casefold()
            if (stopped or refused) and instead not in wanted:
                wanted.append(instead)
    return tuple(wanted)


def _viable(
    household: Household, stocked: set[str], use: Use, day: date, barred: frozenset[str]
) -> tuple[Option, ...]:
    """The options of a use that may stand on this day, in the order liked."""
    out = []
    for option in use.options:
        product = household.products[option.product]
        late = (
            product.deadline_kind == "keeps to"
            and product.must_last_to is not None
            and day > product.must_last_to
            and not any(a.product == product.name and a.day <= day for a in household.arrivals)
        )
        if (
            product.on_menus
            and option.product in stocked
            and not (product.contents & barred)
            and not (product.eaten_in and day.month not in product.eaten_in)
            and not late
        ):
            out.append(option)
    return tuple(out)


def _goods(
    household: Household,
    request: MenuRequest,
    raw: list[_Raw],
    shelf: Mapping[str, Fraction],
    end: date,
) -> dict[str, Goods]:
    """Every product that a candidate may draw or that is averaged, counted in its own grain."""
    amounts: dict[str, set[Fraction]] = {}
    for r in raw:
        for use in r.uses:
            for option, amount in use:
                amounts.setdefault(option.product, set()).add(amount)
    share = in_containers(household, shares(household, request.first, request.days))
    wanted = averaged(household, request.first, request.days)
    step = steps(household)
    out = {}
    for name, product in household.products.items():
        if name in amounts:
            out[name] = _one_good(
                household, request, product, shelf[name], amounts[name], end,
                share.get(name, Fraction(0)), name in wanted, step[name],
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


def supply_by_day(
    household: Household, product: Product, shelf: Fraction, first: date, days: int
) -> list[Fraction]:
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
    for part in household.part_jars:
        if part.product == product.name:
            good = days if product.opened_days is None else (
                (part.opened - first).days + product.thaw_days + product.opened_days - 1
            )
            if good >= 0:
                parts.append((floor(part.left / grain), good))
    life = product.opened_days
    last = None
    if product.deadline_kind == "keeps to" and product.must_last_to is not None and product.must_last_to < end:
        last = max(-1, (product.must_last_to - first).days)
    return Goods(
        name=product.name,
        container=container,
        whole=product.whole,
        shelf=floor(shelf / grain),
        arrivals=tuple(arrivals),
        standing=tuple(ceil(s / grain) for s in standing),
        parts=tuple(sorted(parts, key=lambda p: p[1])),
        life=life if life is not None and life < days else None,
        thaw=product.thaw_days,
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
    )


def _count(household: Household, product: str, size: str) -> int:
    """Whole containers of one size on the shelf."""
    return floor(
        sum(
            (lot.count for lot in household.lots if (lot.product, lot.size, lot.state) == (product, size, "")),
            Fraction(0),
        )
    )


def _thawed_in_time(
    household: Household, raw: list[_Raw], goods: Mapping[str, Goods], request: MenuRequest
) -> list[_Raw]:
    """Candidates whose frozen packs can be ready that day; others lose the option, or fall."""
    out = []
    for r in raw:
        uses = []
        for use in r.uses:
            kept = tuple(
                (o, amount)
                for o, amount in use
                if r.day >= goods[o.product].thaw or _part_enough(goods[o.product], r.day, amount)
            )
            kept = tuple((o, a) for o, a in kept if _ever_enough(goods[o.product], r.day, a))
            uses.append(kept)
        if all(uses):
            out.append(_Raw(r.table, r.day, r.dish, r.batches, tuple(uses), r.instead))
    return out


def _grains(goods: Goods, amount: Fraction) -> int:
    return ceil(amount * goods.container / goods.exact_container)


def _part_enough(goods: Goods, day: int, amount: Fraction) -> bool:
    return sum(g for g, good in goods.parts if good >= day) >= _grains(goods, amount)


def _ever_enough(goods: Goods, day: int, amount: Fraction) -> bool:
    """Whether shelf, arrivals and part jars could ever give this much on that day."""
    parts = sum(g for g, good in goods.parts if good >= day)
    return goods.supply(day) - goods.standing[day] + parts >= _grains(goods, amount)


def _fixed_nights(
    household: Household, request: MenuRequest, laid: tuple[Table, ...], raw: list[_Raw]
) -> tuple[list[_Raw], tuple[tuple[int, str], ...]]:
    """Leave only dishes with the weekday's tag in the supper's main, where there is one at all."""
    fixed = household.rules.fixed
    keeps: dict[int, str] = {}
    waived = []
    for index, table in enumerate(laid):
        tag = fixed.get(weekday(table.day))
        if tag is None or table.meal != "supper" or "main" not in table.roles:
            continue
        if any(o.dish for o in table.occasions) or _main_pinned(household, request, table):
            continue
        mains = [r for r in raw if r.table == index and r.dish.role == "main"]
        if any(tag in r.dish.tags for r in mains):
            keeps[index] = tag
        elif mains:
            waived.append((mains[0].day, tag))
    kept = [
        r
        for r in raw
        if r.dish.role != "main" or r.table not in keeps or keeps[r.table] in r.dish.tags
    ]
    return kept, tuple(waived)


def _main_pinned(household: Household, request: MenuRequest, table: Table) -> bool:
    """Whether someone has pinned the main of this table: their word goes before the fixed night."""
    return any(
        pin.day == table.day
        and pin.meal in (None, table.meal)
        and pin.dish in household.dishes
        and household.dishes[pin.dish].role == "main"
        for pin in request.pinned
    )


EFFORT_POINTS_A_MINUTE = Fraction(1, 10)
LIKING_POINTS = 8
REFUSAL_POINTS = 60


def _scaled(
    household: Household,
    laid: tuple[Table, ...],
    r: _Raw,
    goods: Mapping[str, Goods],
    names: Mapping[str, int],
) -> Candidate:
    table = laid[r.table]
    fixed: list[Draw] = []
    choices: list[tuple[Draw, ...]] = []
    for use in r.uses:
        draws = tuple(
            Draw(
                names[o.product],
                _grains(goods[o.product], amount),
                amount,
                rank + (3 if o.stand_in else 0),
                o.stand_in,
            )
            for rank, (o, amount) in enumerate(use)
        )
        if len(draws) == 1:
            fixed.append(draws[0])
        else:
            choices.append(draws)
    refused = refusals(r.dish, table.eaters)
    points = (
        LIKING_POINTS * (2 - r.dish.liking)
        + round(EFFORT_POINTS_A_MINUTE * r.dish.hands_on_minutes)
        + REFUSAL_POINTS * len(refused)
    )
    return Candidate(
        r.table, r.day, r.dish.role, r.dish, r.batches, tuple(fixed), tuple(choices), points, r.instead
    )
