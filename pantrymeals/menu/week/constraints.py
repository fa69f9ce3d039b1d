"""The menu question as rows: which columns there are, and how dishes draw on goods."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from pantrymeals.menu.request import DAYS_IN_ONE_PIECE
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.problem import Candidate, MenuProblem
from pantrymeals.records import Role
from pantrymeals.solving.linear_model import ANY, LinearModel

POINT = 100
"""Costs are kept in hundredths of a point."""

OPEN_ROLE_POINTS: Mapping[Role, int] = {
    "main": 6000, "breakfast": 4000, "lunch": 4000, "side": 3500,
    "bread": 2500, "fruit": 2500, "sweet": 2500,
}  # fmt: skip
MISSED_POINTS = 3000
FEAST_MISSED_POINTS = 9000
OFF_POINTS = 1000
LARGEST_OFF_POINTS = 500
WASTE_POINTS = 60
LEFT_OPEN_POINTS = 15
GOING_OVER_POINTS = 400
RANK_POINTS = 3
PARTNER_POINTS = 8
LARGEST_GRAIN = 1000


@dataclass(frozen=True, slots=True)
class Band:
    """The grains between which a product's draw is even; worth: hundredths of a point a grain outside."""

    low: int
    high: int
    share_of_grain: int


@dataclass(slots=True)
class MenuRows:
    """A sheet with the meaning of its columns.

    cook: column by candidate. option: columns by (candidate, choice). open: by (table, role).
    opened: by (product, size, day). draws: by product, (day, column, grains).
    off: by product. parts: wish -> columns whose cost belongs to it.
    day_of, reach: by column, the day that it is about, and how many days back a decision can still change it.
    even: row -> (product, 1 where the row holds its draw up, -1 where it holds it down). sharper: rows of evenness that
    follow from these and whole dishes.
    """

    problem: MenuProblem
    sheet: LinearModel = field(default_factory=LinearModel)
    cook: list[int] = field(default_factory=list)
    option: dict[tuple[int, int], list[int]] = field(default_factory=dict)
    open: dict[tuple[int, Role], int] = field(default_factory=dict)
    opened: dict[tuple[int, int, int], int] = field(default_factory=dict)
    draws: list[list[tuple[int, int, int]]] = field(default_factory=list)
    off: dict[int, int] = field(default_factory=dict)
    parts: dict[str, list[int]] = field(default_factory=dict)
    largest: int = -1
    missed: dict[int, tuple[int, str]] = field(default_factory=dict)
    even: dict[int, tuple[int, int]] = field(default_factory=dict)
    sharper: list[int] = field(default_factory=list)
    day_of: list[int] = field(default_factory=list)
    reach: list[int] = field(default_factory=list)

    def column(
        self,
        day: int,
        wish: str = "",
        lo: int = 0,
        hi: int = 1,
        cost: int = 0,
        implied: bool = False,
        reach: int = 0,
    ) -> int:
        """A new column about a day (-1: about the whole horizon), its cost counted under a wish.

        reach: how many days back a decision can still change it (what is open, what is left).
        """
        col = self.sheet.column(lo, hi, cost, implied)
        self.day_of.append(day)
        self.reach.append(reach)
        if wish:
            self.parts.setdefault(wish, []).append(col)
        return col

    def may_miss(self, day: int, what: str, most: int, points: int = MISSED_POINTS) -> list[tuple[int, int]]:
        """On long horizons, a term by which a promise may be missed at a great price, never silently.

        Months ahead the shelf may hold nothing that could keep it; within a week that is a clash to be told.
        """
        if self.problem.days <= DAYS_IN_ONE_PIECE:
            return []
        col = self.column(day, "missed", hi=most, cost=points * POINT)
        self.missed[col] = (day, what)
        return [(col, 1)]


Promise = Callable[[MenuRows], None]


def build(problem: MenuProblem, bands: Mapping[int, Band], promises: Iterable[Promise]) -> MenuRows:
    """All columns and rows of a problem: dishes, goods, promises and wishes."""
    rows = MenuRows(problem)
    rows.draws = [[] for _ in problem.goods]
    _dishes(rows)
    for promise in promises:
        promise(rows)
    for index, goods in enumerate(problem.goods):
        if rows.draws[index] or goods.parts:
            shelf_covers(rows, index, goods)
    _evenness(rows, bands)
    return rows


