"""What would mend a clash: one rule relaxed by so much, or one purchase; each tried by solving again."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from fractions import Fraction
from itertools import pairwise

import numpy as np

from pantrymeals.larder.evenness import on_shelf
from pantrymeals.larder.table import weekday
from pantrymeals.menu.clash.switches import HARD, LOOSE, Kind, Rule, Switched, held, taken_of
from pantrymeals.menu.clash.words import day_of, gap_of, on_day, so_many
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.problem import Candidate, menu_problem
from pantrymeals.plans.menu import Mending, MendingStep
from pantrymeals.records import Arrival, Dish, Household, HouseRules
from pantrymeals.solving.linear_model import Arrays, arrays
from pantrymeals.solving.solvers import Found, run_highs
from pantrymeals.words import long_day, plural, sentence


@dataclass(frozen=True, slots=True)
class Kitchen:
    """A household and what is asked of it: what a mending changes."""

    household: Household
    request: MenuRequest


@dataclass(frozen=True, slots=True)
class Shown:
    """A menu that a switched model found when some rules gave way: what mendings are read from."""

    switched: Switched
    x: np.ndarray

    @property
    def chosen(self) -> list[Candidate]:
        """The dishes cooked."""
        model = self.switched.model
        return [c for i, c in enumerate(self.switched.problem.candidates) if self.x[model.cook[i]] > 0.5]

    def main_on(self, day: int) -> str:
        """The supper's main of a day."""
        tables = self.switched.problem.tables
        mains = [
            c.dish.name for c in self.chosen
            if c.day == day and c.role == "main" and tables[c.table].meal == "supper"
        ]  # fmt: skip
        return mains[0] if mains else ""


Edit = Callable[[Kitchen, Shown, Rule, int], tuple[Kitchen, MendingStep]]


def step_for(kitchen: Kitchen, shown: Shown, rule: Rule, by: int) -> tuple[Kitchen, MendingStep]:
    """The kitchen with one rule relaxed or one thing bought, and the step in words."""
    return _EDITS[rule.kind](kitchen, shown, rule, by)


def _rules(kitchen: Kitchen, rules: HouseRules, said: str) -> tuple[Kitchen, MendingStep]:
    household = replace(kitchen.household, rules=rules)
    return replace(kitchen, household=household), MendingStep("rule", sentence(said))


