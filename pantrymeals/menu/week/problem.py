"""The menu question, frozen: days, dishes that could stand there, and goods in whole numbers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.larder.lately import Lately
from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.larder.opened_life import parts_not_past
from pantrymeals.larder.table import Table, earliest_day, own_of, refusals, tables
from pantrymeals.menu.request import DAYS_IN_ONE_PIECE, MenuRequest
from pantrymeals.menu.week.days_after import NightAfter, nights_after, not_saved
from pantrymeals.menu.week.integer_stock import IntegerStock, grains_of, integer_stocks
from pantrymeals.menu.week.possible import Possible, UseOptions, asked_night, possible_dishes, too_lately
from pantrymeals.records import Dish, Household, Occasion, Person, Role


class Draw(Struct, frozen=True):
    """So many grains of one product. rank: 0 for the option liked best; stand-ins add to it."""

    product: int
    grains: int
    exact: Fraction
    rank: int
    stand_in: bool


class Candidate(Struct, frozen=True):
    """A dish that could stand in one role of one table.

    fixed: draws without choice. choices: for each use with several options, its draws.
    points: liking, effort, refusals, and options less liked where there is no choice. instead: alternatives beside it.
    """

    table: int
    day: int
    role: Role
    dish: Dish
    batches: Fraction
    fixed: tuple[Draw, ...]
    choices: tuple[tuple[Draw, ...], ...]
    points: Fraction
    instead: tuple[str, ...]


class MenuProblem(Struct, frozen=True):
    """All that the menu solver sees.

    recent: (day counted from the first, so negative; dish name; tags).
    waived: (day, tag) fixed nights that no dish can keep.
    nights: (table, tag) of fixed nights for which other mains are candidates too: on long horizons, at a price.
    nights_after: fixed nights beyond the last day, which must be left a dish.
    possible: all that may stand anywhere by rules 3, 10 and 11, what was left out of this menu and what the shelf or
        a fixed night keeps away included: what the pace and the products to be even are asked of.
    """

    household: Household
    request: MenuRequest
    tables: tuple[Table, ...]
    table_day: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    stocks: tuple[IntegerStock, ...]
    recent: tuple[tuple[int, str, frozenset[str]], ...]
    waived: tuple[tuple[int, str], ...]
    nights: tuple[tuple[int, str], ...] = ()
    possible: tuple[Possible, ...] = ()
    nights_after: tuple[NightAfter, ...] = ()

    @property
    def days(self) -> int:
        """How many days."""
        return self.request.days

    @property
    def eaten_before(self) -> tuple[tuple[int, str], ...]:
        """(day counted from the first, dish) of what was eaten before."""
        return tuple((day, dish) for day, dish, _ in self.recent)


def menu_problem(household: Household, request: MenuRequest) -> MenuProblem:
    """The frozen question for a household and a request."""
    laid = tables(household, request.first, request.days)
    day_of = tuple((t.day - request.first).days for t in laid)
    shelf = on_shelf(household)
    end = request.first + timedelta(days=request.days)
    stocked = frozenset(
        {name for name, amount in shelf.items() if amount > 0}
        | {part.product for part, _ in parts_not_past(household, request.first)}
        | {a.product for a in household.arrivals if request.first <= a.day < end}
    )
    possible = possible_dishes(household, laid, day_of, stocked)
    stock_of = integer_stocks(household, request, _unlike(possible), shelf, end)
    candidates, waived, nights = _candidates(household, request, laid, possible, stock_of)
    recent = tuple(
        ((day - request.first).days, dish, household.dishes[dish].tags if dish in household.dishes else frozenset())
        for day, dish in household.recent
        if day < request.first
    )
    stocks = tuple(stock_of.values())
    return MenuProblem(
        household,
        request,
        laid,
        day_of,
        candidates,
        stocks,
        recent,
        waived,
        nights,
        tuple(possible),
        nights_after(household, request, stocked),
    )


def giving_way(problem: MenuProblem) -> MenuProblem:
    """The same question where fixed nights and weekly tags may be missed at a price; its pace is the same too."""
    request = replace(problem.request, promises_give_way=True)
    stock_of = {stock.name: stock for stock in problem.stocks}
    candidates, waived, nights = _candidates(problem.household, request, problem.tables, problem.possible, stock_of)
    return replace(problem, request=request, candidates=candidates, waived=waived, nights=nights)


def _candidates(
    household: Household,
    request: MenuRequest,
    laid: tuple[Table, ...],
    possible: Iterable[Possible],
    stock_of: Mapping[str, IntegerStock],
) -> tuple[tuple[Candidate, ...], tuple[tuple[int, str], ...], tuple[tuple[int, str], ...]]:
    """What may stand where when all is asked, and what becomes of the fixed nights (``waived``, ``nights``)."""
    raw = _ready_in_time([r for r in possible if r.dish.name not in request.banned], stock_of, request.days)
    raw = not_saved(household, request, raw)
    raw, waived, nights = _fixed_nights(household, request, laid, raw)
    names = {name: i for i, name in enumerate(stock_of)}
    return _scaled_all(household, request.first, laid, raw, stock_of, names), waived, nights


def _unlike(raw: Iterable[Possible]) -> list[Possible]:
    """One of those that share their uses: for what is asked of the uses alone."""
    return list({id(r.uses): r for r in raw}.values())


def _ready_in_time(raw: list[Possible], stocks: Mapping[str, IntegerStock], days: int) -> list[Possible]:
    """Dishes whose products can be there and thawed that day; others lose the option, or fall.

    Tables that are alike share their uses, and go on sharing what is left of them.
    """
    room = {name: _room_by_day(of, days) for name, of in stocks.items()}
    needs: dict[int, tuple[tuple[Sequence[int], int], ...]] = {}
    left: dict[tuple[int, tuple[bool, ...]], UseOptions] = {}
    shared: dict[tuple[int, ...], tuple[UseOptions, ...]] = {}
    out = []
    for r in raw:
        uses = []
        for use in r.uses:
            need = needs.get(id(use))
            if need is None:
                need = needs[id(use)] = tuple((room[o.product], grains_of(stocks[o.product], a)) for o, a in use)
            fits = tuple([held[r.day] >= grains for held, grains in need])
            kept = use
            if not all(fits):
                kept = left.setdefault((id(use), fits), tuple(u for u, fit in zip(use, fits, strict=True) if fit))
            uses.append(kept)
        if all(uses):
            same = all(kept is use for kept, use in zip(uses, r.uses, strict=True))
            if not same:
                r = replace(r, uses=shared.setdefault(tuple([id(kept) for kept in uses]), tuple(uses)))
            out.append(r)
    return out


def _room_by_day(stock: IntegerStock, days: int) -> list[int]:
    """By day, the most grains that shelf, arrivals and part jars could ever give on it."""
    if stock.fresh is not None:
        return [stock.good(day) for day in range(days)]
    arrived = dict.fromkeys(range(days), 0)
    for day, grains in stock.arrivals:
        arrived[day] = arrived.get(day, 0) + grains
    out = []
    supply = stock.shelf
    for day in range(days):
        supply += arrived[day]
        parts = sum(p.grains for p in stock.parts if p.ready <= day <= p.last)
        out.append((supply - stock.standing[day] if day >= stock.thaw else 0) + parts)
    return out


def _fixed_nights(
    household: Household, request: MenuRequest, laid: tuple[Table, ...], raw: list[Possible]
) -> tuple[list[Possible], tuple[tuple[int, str], ...], tuple[tuple[int, str], ...]]:
    """Leave only dishes with the weekday's tag in the supper's main, where there is one at all.

    One that was eaten too lately to come again that day is none. Where nights give way, and on a long horizon, the
    other mains stay: a fixed night may be missed at a price, as where its dishes, or what they take, do not suffice.
    """
    keeps: dict[int, str] = {}
    waived = []
    by_table: dict[int, list[Possible]] = defaultdict(list)
    for r in raw:
        if r.dish.role == "main":
            by_table[r.table].append(r)
    for index, table in enumerate(laid):
        tag = asked_night(household, request, table)
        if tag is None:
            continue
        mains = by_table.get(index, [])
        if any(tag in r.dish.tags and not too_lately(household, request, r.dish, table) for r in mains):
            keeps[index] = tag
        elif mains:
            waived.append((mains[0].day, tag))
    if request.days > DAYS_IN_ONE_PIECE or request.promises_give_way:
        return raw, tuple(waived), tuple(keeps.items())
    kept = [r for r in raw if r.dish.role != "main" or r.table not in keeps or keeps[r.table] in r.dish.tags]
    return kept, tuple(waived), ()


def nights_asked(problem: MenuProblem) -> dict[int, str]:
    """By table, the tag that the house asks of its main."""
    asked = {i: asked_night(problem.household, problem.request, table) for i, table in enumerate(problem.tables)}
    return {index: tag for index, tag in asked.items() if tag is not None}


def dishes_of_occasions(problem: MenuProblem) -> list[tuple[int, Occasion, frozenset[int]]]:
    """(day, occasion, tables at which its own dish could have its place) of the occasions that name a dish."""
    out = []
    dishes = problem.household.dishes
    for day in range(problem.days):
        tables = [(i, problem.tables[i]) for i, of in enumerate(problem.table_day) if of == day]
        for occasion in dict.fromkeys(o for _, table in tables for o in table.occasions if o.dish in dishes):
            role = dishes[occasion.dish].role
            its = frozenset(i for i, table in tables if table.meal in occasion.meals and role in table.roles)
            if its:
                out.append((day, occasion, its))
    return out


EFFORT_POINTS_A_MINUTE = Fraction(1, 10)
LIKING_POINTS = 8
REFUSAL_POINTS = 60
LATELY_POINTS = {"main": 90, "breakfast": 25, "lunch": 25}
OTHER_LATELY_POINTS = 8
SAME_AGAIN_POINTS = 20
RANK_POINTS = 3
EVERYDAY_POINTS = 600
LATE_STEP_POINTS = 600
STAND_IN_RANKS = 3


Draws = tuple[tuple[Draw, ...], tuple[tuple[Draw, ...], ...]]
"""Of a dish at a table: draws without choice, and for each use with several options its draws."""


def _scaled_all(
    household: Household,
    first: date,
    laid: tuple[Table, ...],
    raw: list[Possible],
    stocks: Mapping[str, IntegerStock],
    names: Mapping[str, int],
) -> tuple[Candidate, ...]:
    """Every possible dish as a candidate, its draws in grains; equal draws are one and the same."""
    memory = Lately(household, first)
    draws: dict[int, Draws] = {}
    equal: dict[tuple[tuple[tuple[int, int, int], ...], ...], Draws] = {}
    points: dict[tuple[str, int, bool], Fraction] = {}
    eaters: dict[tuple[str, ...], tuple[Person, ...]] = {}
    alike = [eaters.setdefault(tuple(p.name for p in table.eaters), table.eaters) for table in laid]
    out = []
    for r in raw:
        key = id(r.uses)
        if key not in draws:
            made = _draws(r, stocks, names)
            look = tuple(tuple((d.product, d.grains, d.rank) for d in choice) for choice in (made[0], *made[1]))
            draws[key] = equal.setdefault(look, made)
        fixed, choices = draws[key]
        at_table = (r.dish.name, id(alike[r.table]), _everyday(r.dish, laid[r.table]))
        if at_table not in points:
            points[at_table] = _points(r.dish, laid[r.table])
        in_all = points[at_table] + RANK_POINTS * sum(draw.rank for draw in fixed)
        lately = LATELY_POINTS.get(r.dish.role, OTHER_LATELY_POINTS)
        in_all += LATE_STEP_POINTS * begun_too_late(r.dish, laid[r.table].day, earliest_day(household, first))
        in_all += lately * memory.times(r.dish) + SAME_AGAIN_POINTS * memory.same_again(r.dish, laid[r.table].day)
        out.append(Candidate(r.table, r.day, r.dish.role, r.dish, r.batches, fixed, choices, in_all, r.instead))
    return tuple(out)


def _draws(r: Possible, stocks: Mapping[str, IntegerStock], names: Mapping[str, int]) -> Draws:
    """Draws without choice, and for each use with several options its draws; ranked as the dish is written."""
    written = [*r.dish.uses, *(use for note in r.dish.instead for use in note.uses)]
    rank_of = {id(option): rank for use in written for rank, option in enumerate(use.options)}
    fixed: list[Draw] = []
    choices: list[tuple[Draw, ...]] = []
    for use in r.uses:
        draws = tuple(
            Draw(
                names[o.product],
                grains_of(stocks[o.product], amount),
                amount,
                rank_of[id(o)] + (STAND_IN_RANKS if o.stand_in else 0),
                o.stand_in,
            )
            for o, amount in use
        )
        if len(draws) == 1:
            fixed.append(draws[0])
        else:
            choices.append(draws)
    return tuple(fixed), tuple(choices)


def _points(dish: Dish, table: Table) -> Fraction:
    """Points for liking, effort and those at the table who will not eat it."""
    return (
        EVERYDAY_POINTS * _everyday(dish, table)
        + LIKING_POINTS * (2 - dish.liking)
        + EFFORT_POINTS_A_MINUTE * dish.hands_on_minutes
        + REFUSAL_POINTS * len(refusals(dish, table.eaters))
    )


def begun_too_late(dish: Dish, day: date, today: date) -> bool:
    """Whether a step of it should have been done before today: beans for tonight were to be soaked last night."""
    return any(step.due(day) < today for step in dish.ahead)


def _everyday(dish: Dish, table: Table) -> bool:
    """Whether a main or a lunch at a meal of a feast or a crew is neither kept for such days nor its own dish."""
    own = own_of(table.occasions, dish.name)
    return bool(table.own_kinds) and dish.role in ("main", "lunch") and dish.only_for not in table.own_kinds and not own


def candidates_by_table(problem: MenuProblem) -> dict[int, list[tuple[int, Candidate]]]:
    """Candidates of each table, numbered."""
    out: dict[int, list[tuple[int, Candidate]]] = {}
    for i, c in enumerate(problem.candidates):
        out.setdefault(c.table, []).append((i, c))
    return out