def _dishes(rows: MenuRows) -> None:
    problem = rows.problem
    for index, table in enumerate(problem.tables):
        for role in table.roles:
            rows.open[index, role] = rows.column(
                problem.table_day[index], "open roles", cost=OPEN_ROLE_POINTS[role] * POINT
            )
    for index, candidate in enumerate(problem.candidates):
        col = rows.column(candidate.day, "liking and effort", cost=candidate.points * POINT)
        rows.cook.append(col)
        for draw in candidate.fixed:
            rows.draws[draw.product].append((candidate.day, col, draw.grains))
        for number, choice in enumerate(candidate.choices):
            columns = []
            for draw in choice:
                y = rows.column(candidate.day, "liking and effort", cost=RANK_POINTS * draw.rank * POINT)
                columns.append(y)
                rows.draws[draw.product].append((candidate.day, y, draw.grains))
            rows.option[index, number] = columns
            rows.sheet.row("one product for each use", [*((y, 1) for y in columns), (col, -1)], 0, 0)


def always_whole(rows: MenuRows, index: int, goods: IntegerStock) -> bool:
    """Whether every draw takes whole containers, so that no part jar can arise."""
    return (
        not goods.parts
        and len(goods.sizes) == 1
        and all(grains % goods.container == 0 for _, _, grains in rows.draws[index])
    )


def shelf_covers(rows: MenuRows, index: int, goods: IntegerStock) -> None:
    """Never more than the shelf holds, by whole containers where a product is opened whole."""
    draws = rows.draws[index]
    if not goods.whole or always_whole(rows, index, goods):
        _shelf_rows(rows, goods, [(d, col, g) for d, col, g in draws])
    elif goods.life is None:
        _opened_without_clock(rows, index, goods)
    else:
        _opened_with_clock(rows, index, goods, goods.life)
    if goods.last is not None and goods.last < rows.problem.days:
        _goes_over(rows, index, goods)


def _epochs(goods: IntegerStock, days: int, also: Iterable[int] = ()) -> list[tuple[int, int]]:
    """Runs of days between arrivals (and other days): (first, last) pairs that cover the horizon."""
    cuts = sorted({0, *(d for d in (*(d for d, _ in goods.arrivals), *also) if 0 < d < days)})
    return [(a, b - 1) for a, b in zip(cuts, [*cuts[1:], days], strict=True)]


def _shelf_rows(rows: MenuRows, goods: IntegerStock, taken: list[tuple[int, int, int]]) -> None:
    """What is taken (day, column, grains) never exceeds shelf and arrivals less standing use, on any day."""
    days = rows.problem.days
    epochs = _epochs(goods, days)
    arrived = dict(goods.arrivals)
    total = sum(g * rows.sheet.hi[col] for _, col, g in taken)
    if len(epochs) == 1:
        room = goods.supply(days - 1) - goods.standing[-1]
        if total > room:
            rows.sheet.row("never more than is on the shelf", [(c, g) for _, c, g in taken], hi=max(0, room))
        return
    before: int | None = None
    stood = 0
    held = goods.shelf
    for first, last in epochs:
        held_in = arrived.get(first, 0) if first else 0
        if first == 0:
            held_in = held + arrived.get(0, 0)
        use = goods.standing[last] - stood
        stood = goods.standing[last]
        terms = [(c, -g) for d, c, g in taken if first <= d <= last]
        if before is not None:
            terms.append((before, 1))
        after = rows.column(last, "", hi=goods.supply(days - 1), implied=True, reach=ANY)
        rows.sheet.row("never more than is on the shelf", [*terms, (after, -1)], use - held_in, use - held_in)
        before = after


