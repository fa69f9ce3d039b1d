"""Fits the put-up list into what there is: a model of whole loads, by product and week.

Each load is worth its jars at store prices times the chance that they will be called for. The
model chooses the loads of most worth that keep every limit, proves it, and is solved once more
for every 'one more' to say what that would bring.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from pantrymeals.planning.season.limits import GRAIN, Limit, SeasonLimits, one_more_of, open_days, weeks_of
from pantrymeals.season_plans import (
    Cut,
    DayLoads,
    FittedSeason,
    LimitUse,
    OneMore,
    PutUpLine,
    WeekLoads,
)

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

CENTS = 100
SOLVE_SECONDS = 20.0


@dataclass(frozen=True, slots=True)
class Chosen:
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
    best = model.solve(seed, seconds)
    if not even_weeks or not best.loads:
        return best
    return _calm(lines, limits, best, seed, seconds)


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
        self.borrowed: dict[str, list[tuple[cp_model.IntVar, Fraction]]] = {}
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
        if limit.span == "season":
            spent = [v * limit.takes[p] for (p, _), v in self.loads.items() if p in limit.takes]
            have = next(iter(limit.have.values()))
            if limit.pool:
                extra = self.model.new_int_var(0, 10**7, "")
                self.borrowed.setdefault(limit.pool, []).append((extra, limit.pool_rate))
                self.model.add(sum(spent) <= have + extra)
            else:
                self.model.add(sum(spent) <= have)
            return
        for week, have in limit.have.items():
            self.model.add(sum(self.spent_in(limit, week)) <= have + sum(self._freed(limit, week)))

    def spent_in(self, limit: Limit, week: date) -> list[cp_model.LinearExpr | int]:
        """What is taken of a limit in a week; for a running one, up to and with that week."""
        out: list[cp_model.LinearExpr | int] = []
        for (product, when), loads in self.loads.items():
            if product in limit.takes and (when == week or (limit.span == "running" and when < week)):
                out.append(loads * limit.takes[product])
                if limit.starts.get(product) and (product, when) in self.days:
                    out.append(self.days[product, when] * limit.starts[product])
        return out or [0]

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
            wants = self.borrowed.get(limit.name, [])
            if wants:
                have = next(iter(limit.have.values()))
                self.model.add(sum(v * ceil(rate * 1000) for v, rate in wants) <= have * 1000)

    def solve(self, seed: int, seconds: float) -> Chosen:
        from ortools.sat.python import cp_model

        self.model.maximize(self.total)
        solver = _solver(seed, seconds)
        status = solver.solve(self.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            # jars already spoken for can leave a running limit below nothing: then nothing can be put up
            return Chosen({}, {}, 0, 0, status == cp_model.INFEASIBLE)
        return Chosen(
            {key: solver.value(v) for key, v in self.loads.items() if solver.value(v)},
            {key: solver.value(v) for key, v in self.days.items() if solver.value(v)},
            round(solver.objective_value),
            int(solver.best_objective_bound + 1e-6),
            status == cp_model.OPTIMAL,
        )


def _solver(seed: int, seconds: float) -> cp_model.CpSolver:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.random_seed = seed
    solver.parameters.num_workers = 1  # the same question has the same answer
    return solver


def _calm(
    lines: tuple[PutUpLine, ...], limits: SeasonLimits, best: Chosen, seed: int, seconds: float
) -> Chosen:
    """The same worth in calmer weeks: the least busy fullest week, then fewer days at the canner."""
    model = _Model(lines, limits)
    model.model.add(model.total >= best.worth)
    hours = next((limit for limit in limits.limits if limit.name == "kitchen hours"), None)
    peak = model.model.new_int_var(0, 10**6, "")
    if hours is not None:
        for week in hours.have:
            model.model.add(sum(model.spent_in(hours, week)) <= peak)
    model.model.minimize(peak + 20 * sum(model.days.values()))
    for key, var in model.loads.items():
        model.model.add_hint(var, best.loads.get(key, 0))
    solver = _solver(seed, min(seconds, 5.0))
    from ortools.sat.python import cp_model

    if solver.solve(model.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return best
    return Chosen(
        {key: solver.value(v) for key, v in model.loads.items() if solver.value(v)},
        {key: solver.value(v) for key, v in model.days.items() if solver.value(v)},
        best.worth,
        best.bound,
        best.proven,
    )


def fit_season(
    lines: Iterable[PutUpLine], limits: SeasonLimits, flats: Mapping[str, int], wide_share: Fraction,
    seed: int = 1, seconds: float = SOLVE_SECONDS,
) -> FittedSeason:  # fmt: skip
    """The list within the limits, with its calendar, its cuts, and what one more of each thing would bring."""
    lines = tuple(lines)
    began = time.monotonic()
    chosen = choose_loads(lines, limits, seed, seconds, even_weeks=True)
    loads = {line.product: chosen.of(line.product) for line in lines}
    cuts = _cuts(lines, loads, limits, chosen)
    more = _one_more(lines, limits, chosen, seed, seconds) if cuts else ()
    return FittedSeason(
        weeks=tuple(
            WeekLoads(week, product, n)
            for (product, week), n in sorted(chosen.loads.items(), key=lambda kv: (kv[0][1], kv[0][0]))
        ),
        days=deal_days(lines, chosen, limits.most_loads_a_day, limits.canning_days),
        loads=loads,
        cuts=cuts,
        uses=_uses(limits, chosen),
        one_more=more,
        flats_to_buy=flats_to_buy(lines, loads, flats, wide_share),
        worth=chosen.worth,
        bound=chosen.bound,
        proven=chosen.proven,
        seconds=time.monotonic() - began,
        hours_by_week=_hours_by_week(limits, chosen),
    )


def taken_of(limit: Limit, chosen: Chosen, week: date | None = None) -> int:
    """Hundredths of a limit that the chosen loads take: in all, or in (up to, if running) one week."""
    total = 0
    for (product, when), loads in chosen.loads.items():
        if week is not None and when != week and not (limit.span == "running" and when < week):
            continue
        total += loads * limit.takes.get(product, 0)
        total += chosen.days.get((product, when), 0) * limit.starts.get(product, 0)
    return total


def freed_of(limit: Limit, chosen: Chosen, week: date) -> int:
    """Hundredths of a running limit that come free of new jars by a week."""
    total = 0
    for product, by_week in limit.freed.items():
        put_up = sum(n for (p, w), n in chosen.loads.items() if p == product and w <= week)
        total += min(by_week.get(week, 0), put_up * limit.takes[product])
    return total


def _uses(limits: SeasonLimits, chosen: Chosen) -> tuple[LimitUse, ...]:
    """Each limit at its tightest: the season's, or the week in which least is left."""
    out = []
    for limit in limits.limits:
        if limit.name == "free ground":
            continue
        if limit.span == "season":
            have, taken = next(iter(limit.have.values())), taken_of(limit, chosen)
        else:
            pairs = [(have + freed_of(limit, chosen, w), taken_of(limit, chosen, w)) for w, have in limit.have.items()]
            have, taken = min(pairs, key=lambda pair: pair[0] - pair[1])
        out.append(LimitUse(limit.name, Fraction(have, GRAIN), Fraction(taken, GRAIN), limit.unit))
    return tuple(out)


