"""The menu question read a second time, straight from the records, for tests that judge the planner.

Nothing of ``pantrymeals.planning`` is used: portions, eaters, shares and standing use come from the
checker, which was written apart from the solver; the rest is written here from the numbered rules in
DEVELOPERS.md. The prices of wishes are stated in this file's own table, in hundredths of a point.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from pantrymeals.checking import evenness, shelf
from pantrymeals.checking.limits import why_not_planned
from pantrymeals.checking.portions import batches_for
from pantrymeals.checking.table import (
    barring_marks,
    eaters_of,
    is_for,
    kinds_of,
    marks_against,
    occasions_of,
    portions_of,
    roles_of,
    weekday_of,
    who_eats,
)
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, MealName, Product, Role, Use

ZERO = Fraction(0)

OPEN_ROLE = {"main": 600_000, "breakfast": 400_000, "lunch": 400_000, "side": 350_000,
             "bread": 250_000, "fruit": 250_000, "sweet": 250_000}  # fmt: skip
LIKED_LESS = 800
MINUTE = Fraction(1, 10)
REFUSED = 6_000
LIKED_LESS_OPTION = 300
STAND_IN_RANKS = 3
ALONE = 800
WASTED_CONTAINER = 6_000
LEFT_OPEN_CONTAINER = 1_500
GONE_OVER = 40_000
FEWEST_GOING_OVER = 4.0
OFF_SHARE = 100_000
LARGEST_OFF_THOUSANDTH = 50
FEWEST_STEPS = 4
FINEST_GRAIN = 1000


@dataclass(frozen=True, slots=True)
class Draw:
    """One option of one use: how much of a product (base measure), and what taking it costs."""

    product: str
    amount: Fraction
    cost: int


@dataclass(frozen=True, slots=True)
class Cooking:
    """A dish that could stand in one place (a meal of a day); cost: liking, effort, refusals."""

    number: int
    place: int
    day: int
    dish: Dish
    uses: tuple[tuple[Draw, ...], ...]
    cost: int

    @property
    def role(self) -> Role:
        """The role that the dish is written for."""
        return self.dish.role


@dataclass(frozen=True, slots=True)
class PlaceAtTable:
    """One meal of one day, with the roles to be filled."""

    day: int
    meal: MealName
    roles: tuple[Role, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    """One product day by day, in base measure.

    parts: (first day usable, last day good, left). life: days that an opened one keeps, None where the
    menu ends sooner. last: the last day it may be planned. grain: what the planner counts in.
    """

    product: Product
    supply: tuple[Fraction, ...]
    stood: tuple[Fraction, ...]
    parts: tuple[tuple[int, int, Fraction], ...]
    life: int | None
    last: int | None
    grain: Fraction
    counts: tuple[tuple[str, Fraction, Fraction], ...]
    arrived: tuple[Fraction, ...]

    @property
    def content(self) -> Fraction:
        """One container of the first size."""
        return self.product.sizes[0].content

    @property
    def grains(self) -> int:
        """Grains in one container of the first size."""
        return int(self.content / self.grain)

    def in_grains(self, amount: Fraction) -> int:
        """An amount in whole grains, rounded up as a use is."""
        return ceil(amount / self.grain)

    def room(self, day: int) -> Fraction:
        """What menu and openings may have taken by the end of a day."""
        return max(ZERO, self.supply[day] - self.stood[day])


@dataclass(frozen=True, slots=True)
class Even:
    """One product's band in grains, standing use taken off; each: hundredths a grain outside."""

    low: int
    high: int
    each: int
    millionths: int


@dataclass(slots=True)
class Question:
    """All that a second solver needs to know."""

    household: Household
    first: date
    days: int
    places: list[PlaceAtTable] = field(default_factory=list)
    cookings: list[Cooking] = field(default_factory=list)
    stocks: dict[str, Stock] = field(default_factory=dict)
    even: dict[str, Even] = field(default_factory=dict)
    pinned: tuple[tuple[date, str], ...] = ()

    def on(self, day: int) -> date:
        """The date of a day's number."""
        return self.first + timedelta(days=day)


def empty_plan(first: date, days: int) -> MenuPlan:
    """A plan of no meals: what the checker's functions about the shelf want to know is when it is."""
    return MenuPlan(first, days, (), (), (), (), (), Fraction(1), 0.0, 0.0, 0.0, 0.0, 1, "proven", 0)