def _at_most(kitchen: Kitchen, _shown: Shown, rule: Rule, by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    most = rules.at_most[rule.what]
    changed = replace(rules, at_most={**rules.at_most, rule.what: most + by})
    more = "one more dish" if by == 1 else f"{by} more dishes"
    return _rules(kitchen, changed, f"allow {more} with {rule.what} in seven days: {most + by} instead of {most}")


def _at_least(kitchen: Kitchen, _shown: Shown, rule: Rule, by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    least = rules.at_least[rule.what]
    changed = replace(rules, at_least={**rules.at_least, rule.what: max(0, least - by)})
    fewer = "one main fewer" if by == 1 else f"{by} mains fewer"
    return _rules(kitchen, changed, f"be content with {fewer} of {rule.what} that week")


def _not_running(kitchen: Kitchen, _shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    changed = replace(rules, not_running=rules.not_running - {rule.what})
    return _rules(kitchen, changed, f"let {rule.what} come two days running, this once")


def _not_twice(kitchen: Kitchen, _shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    changed = replace(rules, not_twice=rules.not_twice - {rule.what})
    return _rules(kitchen, changed, f"let {rule.what} come twice in one meal, this once")


def _not_twice_a_day(kitchen: Kitchen, _shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    changed = replace(rules, not_twice_a_day=rules.not_twice_a_day - {rule.what})
    return _rules(kitchen, changed, f"let {rule.what} come twice in one day, this once")


def _minutes(kitchen: Kitchen, shown: Shown, rule: Rule, by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    day = day_of(shown.switched.problem, rule.day)
    limits = {**rules.hands_on_minutes}
    limits[weekday(day)] = limits[weekday(day)] + by
    changed = replace(rules, hands_on_minutes=limits)
    return _rules(kitchen, changed, f"give {long_day(day)} {by} more minutes of hands-on work")


def _longest(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    rules = kitchen.household.rules
    day = day_of(shown.switched.problem, rule.day)
    slow = max((c.dish for c in shown.chosen if c.day == rule.day), key=lambda d: d.minutes)
    changed = replace(rules, longest_minutes={**rules.longest_minutes, weekday(day): slow.minutes})
    return _rules(kitchen, changed, f"let a dish take {slow.minutes} minutes on {long_day(day)} ({slow.name})")


def _with_dishes(kitchen: Kitchen, dishes: Iterable[Dish], said: str) -> tuple[Kitchen, MendingStep]:
    household = kitchen.household
    changed = {**household.dishes, **{d.name: d for d in dishes}}
    return replace(kitchen, household=replace(household, dishes=changed)), MendingStep("rule", sentence(said))


def _repeats(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    """The dish again after as few days as the menu found needs."""
    days = sorted(
        [c.day for c in shown.chosen if c.dish.name == rule.what]
        + [d for d, dish, _ in shown.switched.problem.recent if dish == rule.what]
    )
    gap = min((b - a for a, b in pairwise(days)), default=gap_of(kitchen.household, rule.what))
    dish = replace(kitchen.household.dishes[rule.what], days_between=gap)
    if not gap:
        return _with_dishes(kitchen, [dish], f"let {rule.what} come twice on one day")
    usual = gap_of(kitchen.household, rule.what)
    return _with_dishes(kitchen, [dish], f"let {rule.what} come again after {plural(gap, 'day')} instead of {usual}")


def _together(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    there = [c.dish for c in shown.chosen if c.day == rule.day]
    odd = [
        (a, b) for a in there for b in there
        if a is not b and (b.name in a.not_with or a.not_with & b.tags)
    ]  # fmt: skip
    freed = [replace(a, not_with=frozenset()) for a, _ in odd]
    pairs = " and ".join(f"{a.name} beside {b.name}" for a, b in odd[:2])
    return _with_dishes(kitchen, freed, f"put up with {pairs} on {on_day(shown.switched.problem, rule.day)}")


def _fixed_night(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    """Another main on that one night: a dish asked for goes before the fixed night."""
    day = day_of(shown.switched.problem, rule.day)
    main = shown.main_on(rule.day)
    pin = Pin(day, main, "supper")
    request = replace(kitchen.request, pinned=(*kitchen.request.pinned, pin))
    said = f"let {long_day(day)} be something other than {rule.what}: {main} fits"
    return replace(kitchen, request=request), MendingStep("rule", sentence(said))


def _pinned(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    first = shown.switched.problem.request.first
    pins = tuple(
        p for p in kitchen.request.pinned
        if p.dish != rule.what or (rule.day >= 0 and (p.day - first).days != rule.day)
    )  # fmt: skip
    step = MendingStep("rule", sentence(f"do without {rule.what} where you asked for it"))
    return replace(kitchen, request=replace(kitchen.request, pinned=pins)), step


def _feast(kitchen: Kitchen, shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    day = day_of(shown.switched.problem, rule.day)
    main = shown.main_on(rule.day)
    occasions = tuple(
        replace(o, dish=main) if o.dish == rule.what and o.first <= day <= o.last else o
        for o in kitchen.household.occasions
    )
    household = replace(kitchen.household, occasions=occasions)
    said = f"keep the feast of {long_day(day)} with {main} instead of {rule.what}"
    return replace(kitchen, household=household), MendingStep("rule", sentence(said))


def _left_out(kitchen: Kitchen, _shown: Shown, rule: Rule, _by: int) -> tuple[Kitchen, MendingStep]:
    request = replace(kitchen.request, banned=kitchen.request.banned - {rule.what})
    return replace(kitchen, request=request), MendingStep("rule", sentence(f"let {rule.what} stand after all"))


def _stock(kitchen: Kitchen, shown: Shown, rule: Rule, by: int) -> tuple[Kitchen, MendingStep]:
    """So many containers bought, at the latest on the day that the menu found runs short of them."""
    product = kitchen.household.products[rule.what]
    number = _day_short(kitchen, shown, rule.what)
    day = kitchen.request.first + timedelta(days=max(0, number - product.thaw_days))
    content = product.sizes[0].content
    coming = Arrival(rule.what, by * content, day, "bought")
    household = replace(kitchen.household, arrivals=(*kitchen.household.arrivals, coming))
    said = f"buy or barter {so_many(product, Fraction(by))} by {long_day(day)}"
    if product.price_usd is not None:
        said += f" (about ${float(product.price_usd * by):.2f} in the store)"
    step = MendingStep("purchase", sentence(said), product.name, by * content, day)
    return replace(kitchen, household=household), step


def _day_short(kitchen: Kitchen, shown: Shown, name: str) -> int:
    """The first day on which the menu found has taken more of a product than is really there."""
    out = shown.switched
    index = next(i for i, g in enumerate(out.problem.stocks) if g.name == name)
    stock = out.problem.stocks[index]
    truth = held(kitchen.household, kitchen.request, stock, on_shelf(kitchen.household)[name])
    taken = [0] * out.problem.days
    for day, col, grains in taken_of(out, index, stock):
        taken[day] += grains * round(shown.x[col])
    total = 0
    for day, grains in enumerate(taken):
        total += grains
        if total > truth.supply[day] - truth.standing[day]:
            return day
    return 0


_EDITS: Mapping[Kind, Edit] = {
    "at most": _at_most,
    "at least": _at_least,
    "not running": _not_running,
    "not twice": _not_twice,
    "not twice a day": _not_twice_a_day,
    "minutes": _minutes,
    "longest": _longest,
    "repeats": _repeats,
    "together": _together,
    "fixed night": _fixed_night,
    "pinned": _pinned,
    "feast": _feast,
    "left out": _left_out,
    "stock": _stock,
}


def mending(kitchen: Kitchen, shown: Shown, rules: Mapping[Rule, int], fill: bool, seconds: float) -> Mending:
    """The mending in words, tried by solving again with the household changed so."""
    changed = kitchen
    steps = []
    for rule, by in sorted(rules.items()):
        changed, step = step_for(changed, shown, rule, by)
        steps.append(step)
    nights = {(r.day, r.what) for r in _nights_kept(shown.switched, rules)}
    works = whole_menu(changed, set(shown.switched.empty), fill, seconds, shown, nights)
    said = " And: ".join(step.said for step in steps)
    return Mending(tuple(steps), said, works)


def _nights_kept(out: Switched, rules: Mapping[Rule, int]) -> list[Rule]:
    return [rule for rule in out.switch if rule.kind == "fixed night" and rule not in rules]


def whole_menu(
    kitchen: Kitchen,
    empty: set[tuple[int, str]],
    fill: bool,
    seconds: float,
    shown: Shown | None = None,
    nights: set[tuple[int, str]] | None = None,
) -> bool:
    """Whether a menu keeps every rule of this kitchen, with every place filled when ``fill``.

    empty: places that nothing can fill. shown: a menu to try first. nights: (day, tag) of fixed nights
    that may not be waived. False too when the time is up before any menu is found.
    """
    until = time.monotonic() + seconds
    problem = menu_problem(kitchen.household, kitchen.request)
    if nights and any(waived in nights for waived in problem.waived):
        return False
    model = build(problem, {}, (*HARD, *LOOSE))
    linear = replace(arrays(model.linear), cost=np.zeros(model.linear.width), fixed_cost=0.0)
    if fill:
        for place, col in model.open.items():
            if place not in empty:
                linear.hi[col] = 0
    if shown is not None:
        same = {(c.table, c.dish.name) for c in shown.chosen}
        as_shown = replace(linear, lo=linear.lo.copy(), hi=linear.hi.copy())
        there = 0
        for i, c in enumerate(problem.candidates):
            wanted = (c.table, c.dish.name) in same
            there += wanted
            as_shown.hi[model.cook[i]] = min(wanted, as_shown.hi[model.cook[i]])
        if there == len(same) and _any(as_shown, until - time.monotonic()):
            return True
    return _any(linear, until - time.monotonic())


def _any(linear: Arrays, seconds: float) -> bool:
    """Whether some decision keeps every row."""
    found = Found()
    run_highs(linear, found, threading.Event(), max(0.2, seconds))
    return found.x is not None