def _hours_by_week(limits: SeasonLimits, chosen: Chosen) -> dict[date, tuple[Fraction, Fraction]]:
    hours = next((limit for limit in limits.limits if limit.name == "kitchen hours"), None)
    if hours is None:
        return {}
    weeks = sorted({week for _, week in chosen.loads})
    return {
        w: (Fraction(taken_of(hours, chosen, w), GRAIN), Fraction(hours.have[w], GRAIN)) for w in weeks
    }


def _cuts(
    lines: tuple[PutUpLine, ...], loads: Mapping[str, int], limits: SeasonLimits, chosen: Chosen
) -> tuple[Cut, ...]:
    """Loads wanted and not fitted, those least likely to be missed first."""
    out = []
    for line in lines:
        short = line.loads - loads[line.product]
        if short <= 0:
            continue
        missed = line.chances[loads[line.product] : line.loads]
        chance = sum(missed) / len(missed) if missed else 0.0
        points = sum(load_worth(line, n) for n in range(loads[line.product], line.loads))
        jars = short * line.load
        out.append(
            Cut(line.product, line.size, short, jars, chance, points / jars, _short_of(line, limits, chosen))
        )
    return tuple(sorted(out, key=lambda cut: (cut.points_a_jar, cut.product)))


def _short_of(line: PutUpLine, limits: SeasonLimits, chosen: Chosen) -> str:
    """Which limits leave no room for one more load of it in any of its weeks."""
    weeks, out = weeks_of(line), []
    for limit in limits.limits:
        need = limit.takes.get(line.product, 0)
        if not need:
            continue
        if limit.pool:
            if taken_of(limit, chosen) + need > next(iter(limit.have.values())):
                out.append(f"{limit.name}, and no free ground beside them")
            continue
        if limit.span == "season":
            full = taken_of(limit, chosen) + need > next(iter(limit.have.values()))
        elif limit.span == "week":
            full = all(taken_of(limit, chosen, w) + need > limit.have[w] for w in weeks)
        else:
            full = all(
                any(
                    taken_of(limit, chosen, w) + need > h + freed_of(limit, chosen, w)
                    for w, h in limit.have.items()
                    if w >= start
                )
                for start in weeks
            )
        if full:
            out.append(limit.name)
    return " and ".join(out) if out else "the limits together"