def read(
    household: Household,
    first: date,
    days: int,
    pinned: Iterable[tuple[date, str]] = (),
    banned: frozenset[str] = frozenset(),
) -> Question:
    """The question of a household and its days, without the bands of evenness."""
    question = Question(household, first, days, pinned=tuple(pinned))
    for number in range(days):
        for laid in household.meals:
            roles = tuple(roles_of(household, laid.meal, question.on(number)))
            if roles:
                question.places.append(PlaceAtTable(number, laid.meal, roles))
    found: list[tuple[int, Dish, tuple[tuple[Draw, ...], ...], int]] = []
    for place in range(len(question.places)):
        for dish in household.dishes.values():
            if dish.role in question.places[place].roles and dish.name not in banned:
                uses = _uses(question, place, dish)
                if uses is not None:
                    found.append((place, dish, uses, _own_cost(question, place, dish)))
    amounts: dict[str, set[Fraction]] = {}
    for _, _, uses, _ in found:
        for use in uses:
            for draw in use:
                amounts.setdefault(draw.product, set()).add(draw.amount)
    for name in amounts:
        question.stocks[name] = _stock(question, household.products[name], amounts[name])
    found = [(p, d, kept, c) for p, d, uses, c in found if all(kept := _to_be_had(question, p, uses))]
    found = [f for f in found if not _against_the_night(question, f[0], f[1], found)]
    question.cookings = [Cooking(i, p, question.places[p].day, d, uses, c) for i, (p, d, uses, c) in enumerate(found)]
    return question


def _uses(question: Question, place: int, dish: Dish) -> tuple[tuple[Draw, ...], ...] | None:
    """What the dish takes there, by options that may stand on a plate that day; None when it cannot."""
    household, at = question.household, question.places[place]
    day = question.on(at.day)
    kinds = kinds_of(household, day)
    longest = household.rules.longest_minutes.get(weekday_of(day))
    if dish.season and day.month not in dish.season:
        return None
    if dish.only_for and dish.only_for not in kinds:
        return None
    if dish.weekdays and weekday_of(day) not in dish.weekdays:
        return None
    if dish.not_for and who_eats(household, at.meal, day) in dish.not_for:
        return None
    if longest is not None and dish.minutes > longest and not kinds:
        return None
    barred = set(barring_marks(household, dish, at.meal, day))
    if barred & {mark.casefold() for mark in dish.contents}:
        return None
    times = batches_for(household, dish, portions_of(household, at.meal, day))
    table = eaters_of(household, at.meal, day)
    served = [note for note in dish.instead if any(is_for(note, person, day) for person in table)]
    asked = [(use, times, barred) for use in dish.uses]
    for note in served:
        own = {m for p in table if is_for(note, p, day) for m in marks_against(p, day)}
        asked += [(use, 1, own) for use in note.uses]
    out = []
    for use, batches, marks in asked:
        options = _options(question, use, batches, marks, day)
        if not options:
            return None
        out.append(options)
    return tuple(out)


def _options(question: Question, use: Use, batches: int, barred: set[str], day: date) -> tuple[Draw, ...]:
    household = question.household
    out = []
    for option in use.options:
        product = household.products[option.product]
        ever = (
            shelf.on_the_shelf(household, product) > 0
            or any(p.product == product.name for p in household.part_jars)
            or any(a.product == product.name for a in household.arrivals)
        )
        marked = barred & {mark.casefold() for mark in product.contents}
        if ever and not marked and not why_not_planned(household, product, day):
            out.append(Draw(product.name, option.amount * batches, int(option.stand_in)))
    return tuple(out)


def _own_cost(question: Question, place: int, dish: Dish) -> int:
    at = question.places[place]
    noted = {note.whom.casefold() for note in dish.instead}
    refused = [
        person
        for person in eaters_of(question.household, at.meal, question.on(at.day))
        if person.will_not & dish.tags and person.name.casefold() not in noted
    ]
    effort = 100 * round(MINUTE * dish.hands_on_minutes)
    return LIKED_LESS * (2 - dish.liking) + effort + REFUSED * len(refused)


