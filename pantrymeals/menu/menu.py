"""Menus from the shelf: one question in, one menu with its proof out."""

from __future__ import annotations

import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
from msgspec.structs import replace

from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.errors import NoMenuFits, PantryError
from pantrymeals.larder.table import hands_on_limit, weekday
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.feast_leavings import with_leavings_named
from pantrymeals.menu.idle_rules import rules_of_nothing
from pantrymeals.menu.long.long_menu import long_menu
from pantrymeals.menu.reading import read_plan
from pantrymeals.menu.reasons import with_reasons
from pantrymeals.menu.request import (
    DAYS_IN_ONE_PIECE,
    ENOUGH_SECONDS,
    FIRST_SECONDS,
    PATIENCE_SECONDS,
    MenuRequest,
    NobodyWatching,
    Watch,
)
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.cost import WEEK
from pantrymeals.menu.week.model import MISSED_POINTS, POINT, MenuModel
from pantrymeals.menu.week.pace import bands_at, common_pace
from pantrymeals.menu.week.problem import MenuProblem, dishes_of_occasions, giving_way, menu_problem, nights_asked
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.menu.while_fresh import with_why_opened
from pantrymeals.plans.menu import MenuPlan, NotSettled
from pantrymeals.records import Dish, Household, Product, in_span
from pantrymeals.solving.filling import fill
from pantrymeals.solving.lanes import by_work, side_by_side
from pantrymeals.solving.linear_model import Arrays, arrays, hopeless_rows
from pantrymeals.solving.solvers import Found, linear_relaxation
from pantrymeals.words import capital, listed, long_day, plural, short_day

CLOCK_CUT_IN = (
    "The machine was busy: the clock ended this search before its work was done, so the same seed may give another "
    "menu next time."
)
FAR_AHEAD_DAYS = 14
"""A menu that begins later than so after the count it is cooked from says so."""

NOTHING_FITS = "no menu keeps all the house rules and what was asked for"


def plan_menu(household: Household, asked: MenuRequest, watch: Watch | None = None) -> MenuPlan:
    """The best menu found for the days asked, with its bound.

    Raises NoMenuFits when no menu keeps the household's rules, naming those that clash.
    """
    watch = watch or NobodyWatching()
    begun = time.monotonic()
    problem = menu_problem(household, asked)
    long = asked.days > DAYS_IN_ONE_PIECE
    plan = _by_the_long_way(problem, watch, begun) if long else _in_one_week(problem, watch, begun)
    whole = with_batch_days(household, plan) if asked.batch_days else plan
    return with_notes(household, with_reasons(household, with_lots(household, whole)))


def with_notes(household: Household, plan: MenuPlan) -> MenuPlan:
    """The finished plan with notes on what is gone to while something fresh is there, and on what a feast leaves."""
    return with_leavings_named(household, with_why_opened(household, plan))


def _in_one_week(problem: MenuProblem, watch: Watch, begun: float) -> MenuPlan:
    """One piece, its promises kept; where a menu that misses one more could cost less, once more with these giving way.

    Promises are fixed nights and weekly tags. It can be only where the first costs as much as missing one alone.
    """
    first: MenuPlan | NoMenuFits
    try:
        first = _in_one_piece(problem, watch, begun)
    except NoMenuFits as found:
        first = found
    promised = nights_asked(problem) or (problem.household.rules.at_least and problem.days >= WEEK)
    least = MISSED_POINTS + (dict(first.parts).get("missed", 0.0) if isinstance(first, MenuPlan) else 0.0)
    if not promised or (isinstance(first, MenuPlan) and (first.cost <= least or watch.stopped())):
        return _or_raise(first)
    if isinstance(first, MenuPlan) and not first.open_roles and first.ended != "proven":
        missing = _where_one_is_missed(problem, first.pace)
        return _bounded(first, min(first.bound, max(least, missing)), problem.request.gap)
    try:
        second = _in_one_piece(giving_way(problem), watch, time.monotonic())
    except NoMenuFits:
        return _or_raise(first)
    except PantryError:  # time was up: it is not known that none fits
        if isinstance(first, MenuPlan):
            return first
        raise
    if isinstance(first, NoMenuFits) or second.cost < first.cost:
        return replace(second, seconds=time.monotonic() - begun)
    bound = first.cost if second.ended == "proven" else min(first.bound, second.bound)
    whole = _bounded(first, bound, problem.request.gap)
    return replace(
        whole, ended=whole.ended if whole.ended == "proven" else second.ended, seconds=time.monotonic() - begun
    )


