"""The menu question with a switch on every rule of the house: off it is kept, on it gives way.

Nothing is wished for here: no evenness, no liking. Every rule that a household could relax gets a
switch, and so does the stock of each product (on: so many containers are bought). What no household
can change stays hard: seasons, thawing nights, what somebody must not eat, whole containers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import ceil, floor
from typing import Literal

import numpy as np

from pantrymeals.larder.evenness import on_shelf
from pantrymeals.larder.supply import standing_by_day, supply_by_day
from pantrymeals.larder.table import batches, tables, weekday
from pantrymeals.menu.clash.active_limits import TrueSupply, only_active_limits
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week import house_rules
from pantrymeals.menu.week.constraints import MenuModel, Promise, build
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.records import Household, Lot, Product
from pantrymeals.solving.linear_model import ANY, LinearModel

Kind = Literal[
    "at most", "at least", "not running", "not twice", "not twice a day", "minutes", "longest", "repeats",
    "together", "fixed night", "pinned", "feast", "left out", "stock",
]  # fmt: skip

SWITCH = 1_000_000
"""The price of one rule that gives way; amounts cost so little beside it that the number decides."""

UNIT_PRICE: Mapping[Kind, int] = {"at most": 1000, "at least": 1000, "minutes": 10}
CONTAINER_PRICE = 100
UNPRICED = 50_000
"""What is in no store is bought only where nothing else will do."""

HARD = (house_rules.every_role_filled_once, house_rules.leavings_are_there)
LOOSE = (
    house_rules.days_between_repeats,
    house_rules.at_most_in_seven_days,
    house_rules.at_least_in_seven_days,
    house_rules.not_two_days_running,
    house_rules.not_twice_in_a_meal,
    house_rules.not_twice_in_a_day,
    house_rules.minutes_of_the_day,
    house_rules.sane_pairs,
    house_rules.pinned_dishes,
)

_PREFIXES: Mapping[str, Kind] = {
    "at most in seven days: ": "at most",
    "at least in seven days: ": "at least",
    "not two days running: ": "not running",
    "not twice in a meal: ": "not twice",
    "not twice in a day: ": "not twice a day",
    "pinned: ": "pinned",
    "the feast's own dish: ": "feast",
}


@dataclass(frozen=True, slots=True, order=True)
class Rule:
    """One rule that can give way.

    what: its tag, dish or product. day: counted from the first, -1 where it is about no one day.
    """

    kind: Kind
    what: str = ""
    day: int = -1


@dataclass(slots=True)
class Switched:
    """The model with its switches.

    switch: column by rule. amount: (column, units) by rule, for those that give way by an amount.
    places: (table, role) that something could fill, with every rule relaxed; empty: the others.
    """

    problem: MenuProblem
    model: MenuModel
    linear: LinearModel
    switch: dict[Rule, int] = field(default_factory=dict)
    amount: dict[Rule, list[int]] = field(default_factory=dict)
    empty: tuple[tuple[int, str], ...] = ()


def plentiful(household: Household, request: MenuRequest) -> Household:
    """The household with more of everything than its dishes could take: switches limit stock instead."""
    most = max((t.portions for t in tables(household, request.first, request.days)), default=Fraction(1))
    need: dict[str, Fraction] = {}
    for dish in household.dishes.values():
        times = batches(dish, most, household.rules.stretch)
        for use in [*dish.uses, *(u for i in dish.instead for u in i.uses)]:
            for option in use.options:
                need[option.product] = max(need.get(option.product, Fraction(0)), option.amount * times)
    lots = [
        Lot(
            name,
            household.products[name].sizes[0].name,
            Fraction(_ample(household, name, amount, request.days)),
        )
        for name, amount in need.items()
        if household.products[name].on_menus
    ]
    return replace(household, lots=(*household.lots, *lots))


def _ample(household: Household, name: str, most: Fraction, days: int) -> int:
    """Containers that cover the reserve, standing use and a cooking of the greediest dish each day."""
    product = household.products[name]
    content = product.sizes[0].content
    standing = sum((max(s.weekly) for s in household.standing if s.product == name), Fraction(0))
    return ceil((product.reserve + standing * (days + 7) / 7 + most * days) / content) + 1


def switched(household: Household, asked: MenuProblem, fill: bool = True) -> Switched:
    """The model whose rules can give way, for a question as it was asked.

    fill: every place that can be filled must be.
    """
    request = asked.request
    wide = replace(plentiful(household, request), rules=replace(household.rules, fixed={}, longest_minutes={}))
    problem = menu_problem(wide, replace(request, banned=frozenset(), keep=()))
    shelf = on_shelf(household)
    truth = {index: held(household, request, stock, shelf[stock.name]) for index, stock in enumerate(problem.stocks)}
    problem = only_active_limits(problem, truth)
    struck: dict[Rule, list[int]] = {}
    promises: list[Promise] = [*HARD, *(_reviving(promise, struck) for promise in LOOSE)]
    model = build(problem, {}, promises)
    out = Switched(problem, model, LinearModel())
    _copy_columns(out, fill)
    _copy_rows(out, _least_as_asked(household, asked))
    for rule, cols in sorted(struck.items()):
        _forbidden(out, rule, cols)
    _nights(out, household)
    _long_dishes(out, household)
    for index, stock in enumerate(problem.stocks):
        _stock(out, household.products[stock.name], index, stock, truth[index])
    for name in sorted(request.banned):
        _forbidden(out, Rule("left out", name), [
            model.cook[i] for i, c in enumerate(problem.candidates) if c.dish.name == name
        ])  # fmt: skip
    return out


def _reviving(promise: Promise, struck: dict[Rule, list[int]]) -> Promise:
    """The promise, but dishes struck out because of what was lately eaten come back with a switch."""

    def wrapped(model: MenuModel) -> None:
        before = list(model.linear.hi)
        promise(model)
        of = {col: i for i, col in enumerate(model.cook)}
        for col, hi in enumerate(before):
            if hi and not model.linear.hi[col]:
                model.linear.hi[col] = hi
                struck.setdefault(_striker(model, of[col], promise), []).append(col)

    return wrapped


def _striker(model: MenuModel, index: int, promise: Promise) -> Rule:
    candidate = model.problem.candidates[index]
    if promise is house_rules.not_two_days_running:
        tags = model.problem.household.rules.not_running & candidate.dish.tags
        late = {t for d, _, eaten in model.problem.recent if d == -1 for t in eaten}
        return Rule("not running", min(tags & late, default=""))
    return Rule("repeats", candidate.dish.name)


def _copy_columns(out: Switched, fill: bool) -> None:
    """Columns of the menu, priced nothing; places that something could fill are not left open."""
    model = out.model
    out.linear.lo, out.linear.hi = list(model.linear.lo), list(model.linear.hi)
    out.linear.cost = [0] * model.linear.width
    out.linear.implied = list(model.linear.implied)
    fillable = {
        (c.table, role)
        for i, c in enumerate(model.problem.candidates)
        for role in (c.role, *c.dish.covers)
        if model.linear.hi[model.cook[i]]
    }
    if fill:
        for place, col in model.open.items():
            if place in fillable:
                out.linear.hi[col] = 0
    out.empty = tuple(place for place in model.open if place not in fillable)


def _switch(out: Switched, rule: Rule) -> int:
    """The column of a rule's switch."""
    if rule not in out.switch:
        out.switch[rule] = out.linear.column(cost=SWITCH)
    return out.switch[rule]


