"""Totals first: how often each dish, on each kind of day, and how much of each product.

Days that are alike (same candidates, same minutes, same stretch of four weeks) are not told apart:
a column counts how often a dish stands on days of one kind. Every rule is kept in the form that
any real menu keeps (a dish that needs six days between stands at most ceil(D / 6) times), so the
cost of the best totals is a bound for every menu, and its draws are what an even hand steers by.
"""

from __future__ import annotations

import threading
from collections import Counter, defaultdict
from collections.abc import Mapping

from msgspec import Struct, field

from pantrymeals.larder.lately import left_lately
from pantrymeals.larder.table import Table, days_between, fixed_night, hands_on_limit, portions_left
from pantrymeals.menu.request import DAYS_IN_ONE_PIECE
from pantrymeals.menu.week.model import (
    FEAST_MISSED_POINTS,
    LARGEST_OFF_POINTS,
    MILLION,
    MISSED_POINTS,
    OPEN_ROLE_POINTS,
    POINT,
    SHELF,
    Band,
    Rule,
)
from pantrymeals.menu.week.problem import RANK_POINTS, Candidate, MenuProblem, candidates_by_table
from pantrymeals.menu.week.rules.day import unhappy_together
from pantrymeals.menu.week.rules.variety import WEEK
from pantrymeals.records import Role
from pantrymeals.solving.linear_model import ANY, LinearModel, arrays
from pantrymeals.solving.solvers import linear_relaxation

STRETCH_DAYS = 28
"""Days in a stretch; a multiple of seven, so that weeks lie whole within it."""

GONE = "gone by then"
"""Said of the constraints that carry what of a product is gone from one stretch to the next."""

FEW_STRETCHES = 4
"""About how many stretches the totals have when they are wanted soon."""


class Kind(Struct):
    """Tables that are alike: in which stretch, how many with each role, and at how many each candidate could stand.

    limit: hands-on minutes of their days (0: of any limit), None where there is none or it is not kept in totals.
    nights: how many are fixed nights of each tag, that may be missed at a price.
    numbers: of each candidate, those of the problem's that it stands for.
    """

    stretch: int
    limit: int | None
    places: Counter[Role] = field(default_factory=Counter)
    nights: Counter[str] = field(default_factory=Counter)
    candidates: list[Candidate] = field(default_factory=list)
    numbers: list[list[int]] = field(default_factory=list)


class Totals(Struct):
    """The model of totals.

    draws: by product, (stretch, column, grains). counts: (kind, candidate, column). stands_for: by such a column,
    the problem's candidates that it counts, and for each choice the columns of its options. shelf: (row, product,
    stretch) of the rows that hold a product to what is there by the end of a stretch. open: columns of open roles.
    """

    problem: MenuProblem
    stretch_days: int
    kinds: list[Kind]
    pooled: bool = False
    linear: LinearModel = field(default_factory=LinearModel)
    draws: list[list[tuple[int, int, int]]] = field(default_factory=list)
    counts: list[tuple[int, Candidate, int]] = field(default_factory=list)
    stands_for: dict[int, tuple[list[int], list[list[int]]]] = field(default_factory=dict)
    shelf: list[tuple[int, int, int]] = field(default_factory=list)
    open: list[int] = field(default_factory=list)
    tag_days: frozenset[tuple[int, str]] = frozenset()


def kinds_of(problem: MenuProblem, stretch_days: int, pooled: bool = False) -> list[Kind]:
    """The tables of a problem sorted into kinds.

    Tables of one meal, stretch, roles and size are alike, those with a main when their minutes and fixed
    night are so too; each dish is counted at no more tables than it could stand at.
    pooled: tables of one meal, stretch and size are alike, whatever their roles, minutes and nights: fewer columns.
    """
    by_table = candidates_by_table(problem)
    rules = problem.household.rules
    nights = dict(problem.nights)
    found: dict[tuple[object, ...], tuple[Kind, dict[tuple[object, ...], int]]] = {}
    for index, table in enumerate(problem.tables):
        stretch = problem.table_day[index] // stretch_days
        members = by_table.get(index, [])
        limit = None if table.kinds or "main" not in table.roles else hands_on_limit(rules, table.day)
        if pooled:
            limit = limit and 0
            key: tuple[object, ...] = (stretch, table.meal, table.portions, limit)
        else:
            parted = (limit, _night(problem, table, [c for _, c in members])) if "main" in table.roles else ()
            key = (stretch, table.meal, table.roles, table.portions, parted, nights.get(index))
        kind, at = found.setdefault(key, (Kind(stretch, limit), {}))
        kind.places.update(table.roles)
        kind.nights.update([nights[index]] if index in nights else [])
        for number, c in members:
            fills = tuple(role in table.roles for role in c.dish.covers)
            look = (c.dish.name, c.batches, id(c.fixed), id(c.choices), c.points, fills)
            if look not in at:
                at[look] = len(kind.candidates)
                kind.candidates.append(c)
                kind.numbers.append([])
            kind.numbers[at[look]].append(number)
    return [kind for kind, _ in found.values()]


