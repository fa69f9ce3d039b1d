"""The whole answer when a menu cannot be whole: what clashes, what would mend it, all tried again."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from datetime import timedelta

from msgspec.structs import replace

from pantrymeals.menu.clash.clash import Asking, FoundOut, TimeIsUp, find_out, least
from pantrymeals.menu.clash.mending import mending, rule_said
from pantrymeals.menu.clash.pins import why_not
from pantrymeals.menu.clash.stock import STOCK, switched
from pantrymeals.menu.clash.switches import Switched
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.model import Rule
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules.asked import FIXED_NIGHT, PINNED
from pantrymeals.menu.week.rules.rule import HouseholdAsked, on_day
from pantrymeals.plans.menu import Clash, Mending, WhatClashes
from pantrymeals.records import Household
from pantrymeals.solving.solvers import never
from pantrymeals.words import listed, sentence

LONGEST_DAYS = 14
"""Beyond two weeks the question is left to the long table's own pinches."""

OF_EACH_KIND = 3
"""Most rules, and most purchases, that are offered as mendings."""

TRY_SECONDS = 2.0


def what_clashes(
    household: Household, request: MenuRequest, fill: bool = True, seconds: float = 3.0,
    stopped: Callable[[], bool] = never,
) -> WhatClashes:  # fmt: skip
    """Why no menu fills every place (or, without ``fill``, keeps every rule), and what would mend it.

    stopped: true once the cook has had enough; then what is known is told.
    """
    until = time.monotonic() + seconds
    asked = menu_problem(household, request)
    out = switched(household, asked, fill)
    found = find_out(out, until - time.monotonic(), stopped)
    if found.unsure:
        return WhatClashes("Whether house rules clash was not found out in the time given.", None)
    if found.hopeless:
        return WhatClashes("Even with every rule relaxed and every shelf full, no menu fits.", True)
    empty = _nothing_for(out)
    if found.feasible is not None:
        said = "No house rules clash: a menu with every place filled exists; more --seconds may find it."
        return WhatClashes(f"{empty} {said}".strip(), False) if not empty else WhatClashes(empty, True)
    kitchen = HouseholdAsked(household, request)
    mendings = () if stopped() else tuple(_mendings(kitchen, out, found, fill, until, stopped))
    clashes = tuple(
        _clash(kitchen, out, rules, fewest, _marks_in_it(kitchen, rules, fill, until))
        for rules, fewest in found.clashes
    )
    return WhatClashes(_said(clashes, mendings, empty), True, clashes, mendings)


def _clash(
    kitchen: HouseholdAsked, out: Switched, rules: tuple[Rule, ...], fewest: bool, marks: tuple[str, ...]
) -> Clash:
    ordered = sorted(rules, key=lambda rule: (rule.kind == STOCK, rule.kind != FIXED_NIGHT.kind, rule))
    words = (*(rule_said(kitchen.household, out.problem, rule) for rule in ordered), *marks)
    reasons = [why_not(menu_problem(kitchen.household, kitchen.request), pin) for pin in _pins_in(kitchen, rules)]
    return Clash(words, clash_said(words, fewest, "; ".join(filter(None, reasons))), fewest)


def _pins_in(kitchen: HouseholdAsked, rules: tuple[Rule, ...]) -> list[Pin]:
    """The pins that clash by themselves."""
    (first, *more) = rules
    day = kitchen.request.first + timedelta(days=first.day)
    pins = kitchen.request.pinned if first.kind == PINNED.kind and not more else ()
    return [pin for pin in pins if (pin.dish, pin.day) == (first.what, day)]


def _marks_in_it(kitchen: HouseholdAsked, rules: tuple[Rule, ...], fill: bool, until: float) -> tuple[str, ...]:
    """What somebody must not eat, where these rules would not clash without it: 'Ann must not have pork'.

    Said, never relaxed. Empty too when there is no time to ask.
    """
    marks = [(p.name, mark) for p in kitchen.household.people for mark in sorted(p.must_not)]
    if not marks or not _fits_without(kitchen, marks, rules, fill, until):
        return ()
    return tuple(
        f"{name} must not have {mark}"
        for name, mark in marks
        if _fits_without(kitchen, [(name, mark)], rules, fill, until)
    )


def _fits_without(
    kitchen: HouseholdAsked, marks: list[tuple[str, str]], rules: tuple[Rule, ...], fill: bool, until: float
) -> bool:
    """Whether these rules could be kept, every other one let go, if these marks barred nothing."""
    people = tuple(
        replace(p, must_not=frozenset(m for m in p.must_not if (p.name, m) not in marks))
        for p in kitchen.household.people
    )
    freed = replace(kitchen.household, people=people)
    if time.monotonic() >= until:
        return False
    out = switched(freed, menu_problem(freed, kitchen.request), fill)
    kept = [rule for rule in rules if rule in out.switch]
    others = [rule for rule in out.switch if rule not in kept]
    try:
        return Asking(out, until).fewest(kept, others) is not None
    except TimeIsUp:
        return False


def _nothing_for(out: Switched) -> str:
    """'Nothing in the recipes can be the sweet of Wednesday 21 January.'"""
    if not out.empty:
        return ""
    places = [f"the {role} of {on_day(out.problem, out.problem.table_day[table])}" for table, role in out.empty]
    return f"Nothing in the recipes can be {listed(places, 6)}."


def _mendings(
    kitchen: HouseholdAsked, out: Switched, found: FoundOut, fill: bool, until: float, stopped: Callable[[], bool]
) -> Iterable[Mending]:
    """The smallest mendings of each kind that work when solved again."""
    fewest = len(found.corrections[0].rules)
    count = {"rule": 0, "purchase": 0}
    asking = Asking(out, until)
    for correction in found.corrections:
        if stopped() or len(correction.rules) > fewest:
            continue
        kind = "purchase" if any(r.kind == STOCK for r in correction.rules) else "rule"
        if count[kind] == OF_EACH_KIND:
            continue
        smaller = least(asking, correction, TRY_SECONDS)
        made = mending(kitchen, out, smaller.x, smaller.rules, fill, TRY_SECONDS)
        if made.verified:
            count[kind] += 1
            yield made


def _said(clashes: tuple[Clash, ...], mendings: tuple[Mending, ...], empty: str) -> str:
    parts = [clash.said for clash in clashes]
    if mendings:
        parts.append(f"What would mend it: {mendings[0].said}")
    elif clashes:
        parts.append("No one thing that would mend it was found in the time given.")
    return " ".join([*parts, empty]).strip()


def clash_said(rules: tuple[str, ...], fewest: bool, why: str = "") -> str:
    """'Friday 23 January is flat bread, but there is no Bread flour on the shelf.' why: of a pin by itself."""
    if len(rules) == 1 and why:
        return sentence(f"{rules[0]}, but {why}")
    if len(rules) == 1:
        return sentence(f"{rules[0]}, and no menu fits that")
    head = "" if fewest else "Among others, "
    if len(rules) == 2:
        return sentence(f"{head}{rules[0]}, but {rules[1]}")
    return sentence(f"{head}{'; '.join(rules[:-1])}; and {rules[-1]}: they cannot all be kept")
