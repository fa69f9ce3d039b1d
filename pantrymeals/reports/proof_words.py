"""How good a menu is, in a cook's words: how near the best, what is off its share, what goes over."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import amount_and_name, containers
from pantrymeals.words import listed, plural, sentence, short_day

SAME_POINTS = 0.01
"""What is better by less than this is not better to a cook."""


def how_good(sheet: MenuSheet) -> tuple[str, ...]:
    """Plain sentences: the proof, open roles, evenness, what goes over, and the plan's own notes."""
    plan = sheet.plan
    said = [nearness(plan), *open_words(plan), evenness_words(sheet)]
    said += waste_words(sheet)
    said += [sentence(note) for note in plan.notes]
    if not sheet.broken:
        said.append("Checked against your files by a second pair of eyes: every house rule is kept.")
    return tuple(said)


def nearness(plan: MenuPlan) -> str:
    """'No menu under these rules can be more than 1 % better.'"""
    if plan.gap * max(plan.cost, 1.0) < SAME_POINTS:
        best = "No menu under these rules is better."
    else:
        best = f"No menu under these rules can be more than {_percent(plan.gap)} better."
    ended = {
        "proven": "",
        "time": f" The {plan.seconds:.0f} seconds were up; more of them (--seconds) may find it.",
        "work": " The work asked for was done; more of it (--seconds) may find it.",
        "stopped": " You stopped the search; this is the best so far.",
    }[plan.ended]
    return best + ended


def _percent(share: float) -> str:
    """'0.4 %', '3 %', never rounded down to a better claim than was proven."""
    if share < 0.01:
        tenths = -(-share * 1000 // 1)
        return f"{tenths / 10:.1f} %"
    return f"{int(-(-share * 100 // 1))} %"


def open_words(plan: MenuPlan) -> list[str]:
    """A sentence when something had to be left open."""
    if not plan.open_roles:
        return []
    return [f"{plural(plan.open_roles, 'place')} on the menu had to be left open (marked above)."]


def evenness_words(sheet: MenuSheet) -> str:
    """'4 products off their even share: Salsa (1 pt over), ...', and the common pace."""
    off = sorted((row for row in sheet.plan.shares if row.off != 0), key=lambda r: -abs(r.off))
    tail = pace_words(sheet)
    if not off:
        return "Everything is drawn evenly: every product within a usual cooking of its share." + tail
    named = listed((_off_words(sheet, row) for row in off), 4)
    return f"{plural(len(off), 'product')} off {'its' if len(off) == 1 else 'their'} share: {named}.{tail}"


def pace_words(sheet: MenuSheet) -> str:
    """' These meals can follow 85 % of an even hand's pace, so of each share that part is asked for: ...'.

    Nothing is said of a whole pace. What it does is shown of the product of which the most is asked.
    """
    pace = sheet.plan.pace
    if pace >= 1:
        return ""
    said = (
        f" These meals can follow {int(pace * 100)} % of an even hand's pace, so of each share that part is asked for"
    )
    most = max(sheet.plan.shares, key=lambda row: row.share, default=None)
    if most is None or not most.share or not pace:
        return f"{said}."
    product = sheet.household.products.get(most.product)
    whole, asked = (containers(product, Fraction(round(10 * share), 10)) for share in (most.share / pace, most.share))
    return f"{said}: of {most.product} about {asked}, not {whole}."


def _off_words(sheet: MenuSheet, row: ShareRow) -> str:
    over = row.drawn > row.high
    product = sheet.household.products.get(row.product)
    by = row.drawn - row.high if over else row.low - row.drawn
    return f"{row.product} ({containers(product, max(by, Fraction(0)))} {'over' if over else 'under'})"


def waste_words(sheet: MenuSheet) -> list[str]:
    """'Goes over unless you use it: 1/2 pt Salsa by Thu 22 Jan.'"""
    waste = sheet.plan.waste
    if not waste:
        return ["No opened jar goes to waste."]
    parts = [f"{amount_and_name(sheet.household, w.product, w.amount)} ({short_day(w.day)})" for w in waste]
    return [f"Will go over unless someone eats it up: {', '.join(parts)}."]
