"""The constraints of the menu question: dishes that draw on stock, the shelf, whole containers, evenness."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from pantrymeals.larder.opened_life import lies_thawing, parts_not_past
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.model import (
    FEWEST_GOING_OVER,
    GOING_OVER_POINTS,
    LARGEST_OFF_POINTS,
    LEFT_OPEN_POINTS,
    MILLION,
    OPEN_ROLE_POINTS,
    POINT,
    SHELF,
    WAITING_POINTS,
    Band,
    MenuModel,
    Promise,
    waste_points,
)
from pantrymeals.menu.week.problem import RANK_POINTS, Draw, MenuProblem
from pantrymeals.solving.linear_model import ANY


def dishes_and_promises(problem: MenuProblem, promises: Iterable[Promise], giving_way: bool = False) -> MenuModel:
    """The dishes of a problem and what is promised of them, without the shelf."""
    model = MenuModel(problem, giving_way)
    model.draws = [[] for _ in problem.stocks]
    _dishes(model)
    for promise in promises:
        promise(model)
    return model


def build(
    problem: MenuProblem, bands: Mapping[int, Band], promises: Iterable[Promise], giving_way: bool = False
) -> MenuModel:
    """All columns and rows of a problem: dishes, stock, promises and wishes."""
    model = dishes_and_promises(problem, promises, giving_way)
    model.linear.fixed_cost += float(_untouched(problem) * POINT)
    for index, stock in enumerate(problem.stocks):
        if model.draws[index] or stock.parts:
            shelf_covers(model, index, stock)
        _goes_over(model, index, stock)
    _evenness(model, bands)
    return model


def _untouched(problem: MenuProblem) -> Fraction:
    """Points for part jars of products that no dish of these days could take: the same for every menu."""
    known = {stock.name for stock in problem.stocks}
    first, days = problem.request.first, problem.days
    total = Fraction(0)
    for part, life in parts_not_past(problem.household, first):
        product = problem.household.products[part.product]
        if product.whole and part.product not in known and life.last is not None:
            over = (life.last - first).days < days
            stays = (life.ready - first).days < days and (product.opened_days or 0) <= days
            points = (
                waste_points(lies_thawing(problem.household, product, first))
                if over
                else LEFT_OPEN_POINTS
                if stays
                else 0
            )
            total += points * part.left / product.sizes[0].content
    return total


def _dishes(model: MenuModel) -> None:
    problem = model.problem
    for index, table in enumerate(problem.tables):
        for role in table.roles:
            model.open[index, role] = model.column(
                problem.table_day[index], "open roles", cost=OPEN_ROLE_POINTS[role] * POINT
            )
    for index, candidate in enumerate(problem.candidates):
        waiting = sum(_waiting(problem.stocks, draw, candidate.day) for draw in candidate.fixed)
        col = model.column(candidate.day, "liking and effort", cost=int((candidate.points + waiting) * POINT))
        model.cook.append(col)
        for draw in candidate.fixed:
            model.draws[draw.product].append((candidate.day, col, draw.grains))
        for number, choice in enumerate(candidate.choices):
            columns = []
            for draw in choice:
                points = RANK_POINTS * draw.rank + _waiting(problem.stocks, draw, candidate.day)
                y = model.column(candidate.day, "liking and effort", cost=int(points * POINT))
                columns.append(y)
                model.draws[draw.product].append((candidate.day, y, draw.grains))
            model.option[index, number] = columns
            model.constrain("one product for each use", [*((y, 1) for y in columns), (col, -1)], 0, 0)


def _waiting(stocks: Sequence[IntegerStock], draw: Draw, day: int) -> Fraction:
    """Points for a draw of what stays on its shelf that day, since something fresh of the same is there."""
    stock = stocks[draw.product]
    return WAITING_POINTS * draw.exact / stock.exact_container if stock.waits[day] else Fraction(0)


def always_whole(model: MenuModel, index: int, stock: IntegerStock) -> bool:
    """Whether every draw takes whole containers, so that no part jar can arise."""
    return (
        not stock.parts
        and len(stock.sizes) == 1
        and all(grains % stock.container == 0 for _, _, grains in model.draws[index])
    )


def shelf_covers(model: MenuModel, index: int, stock: IntegerStock) -> None:
    """Never more than the shelf holds, by whole containers where a product is opened whole."""
    draws = model.draws[index]
    if stock.fresh is not None:
        _good_for_days(model, index, stock, stock.fresh)
    elif not stock.whole or always_whole(model, index, stock):
        _shelf_rows(model, stock, [(d, col, g) for d, col, g in draws])
    elif stock.life is None:
        _opened_without_clock(model, index, stock)
    else:
        _opened_with_clock(model, index, stock, stock.life)


def _good_for_days(model: MenuModel, index: int, stock: IntegerStock, life: int) -> None:
    """What is fresh: what is left at a day's end is no more than came on it and on the life - 2 days before."""
    uses: dict[int, list[tuple[int, int]]] = {}
    for day, col, grains in model.draws[index]:
        uses.setdefault(day, []).append((col, grains))
    before: int | None = None
    for day in range(model.problem.days):
        there = stock.good(day) if before is None else stock.good(day, day + life - 1)
        terms = uses.get(day, [])
        left = stock.good(day, day + 1)
        after = model.column(day, "", hi=left, implied=True, reach=life) if left else None
        terms = [*terms, *([(after, 1)] if after is not None else []), *([(before, -1)] if before is not None else [])]
        if terms:
            model.constrain(SHELF, terms, hi=there)
        before = after


