"""The pull list as it is walked: row by row, what is up already, and what a tick on a row enters.

A tick is one product's part of the announced list: of one lot, or of as much as hangs together (a jar that is
opened on Saturday and finished on Monday is one tick, and so is a day that takes from two lots).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.actions.book.enter import Entered
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.plan import PullAsked, enter_pull
from pantrymeals.actions.book.pulled_before import still_to_pull
from pantrymeals.book.book import Book
from pantrymeals.book.lines import PULLED, is_a_meal
from pantrymeals.plans.menu import MenuPlan, PullLine, PullList
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.reports.terminal.pull import DayRow, ahead, for_words, lot_words, walk_rows
from pantrymeals.words import short_day

Days = frozenset[date]


class Tick(Struct, frozen=True):
    """What one tick enters: what these days take of a product. number: its own for as long as the menu stands."""

    number: str
    product: str
    days: Days


class WalkLine(Struct, frozen=True):
    """One row: what to bring, of which lot, for which dishes.

    tick: None for the goods of a batch day, which stay until it is done. elsewhere: the tick stands at this other
    place, where the rest of it is. entry: the book's number of the pull that brought it up; 0: it is still to fetch,
    or more than one did. alone: that pull brought nothing else.
    """

    what: str
    lot: str
    uses: tuple[str, ...]
    tick: Tick | None
    elsewhere: str = ""
    done: bool = False
    entry: int = 0
    alone: bool = True


class Stop(Struct, frozen=True):
    """One place on the walk (where: its code), what is open already (where ''), or a day's lift-outs."""

    kind: str
    where: str
    lines: tuple[WalkLine, ...]

    @property
    def done(self) -> bool:
        """Whether nothing is left to fetch here."""
        return all(line.done for line in self.lines if line.tick is not None)


class PullWalk(Struct, frozen=True):
    """The announced menu's list as the book stands. ticks: how many there are; done: how many are up.

    closed: every dish of it is written down as served, so that nothing is left to enter.
    """

    stops: tuple[Stop, ...]
    ahead: tuple[DayRow, ...]
    empties: tuple[tuple[str, int], ...]
    cautions: tuple[str, ...]
    ticks: Mapping[str, Tick]
    done: int
    closed: bool
    newest: int


def walk(book: Book, plan: MenuPlan, pull: PullList) -> PullWalk:
    """The list of a menu, place by place, with what the book has pulled of it."""
    ticks = _ticks(plan, pull)
    todo = still_to_pull(book, plan, frozenset(tick.product for tick in set(ticks.values()))).plan
    left = {(m.day, use.product) for m in todo.meals for d in m.dishes for use in d.uses}
    left |= {(x.lifted, x.product) for x in todo.for_later}
    pulled = book.pulled_by(plan.first, plan.last)
    entries = _entries(plan, pulled)
    stops = _one_tick_each(tuple(_stops(plan, pull, ticks)))
    stops = tuple(replace(s, lines=tuple(_as_it_stands(line, left, entries) for line in s.lines)) for s in stops)
    own = {tick.number: tick for tick in ticks.values()}
    standing = {line.tick.number for stop in stops for line in stop.lines if line.tick is not None and line.done}
    served = {(day, meal, dish) for day, meal, dish in pulled if is_a_meal(meal)}
    return PullWalk(
        stops=stops,
        ahead=ahead(pull),
        empties=pull.empties,
        cautions=pull.cautions,
        ticks=own,
        done=len(standing),
        closed=all((m.day, m.meal, d.dish) in served for m in plan.meals for d in m.dishes),
        newest=max((entry.number for entry in book.entries(1)), default=0),
    )


def tick(pantry: Pantry, book: Book, plan: MenuToPull, what: Tick, last: date, key: str) -> tuple[Entered, list[str]]:
    """Enter one row as brought up, once for one key. Raises BookTrouble where the book has too little of it."""
    days = " ".join(f"--on {day}" for day in sorted(what.days))
    asked = PullAsked(
        last, frozenset({what.product}), coming_in=pantry.comes_in(min(pantry.today, plan.first), last), days=what.days
    )
    return enter_pull(pantry, book, plan, asked, f"pull --only {what.product} {days}", key)


def the_rest(pantry: Pantry, book: Book, plan: MenuToPull, last: date, key: str) -> tuple[Entered, list[str]]:
    """Enter all that is not ticked as brought up too, and the dishes as served. Raises BookTrouble."""
    asked = PullAsked(last, coming_in=pantry.comes_in(min(pantry.today, plan.first), last))
    return enter_pull(pantry, book, plan, asked, "pull", key)


def _ticks(plan: MenuPlan, pull: PullList) -> dict[tuple[str, date], Tick]:
    """The tick of each product and day."""
    linked: dict[str, list[set[date]]] = {}
    for meal in plan.meals:
        for dish in meal.dishes:
            for use in dish.uses:
                _link(linked, use.product, {meal.day})
    for opening in plan.openings:
        _link(linked, opening.product, {opening.day, *(day for day, _ in opening.uses)})
    for later in plan.for_later:
        _link(linked, later.product, {later.lifted})
    for begun in plan.begun:
        _link(linked, begun.product, {day for day, _ in begun.uses})
    for row in _rows(pull).values():
        _link(linked, row[0].product, {_tick_day(plan, line) for line in row if not _of_batch_day(plan, line)})
    return {
        (product, day): made
        for product, groups in linked.items()
        for days in groups
        for made in [Tick(_number(product, days), product, frozenset(days))]
        for day in days
    }


