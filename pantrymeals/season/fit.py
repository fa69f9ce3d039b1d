"""Fits the put-up list into what there is: a model of whole loads, by product and week.

Each load is worth its jars at store prices times the chance that they will be called for. The
model chooses the loads of most worth that keep every limit, proves it, and is solved once more
for every 'one more' to say what that would bring.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.plans.season import PutUpLine
from pantrymeals.season.limits import Limit, SeasonLimits, open_days, weeks_of
from pantrymeals.solving.solvers import cp_solver

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

CENTS = 100
SOLVE_SECONDS = 20.0


class Chosen(Struct, frozen=True):
    """A solved season: loads by product and week, days they are spread over, worth and its bound (cents)."""

    loads: Mapping[tuple[str, date], int]
    days: Mapping[tuple[str, date], int]
    worth: int
    bound: int
    proven: bool

    def of(self, product: str) -> int:
        """Loads of a product in all."""
        return sum(n for (name, _), n in self.loads.items() if name == product)


def load_worth(line: PutUpLine, number: int) -> int:
    """Points that the ``number``-th load (from 0) is worth.

    Its jars at store prices in cents, times the chance that they will be called for, times a weight
    that falls from 2 for the first jar of a year's need to 1 for the last: a table would rather be
    a little short of everything than wholly without one thing. The weight is common practice, no
    published source. Never less than one point, so that what hinders nothing is not left out.
    """
    chance = Fraction(line.chances[number] if number < len(line.chances) else 0.0).limit_denominator(10_000)
    before = line.carried_over + number * line.load
    weight = 2 - min(Fraction(1), before / line.need.a_year) if line.need.a_year else Fraction(1)
    return max(1, round(line.load * line.worth * CENTS * chance * weight))


def choose_loads(
    lines: Iterable[PutUpLine], limits: SeasonLimits, seed: int = 1, seconds: float = SOLVE_SECONDS,
    even_weeks: bool = False,
) -> Chosen:  # fmt: skip
    """The loads of most worth within the limits; with ``even_weeks``, then the calmest weeks for them."""
    lines = tuple(lines)
    if not lines:
        return Chosen({}, {}, 0, 0, True)
    model = _Model(lines, limits)
    model.model.maximize(model.total)
    best = model.solve(seed, seconds)
    return _calm(lines, limits, best, seed, seconds) if even_weeks and best.loads else best


def spent(limit: Limit, loads: Mapping[tuple[str, date], Any], days: Mapping[tuple[str, date], Any],
          week: date | None = None) -> list[Any]:  # fmt: skip
    """What loads and canning days take of a limit (hundredths): in all, in a week, or up to it where it runs.

    loads, days: counts, or the model's variables for them.
    """
    out = []
    for (product, when), n in loads.items():
        if product in limit.takes and (week in (None, when) or (limit.span == "running" and when < week)):
            out.append(n * limit.takes[product])
            if limit.starts.get(product) and (product, when) in days:
                out.append(days[product, when] * limit.starts[product])
    return out


class _Model:
    """The variables and rows of one season."""

    def __init__(self, lines: tuple[PutUpLine, ...], limits: SeasonLimits) -> None:
        from ortools.sat.python import cp_model

        self.lines, self.limits, self.model = lines, limits, cp_model.CpModel()
        self.loads: dict[tuple[str, date], cp_model.IntVar] = {}
        self.days: dict[tuple[str, date], cp_model.IntVar] = {}
        self.worth: list[tuple[cp_model.IntVar, int]] = []
        for line in lines:
            self._line(line)
        self._canning_days()
        self.borrowed: dict[str, list[Any]] = {}
        for limit in limits.limits:
            if limit.name != "free ground":
                self._limit(limit)
        self._pool()
        self.total = sum(v * w for v, w in self.worth)

    def _line(self, line: PutUpLine) -> None:
        """Loads k = 1 .. wanted, each worth no more than the one before; their sum lies in the weeks."""
        taken = [self.model.new_bool_var("") for _ in range(line.loads)]
        for earlier, later in pairwise(taken):
            self.model.add_implication(later, earlier)
        for number, var in enumerate(taken):
            self.worth.append((var, load_worth(line, number)))
        most = self.limits.most_loads_a_day
        for week in weeks_of(line):
            loads = self.model.new_int_var(0, line.loads, "")
            self.loads[line.product, week] = loads
            if line.way == "canner":
                most_days = min(line.loads, len(open_days(line, week, self.limits.canning_days)))
                days = self.model.new_int_var(0, most_days, "")
                self.days[line.product, week] = days
                self.model.add(loads <= most * days)
                self.model.add(days <= loads)
        self.model.add(sum(self.loads[line.product, w] for w in weeks_of(line)) == sum(taken))
        for week in weeks_of(line):  # nothing is put up before it has come in
            there = line.in_by(week)
            if there < line.loads:
                self.model.add(sum(self.loads[line.product, w] for w in weeks_of(line) if w <= week) <= there)

    def _canning_days(self) -> None:
        """One product to a canning day: no stretch of days holds more than itself (Hall's condition)."""
        last = self.limits.canning_days
        spans: dict[tuple[date, int, int], list[cp_model.IntVar]] = {}
        by_name = {line.product: line for line in self.lines}
        for (product, week), days in self.days.items():
            opened = open_days(by_name[product], week, last)
            for start in range(last):
                for end in range(start, last):
                    if opened and start <= opened[0] and opened[-1] <= end:
                        spans.setdefault((week, start, end), []).append(days)
        for (_, start, end), inside in spans.items():
            self.model.add(sum(inside) <= end - start + 1)

    def _limit(self, limit: Limit) -> None:
        if limit.span != "season":
            for week, have in limit.have.items():
                self.model.add(sum(self.spent(limit, week)) <= have + sum(self._freed(limit, week)))
            return
        extra: cp_model.IntVar | int = 0
        if limit.pool:
            extra = self.model.new_int_var(0, 10**7, "")
            self.borrowed.setdefault(limit.pool, []).append(extra * ceil(limit.pool_rate * 1000))
        self.model.add(sum(self.spent(limit)) <= limit.in_all + extra)

    def spent(self, limit: Limit, week: date | None = None) -> list[Any]:
        """What is taken of a limit; see ``spent``."""
        return spent(limit, self.loads, self.days, week) or [0]

    def _freed(self, limit: Limit, week: date) -> list[cp_model.IntVar]:
        """What comes free again of new jars by a week: no more than is eaten, no more than was put up."""
        out = []
        for product, by_week in limit.freed.items():
            most = by_week.get(week, 0)
            weeks = [w for (p, w) in self.loads if p == product and w <= week]
            if most > 0 and weeks:
                freed = self.model.new_int_var(0, most, "")
                put_up = sum(self.loads[product, w] * limit.takes[product] for w in weeks)
                self.model.add(freed <= put_up)
                out.append(freed)
        return out

    def _pool(self) -> None:
        for limit in self.limits.limits:
            if limit.name in self.borrowed:
                self.model.add(sum(self.borrowed[limit.name]) <= limit.in_all * 1000)

    def solve(self, seed: int, seconds: float) -> Chosen:
        """The loads and days that the model's goal chooses; none where it finds none in the time.

        Jars already spoken for can leave a running limit below nothing: then nothing can be put up.
        """
        solver = cp_solver(seed, seconds)
        status = solver.status_name(solver.solve(self.model))
        if status not in ("OPTIMAL", "FEASIBLE"):
            return Chosen({}, {}, 0, 0, status == "INFEASIBLE")
        loads, days = ({key: n for key, v in of.items() if (n := solver.value(v))} for of in (self.loads, self.days))
        best, bound = round(solver.objective_value), int(solver.best_objective_bound + 1e-6)
        return Chosen(loads, days, best, bound, status == "OPTIMAL")


def _put_off(model: _Model, lines: tuple[PutUpLine, ...], best: Chosen) -> list[Any]:
    """Loads of which the crop was in a week before and that still wait, week by week: what is picked does not keep."""
    out = []
    for line in lines:
        for before, week in pairwise(weeks_of(line)):
            in_then = line.in_by(before) * best.of(line.product) // line.loads
            if line.comes and in_then:
                waits = model.model.new_int_var(0, in_then, "")
                done = sum(model.loads[line.product, w] for w in weeks_of(line) if w <= week)
                model.model.add(waits >= in_then - done)
                out.append(waits)
    return out


def _calm(lines: tuple[PutUpLine, ...], limits: SeasonLimits, best: Chosen, seed: int, seconds: float) -> Chosen:
    """The same worth in calmer weeks: the least busy fullest week, then fewer days at the canner."""
    model = _Model(lines, limits)
    model.model.add(model.total >= best.worth)
    hours = next((limit for limit in limits.limits if limit.name == "kitchen hours"), None)
    peak = model.model.new_int_var(0, 10**6, "")
    if hours is not None:
        for week in hours.have:
            model.model.add(sum(model.spent(hours, week)) <= peak)
    first_week = min(week for _, week in model.loads)
    by_name = {line.product: line for line in lines}
    later = [
        var * ((week - first_week).days // 7)
        for (product, week), var in model.loads.items()
        if by_name[product].way != "canner"  # what goes through no canner is done as soon as it comes
    ]
    late = _put_off(model, lines, best)
    model.model.minimize(peak + 20 * sum(model.days.values()) + sum(later) + 30 * sum(late))
    for key, var in model.loads.items():
        model.model.add_hint(var, best.loads.get(key, 0))
    calm = model.solve(seed, min(seconds, 5.0))
    return replace(best, loads=calm.loads, days=calm.days) if calm.loads else best
