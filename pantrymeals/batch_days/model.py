"""Which batch days on which days: a small model, solved exactly.

What a plan of batch days is worth, all as shares so that jars and pounds compare:

- saved: what it takes that would have gone over, as a share of that product's stock;
- closed: what it makes that would have been missing, as a share of what is wanted of that product;
- less a half of what own use would have eaten of what it takes, as a share of stock (that is not
  lost, only eaten as something else), and a hundredth for each hour of work;
- of equal plans the earliest, and the option liked best.

What goes over or is missing counts only when it cannot wait: when the last day on which that batch day
could still be done for it, in its season, is at most thirteen weeks away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import product as every
from math import ceil, floor

from msgspec import Struct, field

from pantrymeals.batch_days.facts import SOON_DAYS, ZERO, StockCourse, free_minutes, in_glut
from pantrymeals.larder.batch_days_done import in_season, made_by
from pantrymeals.larder.must_reach import past_keeping
from pantrymeals.larder.supply import nights_left
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import BatchDay, Household
from pantrymeals.solving.linear_model import LinearModel, arrays
from pantrymeals.solving.solvers import solved

HOUR = 0.01
EATEN_AS_SOMETHING_ELSE = 0.5
LATER = 1e-5
LESS_LIKED = 1e-4
"""Our own weights, as shares; common sense, no published source."""

MOST_GOES = 10
MOST_WAYS = 32
SECONDS = 5.0
PAYS = Fraction(1, 2)
"""The part of a go that has to save or close something."""
SCALE = 1e5


class Way(Struct, frozen=True):
    """A batch day with an option chosen for each use; containers of the first size, for one go.

    liked: 0 for the options liked best, more for others. takes: what leaves the shelf, whole containers
    where it is opened whole. stand_ins: the products that stand in.
    """

    batch: BatchDay
    liked: int
    takes: Mapping[str, Fraction]
    makes: Mapping[str, Fraction]
    stand_ins: frozenset[str] = frozenset()


class Go(Struct, frozen=True):
    """So many goes of a batch day on a day of the plan, counted from its first."""

    number: int
    way: Way
    times: int


def ways(household: Household) -> tuple[Way, ...]:
    """Every way to do each batch day with products that may be planned."""
    out = []
    for batch in sorted(household.batch_days.values(), key=lambda b: b.name):
        choices = list(every(*(use.options for use in batch.uses)))[:MOST_WAYS]
        for liked, chosen in enumerate(choices):
            if all(household.products[o.product].on_menus for o in chosen) and chosen:
                takes: dict[str, Fraction] = {}
                for option in chosen:
                    takes[option.product] = takes.get(option.product, ZERO) + option.amount
                out.append(
                    Way(
                        batch,
                        liked,
                        {name: _off_the_shelf(household, name, amount) for name, amount in takes.items()},
                        made_by(household, batch),
                        frozenset(o.product for o in chosen if o.stand_in),
                    )
                )
    return tuple(out)


def _off_the_shelf(household: Household, name: str, amount: Fraction) -> Fraction:
    product = household.products[name]
    count = amount / product.sizes[0].content
    return Fraction(ceil(count)) if product.whole else count


def cannot_wait(batch: BatchDay, day: date, end: date) -> bool:
    """Whether, on a day in season, the last chance to do it for what ends on ``end`` is thirteen weeks away or less."""
    last = end
    while last > day and not in_season(batch, last):
        last -= timedelta(days=1)
    return (last - day).days <= SOON_DAYS


def saves(batch: BatchDay, day: date, end: date, first: date) -> bool:
    """Whether a go on ``day`` saves what goes over on ``end``; what is over already is saved on any day."""
    return end <= first or (day <= end and cannot_wait(batch, day, end))


class _BatchModel(Struct):
    """The facts that every row speaks of. goes: each possible go with its column.

    serves: by the column of a go, what it saves or closes, as parts of what one go takes or makes.
    """

    household: Household
    plan: MenuPlan
    courses: Mapping[str, StockCourse]
    linear: LinearModel = field(default_factory=LinearModel)
    goes: list[tuple[int, int, Way]] = field(default_factory=list)
    serves: dict[int, list[tuple[int, Fraction]]] = field(default_factory=dict)

    def day(self, number: int) -> date:
        """The plan's day of that number."""
        return self.plan.first + timedelta(days=number)

    def column(self, hi: float | Fraction, worth: float, whole: bool = False) -> int:
        """A new column from 0 to hi, that rounded up; worth: what each of it brings, as a share."""
        return self.linear.column(0, ceil(hi), -worth * SCALE, implied=not whole)

    def at_most(self, terms: Iterable[tuple[int, Fraction | float]], most: Fraction | float) -> None:
        """Hold a sum at most at so much."""
        self.linear.constrain("", [(col, float(coef)) for col, coef in terms], hi=float(most))