def _open_columns(
    rows: MenuRows, index: int, goods: IntegerStock, first: int, last: int, use: int, about: int
) -> list[tuple[int, int, int]]:
    """Columns of containers opened in a run of days for at most ``use`` grains: (day, column, grains).

    about: the day that they are about, -1 where any day's cooking may call for one more.
    """
    out = []
    for number, (_, grains, count) in enumerate(goods.sizes):
        most = count if number else max(0, (goods.supply(last) - goods.standing[last])) // grains
        most = min(most, -(-use // grains))
        if most > 0 and last >= goods.thaw:
            col = rows.column(about, "", hi=most)
            rows.opened[index, number, first] = col
            out.append((first, col, grains))
    return out


def _size_limits(rows: MenuRows, index: int, goods: IntegerStock) -> None:
    """No more of a lesser size than are on the shelf; the first size is held by the sum."""
    for number, (_, _, count) in enumerate(goods.sizes):
        cols = [(c, 1) for (p, n, _), c in rows.opened.items() if p == index and n == number]
        if len(goods.sizes) > 1 and cols:
            extra = sum(g for _, g in goods.arrivals) // goods.container if number == 0 else 0
            stood = goods.standing[-1] // goods.container if number == 0 else 0
            rows.sheet.row("never more than is on the shelf", cols, hi=max(0, count + extra - stood))


def _opened_without_clock(rows: MenuRows, index: int, goods: IntegerStock) -> None:
    """Opened containers that keep to the end of the horizon: only sums between arrivals matter.

    Before a pack can have thawed there are only part jars, each from the day it is ready.
    """
    taken = []
    before: int | None = None
    all_parts = sum(p.grains for p in goods.parts)
    for first, last in _epochs(goods, rows.problem.days, (goods.thaw, *(p.ready for p in goods.parts))):
        ready = sum(p.grains for p in goods.parts if first <= max(p.ready, 0) <= last)
        use = sum(g for d, _, g in rows.draws[index] if first <= d <= last)
        opened = _open_columns(rows, index, goods, first, last, use, -1)
        taken += opened
        terms = [(c, g) for _, c, g in opened]
        terms += [(c, -g) for d, c, g in rows.draws[index] if first <= d <= last]
        if before is not None:
            terms.append((before, 1))
        after = rows.column(last, "", hi=goods.supply(rows.problem.days - 1) + all_parts, implied=True, reach=ANY)
        rows.sheet.row("whole containers are opened", [*terms, (after, -1)], -ready, -ready)
        before = after
    _shelf_rows(rows, goods, taken)
    _size_limits(rows, index, goods)


def _opened_with_clock(rows: MenuRows, index: int, goods: IntegerStock, life: int) -> None:
    """What is open at a day's end was opened within its life; the rest is wasted, and priced.

    Content open at the end of day d: before + opened - used - wasted, and at most what was opened
    on the last life - 1 days (part jars of the first day while they are good).
    """
    days = rows.problem.days
    waste_cost = max(1, WASTE_POINTS * POINT // goods.container)
    uses: dict[int, list[tuple[int, int]]] = {}
    for d, c, g in rows.draws[index]:
        uses.setdefault(d, []).append((c, -g))
    taken: list[tuple[int, int, int]] = []
    last_use = max(uses, default=-1)
    before: int | None = None
    all_parts = sum(p.grains for p in goods.parts)
    lately: list[tuple[int, int, int]] = []
    for d in range(days):
        if d >= last_use + life and not any(p.last >= d for p in goods.parts):
            break
        use = -sum(g for _, g in uses.get(d, ()))
        opened = _open_columns(rows, index, goods, d, d, use, d) if use else []
        taken += opened
        ready = sum(p.grains for p in goods.parts if max(p.ready, 0) == d)
        still_good = sum(p.grains for p in goods.parts if p.ready <= d < p.last)
        lately = [entry for entry in [*lately, *opened] if entry[0] >= d - life + 2]
        recent = [(c, g) for _, c, g in lately]
        if before is None and d not in uses and not ready:
            continue
        most = sum(g * rows.sheet.hi[c] for c, g in recent) + still_good
        end_cost = LEFT_OPEN_POINTS * POINT // goods.container if d == days - 1 else 0
        after = rows.column(d, "waste" if end_cost else "", hi=most, cost=end_cost, implied=True, reach=life)
        held = goods.supply(d) + all_parts
        wasted = rows.column(d, "waste", hi=held, cost=waste_cost, implied=True, reach=life)
        terms = [(c, g) for _, c, g in opened] + uses.get(d, []) + [(after, -1), (wasted, -1)]
        if before is not None:
            terms.append((before, 1))
        rows.sheet.row("whole containers are opened", terms, -ready, -ready)
        rows.sheet.row("an opened one keeps its time", [(after, 1), *((c, -g) for c, g in recent)], hi=still_good)
        before = after
    _shelf_rows(rows, goods, taken)
    _size_limits(rows, index, goods)


def _goes_over(rows: MenuRows, index: int, goods: IntegerStock) -> None:
    """What is left on the last day that it keeps goes over, and is priced as a share of an even hand."""
    last = goods.last if goods.last is not None else rows.problem.days - 1
    if last < 0:
        return
    held = goods.supply(last) - goods.standing[last]
    if held <= 0:
        return
    per_container = GOING_OVER_POINTS * POINT / max(4.0, held / goods.container)
    cost = max(1, round(per_container / goods.container))
    left = rows.column(last, "eat first", hi=held, cost=cost, implied=True, reach=ANY)
    rows.sheet.row("eat first", [(left, 1), *((c, g) for d, c, g in rows.draws[index] if d <= last)], lo=held)


def _evenness(rows: MenuRows, bands: Mapping[int, Band]) -> None:
    """Price each product's draw outside its band, and the largest such share."""
    if not bands:
        return
    rows.largest = rows.column(-1, "evenness", hi=100 * LARGEST_GRAIN, cost=LARGEST_OFF_POINTS * POINT // LARGEST_GRAIN)
    for index, band in bands.items():
        goods = rows.problem.goods[index]
        stood = goods.standing[-1]
        use = [(c, g) for _, c, g in rows.draws[index]]
        most = sum(g * rows.sheet.hi[c] for c, g in use) + stood
        worst = max(band.low - stood, most - band.high, 0)
        if worst == 0:
            continue
        cost = max(1, OFF_POINTS * POINT * band.share_of_grain // 10**6)
        off = rows.column(-1, "evenness", hi=worst, cost=cost, implied=True)
        rows.off[index] = off
        if band.low > stood:
            rows.even[rows.sheet.height] = (index, 1)
            rows.sheet.row("evenness", [(off, 1), *use], lo=band.low - stood)
        if most > band.high:
            rows.even[rows.sheet.height] = (index, -1)
            rows.sheet.row("evenness", [(off, 1), *((c, -g) for c, g in use)], lo=stood - band.high)
        rows.sheet.row("evenness", [(rows.largest, 10**6 // LARGEST_GRAIN), (off, -band.share_of_grain)], lo=0)
        before = rows.sheet.height
        _sharpen(rows, off, use, band.low - stood, band.high - stood)
        rows.sharper.extend(range(before, rows.sheet.height))


def _sharpen(rows: MenuRows, off: int, use: list[tuple[int, int]], low: int, high: int) -> None:
    """Rows that every whole menu keeps and a menu of parts of dishes would not: a nearer bound, sooner.

    A dish that takes more than the band has room for is too much by itself; and where every dish takes
    the same amount, a band's low end is reached by a whole number of them or missed by what is left.
    """
    room = max(0, high)
    too_much = [(c, -(g - room)) for c, g in use if g > room]
    if too_much and room > 0:
        rows.sheet.row("evenness", [(off, 1), *too_much], lo=0)
    amounts = {g for _, g in use}
    if len(amounts) == 1 and low > 0:
        each = amounts.pop()
        times = -(-low // each)
        rest = low - (times - 1) * each
        if rest < each:
            rows.sheet.row("evenness", [(off, 1), *((c, rest) for c, _ in use)], lo=rest * times)


def candidates_by_table(problem: MenuProblem) -> dict[int, list[tuple[int, Candidate]]]:
    """Candidates of each table, numbered."""
    out: dict[int, list[tuple[int, Candidate]]] = {}
    for i, c in enumerate(problem.candidates):
        out.setdefault(c.table, []).append((i, c))
    return out
