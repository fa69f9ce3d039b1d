"""The whole answer when a menu cannot be whole: what clashes, what would mend it, all tried again."""

from __future__ import annotations

import time
from collections.abc import Iterable

from pantrymeals.planning.clash import Asking, Correction, FoundOut, find_out, least
from pantrymeals.planning.clash_words import clash_said, listed, on_day, rule_said
from pantrymeals.planning.mending import Kitchen, Shown, mending
from pantrymeals.planning.problem import menu_problem
from pantrymeals.planning.request import MenuRequest
from pantrymeals.planning.switches import Rule, Switched, switched
from pantrymeals.plans import Clash, Mending, WhatClashes
from pantrymeals.records import Household

LONGEST_DAYS = 14
"""Beyond two weeks the question is left to the long table's own pinches."""

OF_EACH_KIND = 3
"""Most rules, and most purchases, that are offered as mendings."""

TRY_SECONDS = 2.0


def what_clashes(
    household: Household, request: MenuRequest, fill: bool = True, seconds: float = 3.0
) -> WhatClashes:
    """Why no menu fills every place (or, without ``fill``, keeps every rule), and what would mend it."""
    until = time.monotonic() + seconds
    out = switched(household, request, fill)
    found = find_out(out, until - time.monotonic())
    if found.unsure:
        return WhatClashes("Whether house rules clash was not found out in the time given.", None)
    if found.hopeless:
        return WhatClashes("Even with every rule relaxed and every shelf full, no menu fits.", True)
    empty = _nothing_for(out)
    if found.feasible is not None:
        said = "No house rules clash: a menu with every place filled exists; more --seconds may find it."
        return WhatClashes(f"{empty} {said}".strip(), False) if not empty else WhatClashes(empty, True)
    kitchen = Kitchen(household, request)
    mendings = tuple(_mendings(kitchen, out, found, fill, until))
    clashes = tuple(_clash(kitchen, out, rules, fewest) for rules, fewest in found.clashes)
    return WhatClashes(_said(clashes, mendings, empty), True, clashes, mendings)


def _clash(kitchen: Kitchen, out: Switched, rules: tuple[Rule, ...], fewest: bool) -> Clash:
    ordered = sorted(rules, key=lambda rule: (rule.kind == "stock", rule.kind != "fixed night", rule))
    words = tuple(rule_said(kitchen.household, out.problem, rule) for rule in ordered)
    return Clash(words, clash_said(words, fewest), fewest)


def _nothing_for(out: Switched) -> str:
    """'Nothing in the recipes can be the sweet of Wednesday 21 January.'"""
    if not out.empty:
        return ""
    places = [
        f"the {role} of {on_day(out.problem, out.problem.table_day[table])}" for table, role in out.empty
    ]
    return f"Nothing in the recipes can be {listed(places)}."


def _mendings(
    kitchen: Kitchen, out: Switched, found: FoundOut, fill: bool, until: float
) -> Iterable[Mending]:
    """The smallest mendings of each kind that work when solved again."""
    fewest = len(found.corrections[0].rules)
    count = {"rule": 0, "purchase": 0}
    waived = _waived(kitchen)
    asking = Asking(out, until)
    for correction in found.corrections:
        if len(correction.rules) > fewest or waived & correction.rules.keys() == correction.rules.keys():
            continue
        kind = "purchase" if any(r.kind == "stock" for r in correction.rules) else "rule"
        if count[kind] == OF_EACH_KIND:
            continue
        made = _one(kitchen, out, asking, correction, fill)
        if made.verified:
            count[kind] += 1
            yield made


def _one(kitchen: Kitchen, out: Switched, asking: Asking, correction: Correction, fill: bool) -> Mending:
    smaller = least(asking, correction, TRY_SECONDS)
    return mending(kitchen, Shown(out, smaller.x), smaller.rules, fill, TRY_SECONDS)


def _waived(kitchen: Kitchen) -> set[Rule]:
    """Fixed nights that the planner lets go by itself, since no dish can keep them."""
    return {
        Rule("fixed night", tag, day) for day, tag in menu_problem(kitchen.household, kitchen.request).waived
    }


def _said(clashes: tuple[Clash, ...], mendings: tuple[Mending, ...], empty: str) -> str:
    parts = [clash.said for clash in clashes]
    if mendings:
        parts.append(f"What would mend it: {mendings[0].said}")
    elif clashes:
        parts.append("No one thing that would mend it was found in the time given.")
    return " ".join([*parts, empty]).strip()