def _rule_of(out: Switched, name: str, cols: list[int]) -> Rule | None:
    """Which rule a row keeps; None for what no household can change."""
    for prefix, kind in _PREFIXES.items():
        if name.startswith(prefix):
            day = -1
            if kind in ("pinned", "feast") and cols:
                day = out.model.day_of[cols[0]]
            return Rule(kind, name.removeprefix(prefix), day)
    if name == "minutes of the day":
        return Rule("minutes", "", out.model.day_of[cols[0]])
    if name == "pairs that go together":
        return Rule("together", "", out.model.day_of[cols[0]])
    if name == "days between repeats":
        index = out.model.cook.index(cols[0])
        return Rule("repeats", out.problem.candidates[index].dish.name)
    return None


def _copy_rows(out: Switched, least: Mapping[tuple[str, int], int]) -> None:
    linear = out.model.linear
    for r, name in enumerate(linear.rules):
        cols = list(linear.cols[linear.starts[r] : linear.starts[r + 1]])
        terms = list(zip(cols, linear.coefs[linear.starts[r] : linear.starts[r + 1]], strict=True))
        lo, hi = linear.row_lo[r], linear.row_hi[r]
        rule = _rule_of(out, name, cols)
        if rule is None:
            out.linear.constrain(name, terms, lo, hi)
        elif lo > -ANY:
            if rule.kind == "at least":
                week = out.model.day_of[cols[0]] // house_rules.WEEK if cols else 0
                lo = min(lo, least.get((rule.what, week), 0))
            out.linear.constrain(name, [*terms, (_by(out, rule, max(lo, 0)), 1)], lo=lo)
        else:
            most = sum(max(0, k) * linear.hi[c] for c, k in terms)
            if most > hi:
                out.linear.constrain(name, [*terms, (_by(out, rule, most - hi), -1)], hi=hi)


