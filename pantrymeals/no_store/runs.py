"""How long every place on the menu can be filled: a bound from totals, and the true answer where it is small.

If N days can be filled, so can fewer: the first of them. So the longest run is found by halving.
Totals (``menu.long.totals``) keep every rule in a form that any real menu keeps, so where they must
leave a role open, every menu must. Where the question is small the whole menu is asked of the solver.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.menu.long.totals import STRETCH_DAYS, Totals, build_totals
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.integer_stock import IntegerStock
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.no_store.store import with_more
from pantrymeals.plans.no_store import DaysMore, LongestRun
from pantrymeals.records import Household
from pantrymeals.solving.linear_model import ANY, Arrays, arrays
from pantrymeals.solving.solvers import linear_relaxation

LOOK_TO = 366
"""Days ahead that an end is looked for."""
FIRST_LOOK = 180
"""Days looked at before the whole year: a rehearsal is seldom near either."""
SMALL = 2500
"""Candidates up to which the whole menu is asked of the solver."""
MOST_ENDS = 8
_NOTHING = 1e-6


def first_days(problem: MenuProblem, days: int) -> MenuProblem:
    """The same question for the first so many of its days."""
    if days == problem.days:
        return problem
    tables = sum(d < days for d in problem.table_day)
    return replace(
        problem,
        request=replace(problem.request, days=days),
        tables=problem.tables[:tables],
        table_day=problem.table_day[:tables],
        candidates=tuple(c for c in problem.candidates if c.day < days),
        stocks=tuple(_first_days_of(g, days) for g in problem.stocks),
        waived=tuple(w for w in problem.waived if w[0] < days),
        nights=tuple(night for night in problem.nights if night[0] < tables),
    )


def _first_days_of(stock: IntegerStock, days: int) -> IntegerStock:
    return replace(
        stock,
        standing=stock.standing[:days],
        arrivals=tuple(a for a in stock.arrivals if a[0] < days),
        life=stock.life if stock.life is not None and stock.life < days else None,
        last=stock.last if stock.last is not None and stock.last < days else None,
    )


class RoleTotals(Struct):
    """Totals that count nothing but open roles. shelf: (row, product) of each shelf row."""

    totals: Totals
    shelf: list[tuple[int, int]]

    def arrays(self) -> Arrays:
        """The model with its price on open roles alone and the shelf in our own rows."""
        linear = arrays(self.totals.linear)
        linear.cost[:] = 0
        linear.cost[self.totals.open] = 1
        linear.row_hi[[row for row, _, _ in self.totals.shelf]] = ANY
        return replace(linear, fixed_cost=0.0)


def role_totals(problem: MenuProblem) -> RoleTotals:
    """Totals of a problem, with one row of our own for each product and stretch of days."""
    totals = build_totals(problem, {})
    linear = totals.linear
    shelf = []
    for index, stock in enumerate(problem.stocks):
        parts = sum(p.grains for p in stock.parts)
        for stretch, room in rooms(problem, stock):
            cols = [(col, g) for s, col, g in totals.draws[index] if s <= stretch]
            if cols:
                shelf.append((linear.height, index))
                linear.constrain(f"on the shelf: {stock.name}", cols, hi=room + parts)
    return RoleTotals(totals, shelf)


def rooms(problem: MenuProblem, stock: IntegerStock) -> list[tuple[int, int]]:
    """(stretch, grains of shelf and arrivals that standing use leaves the menu by its end)."""
    out = []
    for stretch in range((problem.days - 1) // STRETCH_DAYS + 1):
        end = min(problem.days, (stretch + 1) * STRETCH_DAYS) - 1
        out.append((stretch, max(0, stock.supply(end) - stock.standing[end])))
    return out


def roles_open(problem: MenuProblem) -> tuple[float, dict[str, float]]:
    """Roles that every menu must leave open, at least, and by how much a container more would lessen it.

    A relaxation: 0 does not promise that a menu exists; more than 0 promises that none does.
    """
    roles = role_totals(problem)
    relaxation = linear_relaxation(roles.arrays())
    worth: dict[str, float] = {}
    for row, index in roles.shelf:
        if abs(relaxation.row_price[row]) > _NOTHING:
            stock = problem.stocks[index]
            worth[stock.name] = worth.get(stock.name, 0.0) + abs(float(relaxation.row_price[row])) * stock.container
    return relaxation.cost, dict(sorted(worth.items(), key=lambda item: (-item[1], item[0])))


def fits(problem: MenuProblem, time: SearchTime) -> bool | None:
    """Whether a menu fills every role; None when the time was too short to tell, or it was stopped."""
    model = build(problem, {}, PROMISES)
    linear = arrays(model.linear)
    linear.cost[:] = 0
    linear.hi[list(model.open.values())] = 0
    found = time.solved(linear)
    return True if found.x is not None else False if found.infeasible else None


def _halve(good: int, bad: int, holds: Callable[[int], bool | None]) -> tuple[int, int]:
    """(most that holds, least that does not) between the two; an answer of None ends the search."""
    while bad - good > 1:
        middle = (good + bad) // 2
        answer = holds(middle)
        if answer is None:
            break
        good, bad = (middle, bad) if answer else (good, middle)
    return good, bad


class RunSearch:
    """The search for one household's longest run. known: days that a menu is known to fill."""

    def __init__(self, household: Household, first: date, known: int, time: SearchTime, look_to: int = LOOK_TO) -> None:
        self.household, self.first, self.known, self.time = household, first, known, time
        self.look_to = max(look_to, known)
        self.stopped = False
        self._problems: dict[int, MenuProblem] = {}
        self._open: dict[int, tuple[float, dict[str, float]]] = {}

    def problem(self, days: int) -> MenuProblem:
        """The question for so many days, cut from a longer one where there is one."""
        longer = min((d for d in self._problems if d >= days), default=None)
        if longer is None:
            longer = days
            self._problems[days] = menu_problem(self.household, MenuRequest(self.first, days))
        return first_days(self._problems[longer], days)

    def open(self, days: int) -> tuple[float, dict[str, float]]:
        """``roles_open`` for so many days, remembered."""
        if days not in self._open:
            self._open[days] = roles_open(self.time.looked_at(self.problem(days)))
        return self._open[days]

    def late(self) -> bool:
        """Whether the time is up, or the cook has had enough; remembered."""
        if self.time.over():
            self.stopped = True
        return self.stopped

    def search(self) -> LongestRun:
        """The longest run, what ends it, and what one more of each adds."""
        at_most = self._bound()
        if at_most is None:
            return LongestRun(self.known, None, self._looked(), stopped=self.stopped)
        sure = self.known
        small = len(self.problem(min(at_most + 1, self.look_to)).candidates) <= SMALL
        if small:
            sure, beyond = _halve(max(0, sure), at_most + 1, self._fits)
            at_most = beyond - 1
        ends, more = self._ends(sure, at_most, small)
        return LongestRun(sure, at_most, self._looked(), ends, more, self.stopped)

    def _looked(self) -> int:
        return max([self.known, *(d for d, (gap, _) in self._open.items() if gap <= _NOTHING)])

    def _fits(self, days: int) -> bool | None:
        return None if self.late() else fits(self.problem(days), self.time)

    def _bound(self) -> int | None:
        """Most days that totals can fill; None when no end is found."""
        good = max(0, self.known)
        for days in dict.fromkeys((min(self.look_to, max(FIRST_LOOK, 2 * good)), self.look_to)):
            if self.late():
                return None
            if self.open(days)[0] > _NOTHING:
                break
            good = days
        else:
            return None
        return _halve(good, days, self._totals_fill)[1] - 1

    def _totals_fill(self, days: int) -> bool | None:
        return None if self.late() else self.open(days)[0] <= _NOTHING

    def _ends(self, sure: int, at_most: int, small: bool) -> tuple[tuple[str, ...], tuple[DaysMore, ...]]:
        if small and sure == at_most:
            used = {o.product for d in self.household.dishes.values() for u in d.uses for o in u.options}
            names = [n for n, p in self.household.products.items() if p.on_menus and n in used]
            adds = {name: self._added_truly(name, sure) for name in names}
        else:
            names = list(self.open(at_most + 1)[1])[:MOST_ENDS]
            adds = {name: self._added_by_totals(name, at_most) for name in names}
        more = [DaysMore(name, days) for name, days in adds.items() if days]
        more.sort(key=lambda m: -m.days)
        # In totals several products may end it together, none of which helps alone.
        ends = [m.product for m in more] or ([] if small else names)
        return tuple(ends), tuple(more)

    def _added_truly(self, name: str, sure: int) -> int:
        """Days that one more container adds, by asking for whole menus."""
        more = with_more(self.household, name, 1, self.first)
        added = 0
        while not self.late() and sure + added < self.look_to:
            problem = self.time.looked_at(menu_problem(more, MenuRequest(self.first, sure + added + 1)))
            if not fits(problem, self.time):
                break
            added += 1
        return added

    def _added_by_totals(self, name: str, at_most: int) -> int:
        """Days that one more container adds to the bound of totals."""
        added = 0
        while not self.late() and at_most + added < self.look_to and added < 60:
            problem = self.time.looked_at(self.problem(at_most + added + 1))
            stocks = tuple(replace(g, shelf=g.shelf + g.container) if g.name == name else g for g in problem.stocks)
            if roles_open(replace(problem, stocks=stocks))[0] > _NOTHING:
                break
            added += 1
        return added


def longest_run(household: Household, first: date, known: int, time: SearchTime, look_to: int = LOOK_TO) -> LongestRun:
    """How many days from ``first`` every role can be filled with what the household holds and what comes in.

    known: days for which a menu without an open role is at hand (0: none).
    """
    return RunSearch(household, first, known, time, look_to).search()