def _where_one_is_missed(problem: MenuProblem, pace: Fraction) -> float:
    """What a menu that misses a promise costs at least: the relaxation of those that miss one or more (points)."""
    missing = giving_way(problem)
    model = build(missing, bands_at(missing, pace), PROMISES)
    if not model.missed:
        return float("-inf")
    model.constrain("one at least is missed", [(col, 1) for col in model.missed], lo=1)
    return linear_relaxation(arrays(model.linear), threading.Event()).cost / POINT


def _bounded(plan: MenuPlan, bound: float, most: float) -> MenuPlan:
    """A plan with what no menu, its nights giving way, can cost less than; proven where that is within ``most``."""
    gap = (plan.cost - bound) / max(plan.cost, 1.0)
    ended = plan.ended if gap > most or plan.ended == "proven" else "proven"
    return replace(plan, bound=bound, gap=gap, ended=ended)


def _or_raise(found: MenuPlan | NoMenuFits) -> MenuPlan:
    if isinstance(found, NoMenuFits):
        raise found
    return found


def _by_the_long_way(problem: MenuProblem, watch: Watch, begun: float) -> MenuPlan:
    answer = long_menu(problem, watch, begun)
    if not answer.holds:
        raise _nothing_found(problem, arrays(answer.model.linear), watch)
    gap = (answer.cost - answer.bound) / max(answer.cost, 1.0)
    by_clock = not problem.request.alike or answer.cut_short
    ended = "proven" if gap <= problem.request.gap else "stopped" if watch.stopped() else "time" if by_clock else "work"
    sure = _without(answer.x, answer.not_settled)
    plan = read_plan(
        answer.model,
        answer.x,
        answer.pace,
        answer.bound,
        time.monotonic() - begun,
        ended,
        notes_for(problem) + (CLOCK_CUT_IN,) * answer.cut_short + missed_notes(answer.model, sure),
    )
    return replace(plan, not_settled=_not_settled(answer.model, answer.not_settled))


def _in_one_piece(problem: MenuProblem, watch: Watch, begun: float) -> MenuPlan:
    pace = common_pace(problem)
    model = build(problem, bands_at(problem, pace), PROMISES)
    linear = arrays(model.linear)

    def watching(found: Found) -> bool:
        have = found.x is not None
        watch.progress(
            "the whole menu",
            found.cost / POINT if have else None,
            found.bound / POINT if found.bound > float("-inf") else None,
            None if found.x is None else round(sum(found.x[c] for c in model.open.values())),
        )
        return watch.stopped()

    asked = problem.request
    notes = notes_for(problem)
    if watch.stopped():
        found = Found()
    elif asked.alike:
        days = np.array(model.day_of)
        answer = by_work(linear, asked.seconds, asked.seed, asked.gap, watching, asked.patience, model.places, days)
        found = answer.found
        if answer.cut_short:
            notes += (CLOCK_CUT_IN,)
    else:
        found = side_by_side(
            linear,
            max(asked.seconds - (time.monotonic() - begun), 0.5),
            asked.seed,
            asked.gap,
            model.places,
            np.array(model.day_of),
            watching,
            asked.patience,
        )
    if not found.settled and not found.within(asked.gap):
        enough = FIRST_SECONDS if found.x is None else ENOUGH_SECONDS
        seconds = enough if watch.stopped() else PATIENCE_SECONDS
        fill(found, linear, model.places, model.dishes, found.x, seconds, asked.seed)
    if found.x is None:
        raise NoMenuFits(NOTHING_FITS) if found.infeasible else _nothing_found(problem, linear, watch)
    proven = found.settled or found.within(asked.gap)
    by_clock = not asked.alike or CLOCK_CUT_IN in notes
    ended = "proven" if proven else "stopped" if watch.stopped() else "time" if by_clock else "work"
    bound = max(found.bound, 0.0)  # no wish costs less than nothing
    unsure = frozenset(c for c in model.missed if found.x[c] > 0.5 and found.cost - bound >= MISSED_POINTS * POINT)
    notes += missed_notes(model, _without(found.x, unsure))
    plan = read_plan(model, found.x, pace, bound, time.monotonic() - begun, ended, notes)
    return replace(plan, not_settled=_not_settled(model, unsure))