def _one_more(
    lines: tuple[PutUpLine, ...], limits: SeasonLimits, chosen: Chosen, seed: int, seconds: float
) -> tuple[OneMore, ...]:
    """What one step more of each limit would bring; of hours, in each week that is nearly full."""
    out = []
    for limit in limits.limits:
        if not limit.step:
            continue
        weeks: Sequence[date | None] = [None]
        if limit.span == "week":
            cut = [line for line in lines if chosen.of(line.product) < line.loads and line.product in limit.takes]
            room = max(limit.takes.values(), default=0) + max(limit.starts.values(), default=0) + limit.step
            weeks = sorted(
                {w for line in cut for w in weeks_of(line) if limit.have[w] < taken_of(limit, chosen, w) + room}
            )
        for week in weeks:
            better = choose_loads(lines, one_more_of(limits, limit.name, week), seed, seconds)
            words = limit.step_words + (f" in the week of {week.isoformat()}" if week else "")
            out.append(_compared(words, lines, chosen, better))
    if any(line.way == "canner" for line in lines):
        more = SeasonLimits(limits.limits, limits.most_loads_a_day + 1, limits.canning_days)
        words = f"{more.most_loads_a_day} loads a day instead of {limits.most_loads_a_day}"
        out.append(_compared(words, lines, chosen, choose_loads(lines, more, seed, seconds)))
    return tuple(sorted(out, key=lambda item: -item.gain))


def _compared(
    words: str, lines: tuple[PutUpLine, ...], now: Chosen, better: Chosen
) -> OneMore:
    jars = tuple(
        (line.product, line.size, (better.of(line.product) - now.of(line.product)) * line.load)
        for line in lines
        if better.of(line.product) != now.of(line.product)
    )
    return OneMore(words, better.worth - now.worth, jars, now.proven and better.proven)


def flats_to_buy(
    lines: Iterable[PutUpLine], loads: Mapping[str, int], have: Mapping[str, int], wide_share: Fraction
) -> dict[str, int]:
    """Flat lids to buy, by kind: what the chosen jars take in the household's own mix, less those on hand."""
    jars = sum(loads.get(line.product, 0) * line.load for line in lines if line.flats)
    wide = ceil(jars * wide_share)
    return {
        "regular": max(0, jars - wide - have.get("regular", 0)),
        "wide": max(0, wide - have.get("wide", 0)),
    }


def deal_days(
    lines: Iterable[PutUpLine], chosen: Chosen, most_a_day: int, canning_days: int
) -> tuple[DayLoads, ...]:
    """Loads laid on days: one product to a canning day, evenly over its days, within the crop's days.

    Freezing and binning go on the crop's first day of that week; they need no canner.
    """
    by_name = {line.product: line for line in lines}
    out: list[DayLoads] = []
    for week in sorted({w for _, w in chosen.loads}):
        ours = {p: n for (p, w), n in chosen.loads.items() if w == week}
        on_days = _earliest_last_first(
            {p: chosen.days[p, week] for p in ours if (p, week) in chosen.days}, by_name, week, canning_days
        )
        for product, loads in ours.items():
            days = sorted(on_days.get(product, ()))
            if not days:
                out.append(DayLoads(max(week, by_name[product].first), product, loads))
            for index, day in enumerate(days):
                share = loads // len(days) + (1 if index < loads % len(days) else 0)
                out.append(DayLoads(day, product, min(share, most_a_day)))
    return tuple(sorted(out, key=lambda item: (item.day, item.product)))


def _earliest_last_first(
    wanted: Mapping[str, int], by_name: Mapping[str, PutUpLine], week: date, canning_days: int
) -> dict[str, list[date]]:
    """A day each for so many canning days a product: day by day, the crop that ends soonest goes first."""
    left, out = dict(wanted), {product: list[date]() for product in wanted}
    for offset in range(canning_days):
        day = week + timedelta(days=offset)
        waiting = [p for p, n in left.items() if n and by_name[p].first <= day <= by_name[p].last]
        if waiting:
            product = min(waiting, key=lambda p: (by_name[p].last, p))
            out[product].append(day)
            left[product] -= 1
    return out
