"""How good a menu is, in a cook's words: how near the best, what is off its share, what goes over."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import amount_and_name, containers
from pantrymeals.words import listed, plural, sentence, short_day


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
    if plan.gap <= 0.0005:
        best = "No menu under these rules is better."
    else:
        best = f"No menu under these rules can be more than {_percent(plan.gap)} better."
    ended = {
        "proven": "",
        "time": f" The {plan.seconds:.0f} seconds were up; more of them (--seconds) may find it.",
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
    pace = sheet.plan.pace
    tail = ""
    if pace < 1:
        tail = (
            f" The larder holds more than the table can eat: everything is drawn at"
            f" {int(pace * 100)} % of its even pace."
        )
    if not off:
        return "Everything is drawn evenly: every product within a jar of its share." + tail
    named = listed((_off_words(sheet, row) for row in off), 4)
    return f"{plural(len(off), 'product')} off {'its' if len(off) == 1 else 'their'} share: {named}.{tail}"


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