def choose(
    household: Household,
    plan: MenuPlan,
    courses: Mapping[str, StockCourse],
    kinds: Mapping[str, frozenset[str]],
    empties: Mapping[str, int],
) -> tuple[Go, ...]:
    """The batch days of the greatest worth. kinds: see ``of_a_kind``. empties: jars on hand by size, where told."""
    model = _BatchModel(household, plan, courses)
    _columns(model)
    if not any(_worth_a_go(model, number, way) for _, number, way in model.goes):
        return ()
    _hours_are_kept(model)
    _shelf_holds_it(model)
    _own_use_goes_first(model, kinds)
    _jars_are_there(model, empties)
    _saved(model)
    _closed(model)
    _it_pays(model)
    found = solved(arrays(model.linear), SECONDS)
    if found.x is None:
        return ()
    chosen = [Go(number, way, round(found.x[col])) for col, number, way in model.goes]
    return tuple(sorted((g for g in chosen if g.times), key=lambda g: (g.number, g.way.batch.name, g.way.liked)))


def _columns(model: _BatchModel) -> None:
    """One column for each way and day on which at least one go fits in; none for what makes only what is in glut."""
    glut = {name for name, course in model.courses.items() if in_glut(model.household, course)}
    all_ways = [way for way in ways(model.household) if not way.makes.keys() <= glut]
    for number in range(model.plan.days):
        day = model.day(number)
        minutes = free_minutes(model.household, day)
        for way in all_ways if minutes else ():
            most = min(MOST_GOES, minutes // way.batch.minutes if way.batch.minutes else MOST_GOES)
            for name, amount in way.takes.items():
                product, free = model.courses[name].product, model.courses[name].free[number]
                frozen = number < nights_left(model.household, product, model.plan.first)
                never = frozen or past_keeping(model.household, product, day)
                most = 0 if never else min(most, floor(free / amount))
            if most and in_season(way.batch, day):
                worth = -HOUR * way.batch.minutes / 60 - LATER * number - LESS_LIKED * way.liked
                model.goes.append((model.column(most, worth, whole=True), number, way))


def _worth_a_go(model: _BatchModel, number: int, way: Way) -> bool:
    """Whether there is anything that a go could save or close."""
    day, first = model.day(number), model.plan.first
    over = (p for name in way.takes for p in model.courses[name].going_over)
    return any(saves(way.batch, day, p.day, first) for p in over) or any(
        cannot_wait(way.batch, day, max(day, model.courses[name].lacking[0].day))
        for name in way.makes
        if model.courses[name].lacking
    )


def _hours_are_kept(model: _BatchModel) -> None:
    """No more work on a day than its free minutes."""
    for number in {n for _, n, _ in model.goes}:
        terms = [(col, way.batch.minutes) for col, n, way in model.goes if n == number]
        model.at_most(terms, free_minutes(model.household, model.day(number)))


def _shelf_holds_it(model: _BatchModel) -> None:
    """By the end of each day no more is taken than menu, standing use, reserve and later days leave."""
    for name, course in model.courses.items():
        takers = [(col, n, way.takes[name]) for col, n, way in model.goes if name in way.takes]
        for number in sorted({n for _, n, _ in takers}):
            model.at_most([(col, amount) for col, n, amount in takers if n <= number], course.free[number])


def _own_use_goes_first(model: _BatchModel, kinds: Mapping[str, frozenset[str]]) -> None:
    """Standing use has what it needs until each product's day; what the menus would have eaten has a price."""
    for alike in sorted({kinds[name] for _, _, way in model.goes for name in way.takes}, key=sorted):
        members = [model.courses[name] for name in sorted(alike) if name in model.courses]
        terms = [
            (col, amount)
            for col, number, way in model.goes
            for name, amount in way.takes.items()
            if name in alike and model.day(number) < model.courses[name].due
        ]
        stock = sum((c.stock for c in members), ZERO)
        if not terms or not stock:
            continue
        model.at_most(terms, sum((c.unclaimed for c in members), ZERO))
        else_eaten = model.column(stock, -EATEN_AS_SOMETHING_ELSE / float(stock))
        model.at_most([*terms, (else_eaten, -1)], sum((c.spare for c in members), ZERO))


def _jars_are_there(model: _BatchModel, empties: Mapping[str, int]) -> None:
    """No more jars of a size are filled than stand empty; a size that nobody counted is not asked after."""
    for size, count in sorted(empties.items()):
        terms = []
        for col, _, way in model.goes:
            for name, made in way.makes.items():
                product = model.household.products[name]
                if product.kind == "jar" and product.sizes[0].name == size:
                    terms.append((col, made))
        if terms:
            model.at_most(terms, count)


def _saved(model: _BatchModel) -> None:
    """What would have gone over, saved once, by goes that are in time for it."""
    first = model.plan.first
    for name, course in model.courses.items():
        takers = [(col, n, way) for col, n, way in model.goes if name in way.takes]
        shares: dict[int, list[int]] = {col: [] for col, _, _ in takers}
        for over in course.going_over:
            flows = []
            for col, number, way in takers:
                if saves(way.batch, model.day(number), over.day, first):
                    flow = model.column(over.amount, float(1 / course.stock))
                    shares[col].append(flow)
                    flows.append((flow, 1))
            if flows:
                model.at_most(flows, over.amount)
        _no_more_than(model, shares, [(col, way.takes[name]) for col, _, way in takers])


def _no_more_than(model: _BatchModel, shares: Mapping[int, list[int]], each: Sequence[tuple[int, Fraction]]) -> None:
    """The flows of each go together are at most what its goes take or make."""
    for col, amount in each:
        if shares[col]:
            model.at_most([*((flow, 1) for flow in shares[col]), (col, -amount)], 0)
            model.serves.setdefault(col, []).extend((flow, 1 / amount) for flow in shares[col])


def _closed(model: _BatchModel) -> None:
    """What would have been missing, made once: what is made on a day serves from that day on."""
    for name, course in model.courses.items():
        makers = [(col, n, way) for col, n, way in model.goes if name in way.makes]
        if not course.lacking or not makers:
            continue
        shares: dict[int, list[int]] = {col: [] for col, _, _ in makers}
        flows: list[tuple[int, int]] = []
        total = sum((p.amount for p in course.lacking), ZERO)
        for col, number, way in makers:
            day = model.day(number)
            if cannot_wait(way.batch, day, max(day, course.lacking[0].day)):
                flow = model.column(total, float(1 / course.need))
                shares[col].append(flow)
                flows.append((flow, number))
        for number in sorted({0, *(n for _, n in flows if model.day(n) > course.lacking[0].day)}):
            later = sum((p.amount for p in course.lacking if p.day >= model.day(number)), ZERO)
            model.at_most([(flow, 1) for flow, n in flows if n >= number], later)
        _no_more_than(model, shares, [(col, way.makes[name]) for col, _, way in makers])


def _it_pays(model: _BatchModel) -> None:
    """Half at least of what a go takes would have gone over, or half of what it makes would have been missing.

    Forty pounds of apples are not sauced for the ten that would be left: those are eaten.
    """
    for col, _, _ in model.goes:
        model.at_most([(col, PAYS), *((flow, -part) for flow, part in model.serves.get(col, ()))], 0)