def _without(x: np.ndarray, cols: frozenset[int]) -> np.ndarray:
    """A decision with nothing in these columns."""
    out = x.copy()
    out[list(cols)] = 0
    return out


def _nothing_found(problem: MenuProblem, linear: Arrays, watch: Watch) -> PantryError:
    """What to say when there is no menu to show: that none fits, where that is sure, or that time was short."""
    if hopeless_rows(linear).size:
        return NoMenuFits(NOTHING_FITS)
    if watch.stopped():
        return PantryError("stopped before a first whole menu was there; it needs a little longer")
    seconds = problem.request.seconds
    return PantryError(f"no menu was found in {seconds:g} seconds; more of them (--seconds) may find one")


def _not_settled(model: MenuModel, cols: frozenset[int]) -> tuple[NotSettled, ...]:
    """Open places and missed promises by their columns, day by day."""
    problem, out = model.problem, []
    for (index, role), col in model.open.items():
        if col in cols:
            table = problem.tables[index]
            out.append(NotSettled(table.day, table.day, role, table.meal))
    for col in cols & model.missed.keys():
        promise = model.missed[col]
        first, last = (problem.request.first + timedelta(days=day) for day in (promise.first, promise.last))
        out.append(NotSettled(first, last, promise.what, of=promise.of))
    return tuple(sorted(out, key=lambda one: (one.first, one.until, one.meal or "", one.what)))


def missed_notes(model: MenuModel, x: np.ndarray) -> tuple[str, ...]:
    """Plain sentences about what a menu had to miss: one for each promise, with its days."""
    first = model.problem.request.first
    missed: dict[tuple[str, bool], list[int]] = defaultdict(list)
    told = (promise for col, promise in model.missed.items() if x[col] > 0.5)
    for promise in sorted(told, key=lambda promise: (promise.last, promise.what)):
        of_weeks = promise.first < promise.last
        what = f"{promise.what} {promise.of}" if promise.of else promise.what if of_weeks else f"'{promise.what}'"
        missed[what, of_weeks].append(promise.last)
    out = []
    for (what, of_weeks), days in missed.items():
        listed = ", ".join(long_day(first + timedelta(days=day)) for day in days)
        when = f"in the week that ends on {listed}" if of_weeks else f"on {listed}"
        out.append(f"No {what} {when}: nothing could stand there without taking from other days.")
    return tuple(out)


_MEANT = {"dairy": "milk", "nuts": "tree nut", "nut": "tree nut", "gluten": "wheat", "eggs": "egg", "salt": "salty"}
"""What a household may say for the mark that its products carry."""