def _epochs(stock: IntegerStock, days: int, also: Iterable[int] = ()) -> list[tuple[int, int]]:
    """Runs of days between arrivals (and other days): (first, last) pairs that cover the horizon."""
    cuts = sorted({0, *(d for d in (*(d for d, _ in stock.arrivals), *also) if 0 < d < days)})
    return [(a, b - 1) for a, b in zip(cuts, [*cuts[1:], days], strict=True)]


def _shelf_rows(model: MenuModel, stock: IntegerStock, taken: list[tuple[int, int, int]]) -> None:
    """What is taken (day, column, grains) never exceeds shelf and arrivals less standing use, on any day."""
    days = model.problem.days
    epochs = _epochs(stock, days)
    arrived = dict(stock.arrivals)
    total = sum(g * model.linear.hi[col] for _, col, g in taken)
    if len(epochs) == 1:
        room = stock.room(days - 1)
        if total > room:
            model.constrain(SHELF, [(c, g) for _, c, g in taken], hi=max(0, room))
        return
    before: int | None = None
    stood = 0
    held = stock.shelf
    for first, last in epochs:
        held_in = arrived.get(first, 0) if first else 0
        if first == 0:
            held_in = held + arrived.get(0, 0)
        use = stock.standing[last] - stood
        stood = stock.standing[last]
        terms = [(c, -g) for d, c, g in taken if first <= d <= last]
        if before is not None:
            terms.append((before, 1))
        after = model.column(last, "", hi=stock.supply(days - 1), implied=True, reach=ANY)
        model.constrain(SHELF, [*terms, (after, -1)], use - held_in, use - held_in)
        before = after