def _grain(product: Product, amounts: set[Fraction]) -> Fraction:
    """The greatest measure that divides a container and all that dishes take; a thousandth if too fine."""
    container = product.sizes[0].content
    parts = [a / container for a in amounts] + [s.content / container for s in product.sizes]
    common = lcm(*(p.denominator for p in parts))
    if common > FINEST_GRAIN:
        return container / FINEST_GRAIN
    return container * Fraction(gcd(common, *(int(p * common) for p in parts)), common)


def _stock(question: Question, product: Product, amounts: set[Fraction]) -> Stock:
    household, days = question.household, question.days
    plan = empty_plan(question.first, days)
    supply = tuple(shelf.supplied(household, plan, product))
    parts = tuple(shelf.part_jars(household, plan, product))
    life = product.opened_days
    clock = life is not None and (life < days or any(last < days - 1 for _, last, _ in parts))
    last = None
    keeps = product.must_last_to
    coming = [a.day for a in household.arrivals if a.product == product.name and a.day < question.on(days)]
    if product.deadline_kind == "keeps to" and keeps is not None and all(came < keeps for came in coming):
        number = (keeps - question.first).days
        last = max(-1, number) if number < days else None
    counts = []
    for size in product.sizes:
        lots = [x for x in household.lots if (x.product, x.size, x.state) == (product.name, size.name, "")]
        counts.append((size.name, size.content, sum((x.count for x in lots), ZERO)))
    on_shelf = shelf.on_the_shelf(household, product)
    return Stock(
        product=product,
        supply=supply,
        stood=tuple(shelf.stood(household, plan, product)),
        parts=parts if product.whole else (),
        life=life if clock else None,
        last=last,
        grain=_grain(product, amounts),
        counts=tuple(counts),
        arrived=tuple(s - on_shelf for s in supply),
    )


def _to_be_had(question: Question, place: int, uses: Sequence[Sequence[Draw]]) -> tuple[tuple[Draw, ...], ...]:
    """Options that are thawed by then and of which there could be enough, each with its price."""
    day = question.places[place].day
    out = []
    for use in uses:
        kept = []
        for draw in use:
            stock = question.stocks[draw.product]
            in_part = sum((left for ready, last, left in stock.parts if ready <= day <= last), ZERO)
            thawed = day >= stock.product.thaw_days or in_part >= draw.amount
            if thawed and stock.supply[day] - stock.stood[day] + in_part >= draw.amount:
                kept.append(draw)
        ranked = [
            Draw(d.product, d.amount, LIKED_LESS_OPTION * (rank + STAND_IN_RANKS * d.cost))
            for rank, d in enumerate(kept)
        ]
        out.append(tuple(ranked) if len(ranked) > 1 else tuple(Draw(d.product, d.amount, 0) for d in ranked))
    return tuple(out)


def _against_the_night(
    question: Question, place: int, dish: Dish, found: Sequence[tuple[int, Dish, object, int]]
) -> bool:
    """Whether a main lacks the tag of a fixed night that some dish could keep."""
    at, household = question.places[place], question.household
    day = question.on(at.day)
    tag = household.rules.fixed.get(weekday_of(day))
    if tag is None or at.meal != "supper" or dish.role != "main" or tag in dish.tags:
        return False
    if any(o.dish for o in occasions_of(household, day)):
        return False
    if any(d == day and household.dishes[name].role == "main" for d, name in question.pinned):
        return False
    return any(p == place and d.role == "main" and tag in d.tags for p, d, _, _ in found)


def put_bands(question: Question, products: Iterable[str], pace: Fraction) -> None:
    """Give each of these products the band around its even share at a pace."""
    for name in products:
        stock = question.stocks[name]
        household = question.household
        share = evenness.even_share(household, stock.product, question.first, question.days)
        share = share / stock.content * pace
        step = evenness.step_of(household, stock.product)
        if share < step <= evenness.behind(household, stock.product, pace):
            share += step
        stood = stock.in_grains(stock.stood[-1])
        low = floor(share / step) * step
        high = max(ceil(share / step) * step, ceil(stock.stood[-1] / stock.content))
        weight = 1 / max(share, Fraction(FEWEST_STEPS * step))
        millionths = max(1, round(10**6 * weight / stock.grains))
        each = max(1, OFF_SHARE * millionths // 10**6)
        question.even[name] = Even(low * stock.grains - stood, high * stock.grains - stood, each, millionths)