def _night(problem: MenuProblem, table: Table, members: list[Candidate]) -> str | None:
    """The tag that every main of a table carries because of its fixed night, if there is one."""
    tag = fixed_night(problem.household, table.meal, table.day)
    return tag if tag and all(tag in c.dish.tags for c in members if c.role == "main") else None


def build_totals(
    problem: MenuProblem, bands: Mapping[int, Band], stretch_days: int = STRETCH_DAYS, pooled: bool = False
) -> Totals:
    """The model of totals: what every menu keeps, counted over stretches of days."""
    totals = Totals(problem, stretch_days, kinds_of(problem, stretch_days, pooled), pooled)
    totals.draws = [[] for _ in problem.stocks]
    totals.tag_days = frozenset(
        (c.day, tag)
        for c in problem.candidates
        if c.role == "main"
        for tag in problem.household.rules.at_least
        if tag in c.dish.tags
    )
    _count_columns(totals)
    _dish_limits(totals)
    _tag_limits(totals)
    _minutes(totals)
    _leavings(totals)
    _feasts(totals)
    _stock(totals)
    _stay_in_bands(totals, bands)
    return totals


def _count_columns(totals: Totals) -> None:
    linear = totals.linear
    for number, kind in enumerate(totals.kinds):
        left_open = {r: linear.column(0, many, OPEN_ROLE_POINTS[r] * POINT) for r, many in kind.places.items()}
        totals.open.extend(left_open.values())
        filled = {role: [(col, 1)] for role, col in left_open.items()}
        cols: list[tuple[Candidate, int]] = []
        for c, numbers in zip(kind.candidates, kind.numbers, strict=True):
            times = len(numbers)
            col = linear.column(0, times, int(c.points * POINT))
            stands_for = totals.stands_for[col] = (numbers, [])
            totals.counts.append((number, c, col))
            cols.append((c, col))
            for role in totals.problem.tables[c.table].roles:
                if c.role == role or role in c.dish.covers:
                    filled[role].append((col, 1))
            for draw in c.fixed:
                totals.draws[draw.product].append((kind.stretch, col, draw.grains))
            for choice in c.choices:
                ys = [linear.column(0, times, RANK_POINTS * d.rank * POINT) for d in choice]
                stands_for[1].append(ys)
                for draw, y in zip(choice, ys, strict=True):
                    totals.draws[draw.product].append((kind.stretch, y, draw.grains))
                linear.constrain("one product for each use", [*((y, 1) for y in ys), (col, -1)], 0, 0)
        for role, many in kind.places.items():
            linear.constrain(Rule("role", role), filled[role], many, many)
        for tag, many in kind.nights.items():
            missed = linear.column(0, many, MISSED_POINTS * POINT)
            kept = [(col, 1) for c, col in cols if c.role == "main" and tag in c.dish.tags]
            linear.constrain(Rule("fixed night", tag), [*kept, (missed, 1), filled["main"][0]], lo=many)
        _pairs(totals, kind, cols)


def _pairs(totals: Totals, kind: Kind, cols: list[tuple[Candidate, int]]) -> None:
    count = max(kind.places.values())
    for tag in sorted(totals.problem.household.rules.not_twice):
        tagged = [(c, col) for c, col in cols if tag in c.dish.tags]
        if len({c.role for c, _ in tagged}) > 1:
            totals.linear.constrain(Rule("not twice", tag), [(col, 1) for _, col in tagged], hi=count)
    for a, col in cols:
        if a.dish.not_with:
            for role in kind.places:
                others = [o for b, o in cols if b.role == role != a.role and unhappy_together(a, b)]
                if others:
                    totals.linear.constrain(Rule("together"), [(col, 1), *((o, 1) for o in others)], hi=count)


def _length(totals: Totals, stretch: int) -> int:
    return min(totals.stretch_days, totals.problem.days - stretch * totals.stretch_days)