def marks_nothing_carries(household: Household) -> tuple[str, ...]:
    """A sentence for each must-not word that guards nobody, or not from all: no product or dish is marked with it, or
    some are marked with another word for the same."""
    carriers: list[Product | Dish] = [*household.products.values(), *household.dishes.values()]
    marks_by_name = {it.name: {mark.casefold() for mark in it.contents} for it in carriers}
    out = []
    for person in household.people:
        for mark in sorted(person.must_not):
            meant = _MEANT.get(mark.casefold(), "")
            carry = [name for name, marks in marks_by_name.items() if mark.casefold() in marks]
            others = [n for n, marks in marks_by_name.items() if meant in marks and mark.casefold() not in marks]
            head = f"NOT SETTLED: {person.name} must not have '{mark}', and "
            if not carry:
                hint = f"; {meant} is marked here: is that meant?" if others else ""
                out.append(
                    f"{head}nothing here is marked with it, so no dish is kept from {person.name} for it{hint or '.'} "
                    "Mark what has it (contents), or change the word."
                )
            elif others:
                out.append(
                    f"{head}{listed(others, 3)} {'is' if len(others) == 1 else 'are'} marked {meant} alone: is that "
                    f"meant too? Then write {meant} for {person.name}."
                )
    return tuple(out)


def notes_for(problem: MenuProblem) -> tuple[str, ...]:
    """Plain sentences about the whole: must-nots nothing carries, a count long past, roundings, nights not kept."""
    first, today = problem.request.first, problem.household.today
    notes = [*marks_nothing_carries(problem.household), *rules_of_nothing(problem.household)]
    if (first - today).days > FAR_AHEAD_DAYS:
        ahead = plural((first - today).days, "day")
        notes.append(
            f"It is cooked from the shelf of {long_day(today)}, {ahead} before it begins: what is used, comes in or "
            "goes over until then is not in it. Take a count before you cook from it."
        )
    notes += [*_shorter_lives(problem), *_busy_days(problem)]
    rough = [stock.name for stock in problem.stocks if not stock.exact]
    if rough:
        notes.append(
            f"{listed(rough, 4)}: counted in thousandths of a container, for its dishes divide it no other way."
        )
    return (*notes, *_waived_notes(problem))


def _busy_days(problem: MenuProblem) -> Iterator[str]:
    """Days on which some days of the year, such as canning weeks, leave other minutes for the cooking than is usual."""
    rules = problem.household.rules
    for row in rules.during:
        found: dict[int, list[date]] = defaultdict(list)
        for day in dict.fromkeys(table.day for table in problem.tables if not table.kinds):
            its = row.hands_on_minutes.get(weekday(day))
            in_its_days = in_span((day.month, day.day), row.first, row.last)
            if row.name and in_its_days and its is not None and its == hands_on_limit(rules, day):
                found[its].append(day)
        for minutes, days in found.items():
            said = ", ".join(short_day(day) for day in days)
            yield f"{capital(row.name)}: at most {plural(minutes, 'minute')} of hands-on work on {said}."


def _shorter_lives(problem: MenuProblem) -> list[str]:
    """Which opened jars are counted for fewer days than the household wrote, and by whose figure."""
    products = problem.household.products
    names = [s.name for s in problem.stocks if products[s.name].kind == "jar" and products[s.name].opened_source]
    if not names:
        return []
    return [
        f"Opened, home-canned jars are counted for {products[names[0]].opened_days} days (USDA FSIS: three to four for "
        f"any of them), whatever longer or blank opened_days products.csv has: {listed(names, 3)}."
    ]


def _waived_notes(problem: MenuProblem) -> tuple[str, ...]:
    """Fixed nights, and occasions' own dishes, that no dish of these days can be: it is not there, or not thawed."""
    could = {(c.dish.name, c.table) for c in problem.candidates}
    waived = [(day, f"'{tag}'") for day, tag in problem.waived]
    for day, occasion, its_tables in dishes_of_occasions(problem):
        if not any((occasion.dish, table) in could for table in its_tables):
            waived.append((day, f"{occasion.dish} for {occasion.name}"))
    first = problem.request.first
    return tuple(
        f"No {what} can be ready by {long_day(first + timedelta(days=day))}: planned without." for day, what in waived
    )