def _link(linked: dict[str, list[set[date]]], product: str, days: set[date]) -> None:
    """These days of a product hang together, with whatever hung together with one of them before."""
    apart = [group for group in linked.get(product, []) if not group & days]
    joined = days.union(*(group for group in linked.get(product, []) if group & days))
    linked[product] = [*apart, joined] if joined else apart


def _number(product: str, days: Iterable[date]) -> str:
    return hashlib.sha256("|".join([product, *(str(day) for day in sorted(days))]).encode()).hexdigest()[:16]


_RowOf = tuple[str, str, str, str, str, str, str]


def _rows(pull: PullList, plan: MenuPlan | None = None) -> dict[_RowOf, list[PullLine]]:
    """The lines that stand on one row, in the list's order: of one lot at one place; lift-outs by their day."""
    out: dict[_RowOf, list[PullLine]] = {}
    for line in pull.lines:
        day = str(line.fetch) if line.kind == "lift out" else ""
        work = "batch day" if plan is not None and _of_batch_day(plan, line) else ""
        key = (line.kind, day, line.where, line.product, line.size, lot_words(line), work)
        out.setdefault(key, []).append(line)
    return out


def _tick_day(plan: MenuPlan, line: PullLine) -> date:
    """The day whose tick a line has: the one it is needed on; of what is for the days after, the one it comes out."""
    return line.fetch if line.needed > plan.last else line.needed


def _of_batch_day(plan: MenuPlan, line: PullLine) -> bool:
    return any(work.name == line.dish and work.day == line.needed for work in plan.batch_work)


def _stops(plan: MenuPlan, pull: PullList, ticks: Mapping[tuple[str, date], Tick]) -> list[Stop]:
    opened: list[WalkLine] = []
    lifts: dict[date, list[WalkLine]] = {}
    places: dict[str, list[WalkLine]] = {}
    for (kind, _, where, *_), lines in _rows(pull, plan).items():
        first = lines[0]
        row = walk_rows(lines, kind)[0]
        tick = None if _of_batch_day(plan, first) else ticks.get((first.product, _tick_day(plan, first)))
        lot = f"{where}, {row.lot}".strip(", ") if kind == "lift out" else row.lot
        line = WalkLine(row.what, lot, row.uses or (for_words(first),), tick)
        if kind == "part jar":
            opened.append(line)
        elif kind == "lift out":
            lifts.setdefault(first.fetch, []).append(line)
        else:
            places.setdefault(where, []).append(line)
    return [
        *([Stop("open", "", tuple(opened))] if opened else []),
        *(Stop("place", where, tuple(lines)) for where, lines in places.items()),
        *(Stop("lift", short_day(day), tuple(lines)) for day, lines in sorted(lifts.items())),
    ]


def _one_tick_each(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """Each tick at the last stop that has some of it; the rows before say where that is."""
    last = {line.tick.number: (n, k) for n, s in enumerate(stops) for k, line in enumerate(s.lines) if line.tick}

    def told(n: int, k: int, line: WalkLine) -> WalkLine:
        if line.tick is None or last[line.tick.number] == (n, k):
            return line
        there = stops[last[line.tick.number][0]]
        return replace(line, elsewhere=there.where or "open already")

    return tuple(
        replace(stop, lines=tuple(told(n, k, line) for k, line in enumerate(stop.lines)))
        for n, stop in enumerate(stops)
    )


def _entries(plan: MenuPlan, pulled: Mapping[tuple[date, str, str], int]) -> dict[tuple[date, str], set[int]]:
    """The entries that pulled a day's product: by itself, or with its dishes."""
    out: dict[tuple[date, str], set[int]] = {}
    for (day, meal, name), entry in pulled.items():
        if meal == PULLED:
            out.setdefault((day, name), set()).add(entry)
    for planned in plan.meals:
        for dish in planned.dishes:
            by = pulled.get((planned.day, planned.meal, dish.dish))
            for use in dish.uses:
                if by is not None and (planned.day, use.product) not in out:
                    out[planned.day, use.product] = {by}
    return out


def _as_it_stands(
    line: WalkLine, left: set[tuple[date, str]], entries: Mapping[tuple[date, str], set[int]]
) -> WalkLine:
    if line.tick is None or any((day, line.tick.product) in left for day in line.tick.days):
        return line
    by = set().union(*(entries.get((day, line.tick.product), set()) for day in line.tick.days))
    mine = {key for key, found in entries.items() if by & found}
    alone = mine <= {(day, line.tick.product) for day in line.tick.days}
    return replace(line, done=True, entry=by.pop() if len(by) == 1 else 0, alone=alone)