def _open_columns(
    model: MenuModel, index: int, stock: IntegerStock, first: int, last: int, use: int, about: int
) -> list[tuple[int, int, int]]:
    """Columns of containers opened in a run of days for at most ``use`` grains: (day, column, grains).

    about: the day that they are about, -1 where any day's cooking may call for one more.
    """
    out = []
    for number, (_, grains, count) in enumerate(stock.sizes):
        most = count if number else max(0, stock.room(last)) // grains
        most = min(most, -(-use // grains))
        if most > 0 and last >= stock.thaw:
            col = model.column(about, "", hi=most)
            model.opened[index, number, first] = col
            out.append((first, col, grains))
    return out


def _size_limits(model: MenuModel, index: int, stock: IntegerStock) -> None:
    """Size by size, no more opened so far than there have been so far: what comes in is of the first size."""
    if len(stock.sizes) < 2:
        return
    for number, (_, _, count) in enumerate(stock.sizes):
        cols = [(day, c) for (p, n, day), c in model.opened.items() if p == index and n == number]
        for _, last in _epochs(stock, model.problem.days) if number == 0 else [(0, model.problem.days - 1)]:
            so_far = [(c, 1) for day, c in cols if day <= last]
            if so_far:
                there = stock.first_size[last] if number == 0 else count
                model.constrain(SHELF, so_far, hi=there)


def _opened_without_clock(model: MenuModel, index: int, stock: IntegerStock) -> None:
    """Opened containers that keep to the end of the horizon: only sums between arrivals matter.

    Before a pack can have thawed there are only part jars, each from the day it is ready.
    """
    taken = []
    before: int | None = None
    all_parts = sum(p.grains for p in stock.parts)
    for first, last in _epochs(stock, model.problem.days, (stock.thaw, *(p.ready for p in stock.parts))):
        ready = sum(p.grains for p in stock.parts if first <= max(p.ready, 0) <= last)
        use = sum(g for d, _, g in model.draws[index] if first <= d <= last)
        opened = _open_columns(model, index, stock, first, last, use, -1)
        taken += opened
        terms = [(c, g) for _, c, g in opened]
        terms += [(c, -g) for d, c, g in model.draws[index] if first <= d <= last]
        if before is not None:
            terms.append((before, 1))
        after = model.column(last, "", hi=stock.supply(model.problem.days - 1) + all_parts, implied=True, reach=ANY)
        model.constrain("whole containers are opened", [*terms, (after, -1)], -ready, -ready)
        before = after
    _shelf_rows(model, stock, taken)
    _size_limits(model, index, stock)


def _opened_with_clock(model: MenuModel, index: int, stock: IntegerStock, life: int) -> None:
    """What is open at a day's end was opened within its life; the rest is wasted, and priced.

    Content open at the end of day d: before + opened - used - wasted, and at most what was opened
    on the last life - 1 days (part jars of the first day while they are good).
    """
    days = model.problem.days
    waste_cost = waste_points(stock.thawing) * POINT / stock.container
    uses: dict[int, list[tuple[int, int]]] = {}
    for d, c, g in model.draws[index]:
        uses.setdefault(d, []).append((c, -g))
    taken: list[tuple[int, int, int]] = []
    last_use = max(uses, default=-1)
    before: int | None = None
    all_parts = sum(p.grains for p in stock.parts)
    lately: list[tuple[int, int, int]] = []
    for d in range(days):
        if d >= last_use + life and not any(p.last >= d for p in stock.parts):
            break
        use = -sum(g for _, g in uses.get(d, ()))
        opened = _open_columns(model, index, stock, d, d, use, d) if use else []
        taken += opened
        ready = sum(p.grains for p in stock.parts if max(p.ready, 0) == d)
        still_good = sum(p.grains for p in stock.parts if p.ready <= d < p.last)
        lately = [entry for entry in [*lately, *opened] if entry[0] >= d - life + 2]
        recent = [(c, g) for _, c, g in lately]
        if before is None and d not in uses and not ready:
            continue
        most = sum(g * model.linear.hi[c] for c, g in recent) + still_good
        end_cost = LEFT_OPEN_POINTS * POINT / stock.container if d == days - 1 and life <= days else 0
        after = model.column(d, "waste" if end_cost else "", hi=most, cost=end_cost, implied=True, reach=life)
        held = stock.supply(d) + all_parts
        wasted = model.column(d, "waste", hi=held, cost=waste_cost, implied=True, reach=life)
        terms = [(c, g) for _, c, g in opened] + uses.get(d, []) + [(after, -1), (wasted, -1)]
        if before is not None:
            terms.append((before, 1))
        model.constrain("whole containers are opened", terms, -ready, -ready)
        model.constrain("an opened one keeps its time", [(after, 1), *((c, -g) for c, g in recent)], hi=still_good)
        before = after
    _shelf_rows(model, stock, taken)
    _size_limits(model, index, stock)


def _goes_over(model: MenuModel, index: int, stock: IntegerStock) -> None:
    """What is left on the last day that it keeps goes over, and is priced as a share of an even hand."""
    if stock.last is None or stock.held_last <= 0:
        return
    units, held = stock.held_last.denominator, stock.held_last.numerator
    cost = float(
        GOING_OVER_POINTS * POINT / max(Fraction(FEWEST_GOING_OVER * stock.container), stock.held_last) / units
    )
    left = model.column(stock.last, "eat first", hi=held, cost=cost, implied=True, reach=ANY)
    used = [(c, g * units) for d, c, g in model.draws[index] if d <= stock.last]
    model.constrain("eat first", [(left, 1), *used], lo=held)


def _evenness(model: MenuModel, bands: Mapping[int, Band]) -> None:
    """Price each product's draw outside its band, and the largest such share."""
    if not bands:
        return
    model.largest = model.column(-1, "evenness", hi=ANY, cost=LARGEST_OFF_POINTS * POINT / MILLION)
    largest = 0
    for index, band in bands.items():
        use = [(c, g * band.units) for _, c, g in model.draws[index]]
        most = sum(g * model.linear.hi[c] for c, g in use)
        worst = max(band.low, most - band.high, 0)
        if worst == 0:
            continue
        off = model.column(-1, "evenness", hi=worst, cost=band.cost, implied=True)
        model.off[index] = off
        if band.low > 0:
            model.even[model.linear.height] = (index, 1)
            model.constrain("evenness", [(off, 1), *use], lo=band.low)
        if most > band.high:
            model.even[model.linear.height] = (index, -1)
            model.constrain("evenness", [(off, 1), *((c, -g) for c, g in use)], lo=-band.high)
        parts, many = band.millionths
        model.constrain("evenness", [(model.largest, many), (off, -parts)], lo=1 - many)
        largest = max(largest, band.part(worst))
        before = model.linear.height
        _sharpen(model, off, use, band.low, band.high)
        model.sharper.extend(range(before, model.linear.height))
    model.linear.hi[model.largest] = largest


def _sharpen(model: MenuModel, off: int, use: list[tuple[int, int]], low: int, high: int) -> None:
    """Rows that every whole menu keeps and a menu of parts of dishes would not: a nearer bound, sooner.

    A dish that takes more than the band has room for is too much by itself; and where every dish takes
    the same amount, a band's low end is reached by a whole number of them or missed by what is left.
    """
    room = max(0, high)
    too_much = [(c, -(g - room)) for c, g in use if g > room]
    if too_much and room > 0:
        model.constrain("evenness", [(off, 1), *too_much], lo=0)
    amounts = {g for _, g in use}
    if len(amounts) == 1 and low > 0:
        each = amounts.pop()
        times = -(-low // each)
        rest = low - (times - 1) * each
        if rest < each:
            model.constrain("evenness", [(off, 1), *((c, rest) for c, _ in use)], lo=rest * times)