def _by(out: Switched, rule: Rule, most: int) -> int:
    """A column for how far a rule gives way in one row: nothing while its switch is off."""
    if rule.kind not in UNIT_PRICE and most == 1:
        return _switch(out, rule)
    by = out.linear.column(hi=most, cost=UNIT_PRICE.get(rule.kind, 0))
    out.amount.setdefault(rule, []).append(by)
    out.linear.constrain("switch", [(by, 1), (_switch(out, rule), -most)], hi=0)
    return by


def _forbidden(out: Switched, rule: Rule, cols: Iterable[int]) -> None:
    """None of these columns while the rule is kept: one row for each, which is sharper than their sum."""
    for col in cols:
        out.linear.constrain("switch", [(col, 1), (_switch(out, rule), -1)], hi=0)


def _least_as_asked(household: Household, asked: MenuProblem) -> dict[tuple[str, int], int]:
    """For each (tag, week): on how many days a main with it can stand as things are."""
    days: dict[tuple[str, int], set[int]] = {}
    for c in asked.candidates:
        if c.role == "main":
            for tag in c.dish.tags & household.rules.at_least.keys():
                days.setdefault((tag, c.day // house_rules.WEEK), set()).add(c.day)
    return {key: len(found) for key, found in days.items()}


def night_tag(household: Household, request: MenuRequest, problem: MenuProblem, table: int) -> str | None:
    """The tag that the house asks of this supper's main; None where a feast or a pin goes before it."""
    laid = problem.tables[table]
    tag = household.rules.fixed.get(weekday(laid.day))
    pinned = any(
        pin.day == laid.day
        and pin.meal in (None, laid.meal)
        and pin.dish in household.dishes
        and household.dishes[pin.dish].role == "main"
        for pin in request.pinned
    )
    if laid.meal != "supper" or "main" not in laid.roles or pinned or any(o.dish for o in laid.occasions):
        return None
    return tag


def _nights(out: Switched, household: Household) -> None:
    """Fixed nights as rows, so that they can give way."""
    for index in range(len(out.problem.tables)):
        tag = night_tag(household, out.problem.request, out.problem, index)
        if tag is not None:
            others = [
                (out.model.cook[i], 1)
                for i, c in enumerate(out.problem.candidates)
                if c.table == index and c.role == "main" and tag not in c.dish.tags
            ]
            switch = _switch(out, Rule("fixed night", tag, out.problem.table_day[index]))
            if others:
                out.linear.constrain("fixed night", [*others, (switch, -1)], hi=0)


def _long_dishes(out: Switched, household: Household) -> None:
    """No dish longer than the weekday allows."""
    for i, c in enumerate(out.problem.candidates):
        table = out.problem.tables[c.table]
        longest = household.rules.longest_minutes.get(weekday(table.day))
        if longest is not None and c.dish.minutes > longest and not table.kinds:
            _forbidden(out, Rule("longest", "", c.day), [out.model.cook[i]])


def held(household: Household, request: MenuRequest, stock: IntegerStock, shelf: Fraction) -> TrueSupply:
    """The true supply and standing use of a product, in the grains of ``integer_stock``.

    shelf: what of it lies on the shelf above the reserve (base measure).
    """
    product = household.products[stock.name]
    scale = Fraction(stock.container) / stock.exact_container
    supply = supply_by_day(household, product, shelf, request.first, request.days)
    standing = standing_by_day(household, product, request.first, request.days, supply)
    return TrueSupply(tuple(floor(s * scale) for s in supply), tuple(ceil(s * scale) for s in standing))


def taken_of(out: Switched, index: int, stock: IntegerStock) -> list[tuple[int, int, int]]:
    """(day, column, grains) of what leaves the shelf: openings of whole containers, or draws."""
    opened = [
        (day, col, stock.sizes[size][1]) for (product, size, day), col in out.model.opened.items() if product == index
    ]
    return opened if opened else [(d, c, g) for d, c, g in out.model.draws[index]]


def _stock(out: Switched, product: Product, index: int, stock: IntegerStock, truth: TrueSupply) -> None:
    """Never more than is really there, unless the switch is on: then whole containers are bought."""
    taken = taken_of(out, index, stock)
    days = out.problem.days
    ends = sorted({days - 1, *(d - 1 for d in range(1, days) if truth.supply[d] != truth.supply[d - 1])})
    rule = Rule("stock", stock.name)
    bought: int | None = None
    for last in ends:
        terms = [(c, g) for d, c, g in taken if d <= last]
        room = truth.supply[last] - truth.standing[last]
        most = sum(g * out.linear.hi[c] for c, g in terms)
        if most <= room:
            continue
        if bought is None:
            bought = _bought(out, rule, product, -(-most // stock.container))
        unmet = stock.standing[last] - truth.standing[last]
        terms += [(bought, -stock.container), (_switch(out, rule), max(0, unmet))]
        out.linear.constrain("switch", terms, hi=max(0, room))
    if bought is not None:
        _dishes_too_great(out, rule, index, stock, truth)
        if len(stock.sizes) > 1:
            _first_size(out, index, stock, truth, bought)


def _bought(out: Switched, rule: Rule, product: Product, most: int) -> int:
    switch = _switch(out, rule)
    if product.price_usd is None:
        out.linear.cost[switch] = SWITCH + UNPRICED
    bought = out.linear.column(hi=most + 1, cost=CONTAINER_PRICE)
    out.amount[rule] = [bought]
    out.linear.constrain("switch", [(bought, 1), (switch, -(most + 1))], hi=0)
    return bought


def _dishes_too_great(out: Switched, rule: Rule, index: int, stock: IntegerStock, truth: TrueSupply) -> None:
    """A dish that takes more than there ever is needs the switch by itself: a nearer bound."""
    for day, col, grains in out.model.draws[index]:
        parts = sum(p.grains for p in stock.parts if p.ready <= day <= p.last)
        if grains > truth.supply[day] - truth.standing[day] + parts:
            _forbidden(out, rule, [col])


def _first_size(out: Switched, index: int, stock: IntegerStock, truth: TrueSupply, bought: int) -> None:
    """Of the first size, no more openings than lots of it, arrivals and purchases."""
    cols = [(c, 1) for (p, n, _), c in out.model.opened.items() if p == index and n == 0]
    others = sum(grains * number for _, grains, number in stock.sizes[1:])
    room = (truth.supply[-1] - others - truth.standing[-1]) // stock.container
    if cols:
        out.linear.constrain("switch", [*cols, (bought, -1)], hi=max(0, room))


def rules_on(out: Switched, x: np.ndarray) -> dict[Rule, int]:
    """The rules that give way in a decision, each with the most it gives way by (0: it has no amount)."""
    return {
        rule: max((round(x[col]) for col in out.amount.get(rule, ())), default=0)
        for rule, switch in out.switch.items()
        if x[switch] > 0.5
    }