def _dish_limits(totals: Totals) -> None:
    problem = totals.problem
    by_dish: dict[str, list[tuple[int, int]]] = defaultdict(list)
    gap: dict[str, int] = {}
    for number, c, col in totals.counts:
        by_dish[c.dish.name].append((totals.kinds[number].stretch, col))
        gap[c.dish.name] = days_between(problem.household, c.dish)
    for name, members in by_dish.items():
        apart = max(1, gap[name])
        most = -(-problem.days // apart)
        if len(members) and apart > 1:
            totals.linear.constrain(Rule("repeats", name), [(col, 1) for _, col in members], hi=most)
            for stretch in {s for s, _ in members}:
                cols = [(col, 1) for s, col in members if s == stretch]
                totals.linear.constrain(Rule("repeats", name), cols, hi=-(-_length(totals, stretch) // apart))


def _tag_limits(totals: Totals) -> None:
    rules = totals.problem.household.rules
    own = {occasion.dish for occasion in totals.problem.household.occasions}
    stretches = sorted({k.stretch for k in totals.kinds})
    for stretch in stretches:
        days = _length(totals, stretch)
        members = [(c, col) for n, c, col in totals.counts if totals.kinds[n].stretch == stretch]
        for tag, most in rules.at_most.items():
            cols = [(col, 1) for c, col in members if tag in c.dish.tags and c.dish.name not in own]
            totals.linear.constrain(Rule("at most", tag), cols, hi=most * -(-days // WEEK))
        for tag, least in rules.at_least.items():
            _at_least(totals, stretch, days, tag, least, members)
        for tag in sorted(rules.not_running):
            mains = [(c, col) for c, col in members if c.role == "main" and c.dish.name not in own]
            cols = [(col, 1) for c, col in mains if tag in c.dish.tags]
            totals.linear.constrain(Rule("not running", tag), cols, hi=-(-days // 2))


def _at_least(
    totals: Totals, stretch: int, days: int, tag: str, least: int, members: list[tuple[Candidate, int]]
) -> None:
    """Mains of a tag in the whole weeks of one stretch, each missed at its price, as ``may_miss`` has it."""
    first = stretch * totals.stretch_days
    can = {day for day in range(first, first + days) if (day, tag) in totals.tag_days}
    asked = sum(
        min(least, sum(day in can for day in range(start, start + WEEK)))
        for start in range(first, first + days - WEEK + 1, WEEK)
    )
    cols = [(col, 1) for c, col in members if tag in c.dish.tags and c.role == "main"]
    if asked and totals.problem.days > DAYS_IN_ONE_PIECE:
        missed = totals.linear.column(0, asked, MISSED_POINTS * POINT, True)
        totals.linear.constrain(Rule("at least", tag), [*cols, (missed, 1)], lo=asked)


def _minutes(totals: Totals) -> None:
    """Hands-on minutes of the meals with a main, over all days of one limit in one stretch."""
    problem = totals.problem
    days: dict[tuple[int, int], dict[int, int]] = defaultdict(dict)
    for index, table in enumerate(problem.tables):
        limit = hands_on_limit(problem.household.rules, table.day)
        if limit is not None and not table.kinds and "main" in table.roles:
            group = 0 if totals.pooled else limit
            days[problem.table_day[index] // totals.stretch_days, group][problem.table_day[index]] = limit
    for (stretch, group), which in days.items():
        cols = [
            (col, c.dish.hands_on_minutes)
            for n, c, col in totals.counts
            if totals.kinds[n].stretch == stretch and totals.kinds[n].limit == group
        ]
        totals.linear.constrain(Rule("minutes"), cols, hi=sum(which.values()))


def _leavings(totals: Totals) -> None:
    """What is made from a leaving: no oftener in a stretch than it is left there, or late in the one before."""
    problem = totals.problem
    stretch_of = [problem.table_day[i] // totals.stretch_days for i in range(len(problem.tables))]
    largest = 1 + problem.household.rules.stretch
    for name in sorted({c.dish.needs_left for _, c, _ in totals.counts if c.dish.needs_left}):
        feeds = min(problem.tables[c.table].portions for c in problem.candidates if c.dish.needs_left == name)
        carried: tuple[int, int] | None = None
        before = len(left_lately(problem.household, problem.eaten_before, name))
        for stretch in range(stretch_of[-1] + 1):
            here = [(c, col) for n, c, col in totals.counts if totals.kinds[n].stretch == stretch]
            users = [(col, 1) for c, col in here if c.dish.needs_left == name]
            makers = [
                (c.dish.leaves.days, col)
                for c, col in here
                if c.dish.leaves
                and c.dish.leaves.name == name
                and portions_left(c.dish, c.batches, problem.tables[c.table].portions) * largest >= feeds
            ]
            left = [(col, -1) for _, col in makers]
            totals.linear.constrain(Rule("leaving", name), users + left + ([carried] if carried else []), hi=before)
            before = 0
            late = (stretch + 1) * totals.stretch_days - max((days for days, _ in makers), default=0)
            places = {
                (problem.candidates[n].table, problem.candidates[n].role)
                for _, col in makers
                for n in totals.stands_for[col][0]
                if problem.candidates[n].day >= late
            }
            carry = totals.linear.column(0, len(places), 0, True)
            totals.linear.constrain(Rule("leaving", name), [(carry, 1), *left], hi=0)
            carried = (carry, -1)


def _feasts(totals: Totals) -> None:
    """A feast's own dish, missed at its price, as ``pinned_dishes`` has it."""
    problem = totals.problem
    if problem.days <= DAYS_IN_ONE_PIECE:
        return
    for index, table in enumerate(problem.tables):
        for name in {o.dish for o in table.occasions if o.dish and table.meal in o.meals}:
            cols = [
                (col, 1)
                for _, c, col in totals.counts
                if c.dish.name == name and any(problem.candidates[n].table == index for n in totals.stands_for[col][0])
            ]
            if cols:
                missed = totals.linear.column(0, 1, FEAST_MISSED_POINTS * POINT)
                totals.linear.constrain(Rule("feast", name), [*cols, (missed, 1)], lo=1)


def _stock(totals: Totals) -> None:
    problem = totals.problem
    last_stretch = (problem.days - 1) // totals.stretch_days
    for index, stock in enumerate(problem.stocks):
        by_stretch: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for stretch, col, grains in totals.draws[index]:
            by_stretch[stretch].append((col, grains))
        parts = sum(p.grains for p in stock.parts)
        cols: list[tuple[int, int]] = []
        most = 0
        for stretch in range(last_stretch + 1):
            end = min(problem.days, (stretch + 1) * totals.stretch_days) - 1
            cols += by_stretch[stretch]
            most += sum(g * totals.linear.hi[col] for col, g in by_stretch[stretch])
            came_later = any(d > end for d, _ in stock.arrivals)
            if stretch < last_stretch and not came_later:
                continue
            room = max(0, stock.room(end)) + parts
            if most > room:
                most = room
                totals.shelf.append((totals.linear.height, index, stretch))
                totals.linear.constrain(SHELF, cols, hi=room)
            if stretch < last_stretch:
                gone = totals.linear.column(0, ANY, 0, True)
                totals.linear.constrain(GONE, [(gone, -1), *cols], 0, 0)
                cols = [(gone, 1)]


def _stay_in_bands(totals: Totals, bands: Mapping[int, Band]) -> None:
    linear = totals.linear
    largest = linear.column(0, ANY, LARGEST_OFF_POINTS * POINT / MILLION)
    for index, band in bands.items():
        use = [(col, g * band.units) for _, col, g in totals.draws[index]]
        off = linear.column(0, ANY, band.cost, True)
        linear.constrain("evenness", [(off, 1), *use], lo=band.low)
        linear.constrain("evenness", [(off, 1), *((c, -g) for c, g in use)], lo=-band.high)
        parts, many = band.millionths
        linear.constrain("evenness", [(largest, many), (off, -parts)], lo=1 - many)


def long_stretch(problem: MenuProblem) -> int:
    """Days in a stretch when totals are wanted soon: longer ones where the horizon is long."""
    return STRETCH_DAYS * max(1, round(problem.days / (STRETCH_DAYS * FEW_STRETCHES)))


def bound_of_totals(
    problem: MenuProblem,
    bands: Mapping[int, Band],
    stretch_days: int,
    pooled: bool = False,
    stop: threading.Event | None = None,
) -> float:
    """A bound for every menu, in the model's units: the cost of the best totals when parts of dishes may be cooked.

    Nothing where it was stopped: no menu costs less.
    """
    if stop is not None and stop.is_set():
        return 0.0
    return max(0.0, linear_relaxation(arrays(build_totals(problem, bands, stretch_days, pooled).linear), stop).cost)
