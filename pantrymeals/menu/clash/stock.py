"""The shelf as a rule that can give way: its switch buys whole containers of a product."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from math import ceil, floor

from msgspec.structs import replace

from pantrymeals.larder.on_hand import on_shelf, usable
from pantrymeals.larder.supply import standing_by_day, stands, supply_by_day
from pantrymeals.larder.table import batches, tables
from pantrymeals.menu.clash.active_limits import TrueSupply, only_active_limits
from pantrymeals.menu.clash.switches import SWITCH, Switched, with_switches
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.model import Rule
from pantrymeals.menu.week.possible import asked_night
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.records import Household, Lot, Product
from pantrymeals.units import as_words, unit_named
from pantrymeals.words import long_day

CONTAINER_PRICE = 100
UNPRICED = 50_000
"""What is in no store is bought only where nothing else will do."""

STOCK = "stock"
"""The kind of rule that a product's stock is."""


def plentiful(household: Household, request: MenuRequest) -> Household:
    """The household with more of everything than its dishes could take: switches limit stock instead."""
    most = max((t.portions for t in tables(household, request.first, request.days)), default=Fraction(1))
    need: dict[str, Fraction] = {}
    for dish in household.dishes.values():
        times = batches(household, dish, most)
        for use in [*dish.uses, *(u for i in dish.instead for u in i.uses)]:
            for option in use.options:
                need[option.product] = max(need.get(option.product, Fraction(0)), option.amount * times)
    lots = [
        Lot(name, household.products[name].sizes[0].name, Fraction(_ample(household, name, amount, request.days)))
        for name, amount in need.items()
        if household.products[name].on_menus
    ]
    return replace(household, lots=(*household.lots, *lots))


def _ample(household: Household, name: str, most: Fraction, days: int) -> int:
    """Containers that cover the reserve, standing use and a cooking of the greediest dish each day."""
    product = household.products[name]
    content = product.sizes[0].content
    standing = stands(household, name).most()
    return ceil((product.reserve + standing * (days + 7) / 7 + most * days) / content) + 1


def switched(household: Household, asked: MenuProblem, fill: bool = True) -> Switched:
    """The model whose rules and stock can give way, for a question as it was asked.

    fill: every place that can be filled must be.
    """
    request = replace(asked.request, keep=())
    during = tuple(replace(row, fixed={}, hands_on_minutes={}, longest_minutes={}) for row in household.rules.during)
    rules = replace(household.rules, fixed={}, longest_minutes={}, during=during)
    wide = menu_problem(replace(plentiful(household, request), rules=rules), replace(request, banned=frozenset()))
    shelf = on_shelf(household)
    truth = {index: held(household, request, stock, shelf[stock.name]) for index, stock in enumerate(wide.stocks)}
    asked_of = ((index, asked_night(household, request, table)) for index, table in enumerate(wide.tables))
    nights = tuple((index, tag) for index, tag in asked_of if tag is not None)
    problem = replace(only_active_limits(wide, truth), household=household, request=request, nights=nights)
    out = with_switches(problem, asked, fill)
    for index, stock in enumerate(problem.stocks):
        _stock_rows(out, household.products[stock.name], index, stock, truth[index])
    return out


def held(household: Household, request: MenuRequest, stock: IntegerStock, shelf: Fraction) -> TrueSupply:
    """The true supply and standing use of a product, in the grains of ``integer_stock``.

    shelf: what of it lies on the shelf above the reserve (base measure).
    """
    product = household.products[stock.name]
    scale = Fraction(stock.container) / stock.exact_container
    supply = supply_by_day(household, product, shelf, request.first, request.days)
    standing = standing_by_day(household, product, request.first, request.days, supply)
    there = tuple(floor(s * scale) for s in supply)
    room = tuple(floor((s - taken) * scale) for s, taken in zip(supply, standing, strict=True))
    return TrueSupply(there, tuple(s - left for s, left in zip(there, room, strict=True)))


def _stock_rows(out: Switched, product: Product, index: int, stock: IntegerStock, truth: TrueSupply) -> None:
    """Never more than is really there, unless the switch is on: then whole containers are bought."""
    taken = out.model.taken(index)
    days = out.problem.days
    ends = sorted({days - 1, *(d - 1 for d in range(1, days) if truth.supply[d] != truth.supply[d - 1])})
    rule = Rule(STOCK, stock.name)
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
        terms += [(bought, -stock.container), (out.on(rule), max(0, unmet))]
        out.linear.constrain("switch", terms, hi=max(0, room))
    if bought is not None:
        _dishes_too_great(out, rule, index, stock, truth)
        if len(stock.sizes) > 1:
            _first_size(out, index, stock, truth, bought)


def _bought(out: Switched, rule: Rule, product: Product, most: int) -> int:
    switch = out.on(rule)
    if product.price_usd is None:
        out.linear.cost[switch] = SWITCH + UNPRICED
    return out.by(rule, most + 1, CONTAINER_PRICE)


def _dishes_too_great(out: Switched, rule: Rule, index: int, stock: IntegerStock, truth: TrueSupply) -> None:
    """A dish that takes more than there ever is needs the switch by itself: a nearer bound."""
    for day, col, grains in out.model.draws[index]:
        parts = sum(p.grains for p in stock.parts if p.ready <= day <= p.last)
        if grains > truth.supply[day] - truth.standing[day] + parts:
            out.forbid(rule, [col])


def _first_size(out: Switched, index: int, stock: IntegerStock, truth: TrueSupply, bought: int) -> None:
    """Of the first size, no more openings than lots of it, arrivals and purchases."""
    cols = [(c, 1) for (p, n, _), c in out.model.opened.items() if p == index and n == 0]
    others = sum(grains * number for _, grains, number in stock.sizes[1:])
    room = (truth.supply[-1] - others - truth.standing[-1]) // stock.container
    if cols:
        out.linear.constrain("switch", [*cols, (bought, -1)], hi=max(0, room))


def so_many(product: Product, containers: Fraction) -> str:
    """'4 lb of Bread flour', '2 x 2-egg tub of Eggs, beaten': counted in its first size."""
    size = product.sizes[0].name
    count = as_words(containers)
    plain = unit_named(size) is not None and size != "each"
    if size == "each":
        return f"{count} {product.name}"
    times = "" if plain or containers == 1 else "x "
    return f"{count} {times}{size} of {product.name}"


def stock_said(household: Household, problem: MenuProblem, rule: Rule) -> str:
    """'There is only 4 lb of Bread flour on the shelf beside the 40 lb set back'."""
    product = household.products[rule.what]
    end = problem.request.first + timedelta(days=problem.days)
    content = product.sizes[0].content
    there = usable(household, problem.request.first)[product.name]
    coming = [a.day for a in household.arrivals if a.product == product.name and problem.request.first <= a.day < end]
    lots = (lot for lot in household.lots if lot.product == product.name and not lot.state)
    back = product.reserve and any(lot.count > 0 for lot in lots)
    kept = f" beside the {so_many(product, product.reserve / content)} set back" if back else ""
    more = f", and more on {long_day(min(coming))}" if coming else ""
    if there <= 0:
        return f"there is no {product.name} on the shelf{kept}{more}"
    return f"there is only {so_many(product, there / content)} on the shelf{kept}{more}"
