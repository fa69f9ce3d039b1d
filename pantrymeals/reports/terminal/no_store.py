"""The rehearsal of a month without the store, as a cook reads it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.plans.no_store import Pinch, Rehearsal
from pantrymeals.reports.lasts_words import lasts_words
from pantrymeals.reports.no_store_words import (
    about,
    list_words,
    must_go_words,
    one_more_of,
    one_more_words,
    run_words,
    same_items,
    staple_words,
)
from pantrymeals.reports.proof_words import how_good
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.menu import in_order, write_faults, write_unsettled
from pantrymeals.reports.terminal.no_store_ending import write_unpriced
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.units import UNITS
from pantrymeals.words import listed, near_day, plural, priced, short_day, span, the_house

_MOST_STAPLES = 6
_PARTS = (
    "dark green", "red and orange", "legumes", "starchy", "other vegetables", "seafood", "meats, poultry, eggs",
)  # fmt: skip
"""Groups that are parts of the group before them."""


def write_no_store(paper: Paper, found: Rehearsal, menu: MenuSheet, broken: Sequence[str]) -> None:
    """The whole rehearsal: rules, what runs out, how long, what to let in, the table, food and money.

    broken: what the checker finds, in its menu and those of the days until then.
    """
    plan = found.plan
    table = f"rehearsed for {the_house(found.household.name)} table"
    paper.line((f"{plural(plan.days, 'day')} without the store, {table}", "bold"))
    paper.line(span(plan.first, plan.last))
    paper.line((lasts_words(found.cover), "bold"))
    write_unsettled(paper, menu)
    write_faults(paper, tuple(broken))
    _rules(paper, found)
    _pinches(paper, found)
    _longest(paper, found)
    _lists(paper, found)
    _one_more(paper, found)
    paper.heading("Suppers that use what must go")
    for text in must_go_words(found):
        paper.line(text)
    _table(paper, found)
    _food(paper, found)
    _money(paper, found)
    paper.heading("How good this menu is")
    for text in how_good(menu, fed=False):  # what is eaten stands in the table above
        paper.line(text)


def _rules(paper: Paper, found: Rehearsal) -> None:
    paper.heading("The rules")
    coming = listed([*found.allowed, *found.plain_words]) or "nothing"
    paper.line(f"Nothing from a store. Allowed: {coming}.")
    paper.line("What hens, does, garden, oven and barter bring comes in.")
    paper.line("Reserve, held lots and seed stay put.")
    if found.kept_out:
        names = dict.fromkeys(a.product for a in found.kept_out)
        paper.line(f"Not coming in these days, being orders: {listed(names, 8)}.")
    if found.before:
        days = plural(sum(plan.days for plan in found.before), "day")
        paper.line(f"The {days} until then are planned too, and their food is off the shelves first.")
        opened = sum(plan.open_roles for plan in found.before)
        if opened:
            places = plural(opened, "place")
            paper.line(f"{places} of those days stayed open, so the shelves here are a little too full.")
    for text in found.announced:
        paper.line(text)


def _pinches(paper: Paper, found: Rehearsal) -> None:
    now = [p for p in found.pinches if p.kind != "later share"]
    later = [p for p in found.pinches if p.kind == "later share"]
    paper.heading("What runs out, and on which day")
    if not now:
        paper.line("Nothing runs out in these days.")
    for alike in _told_alike(now):
        _pinch(paper, found, alike, "")
    if later:
        paper.heading("Eaten out of a later month's share")
        for alike in _told_alike(later):
            _pinch(paper, found, alike, "gone about ")


def _told_alike(pinches: Iterable[Pinch]) -> list[list[Pinch]]:
    """Those of one day of which the same is to be said stand together."""
    alike: dict[tuple[date, str, str], list[Pinch]] = {}
    for pinch in pinches:
        alike.setdefault((pinch.day, pinch.why, pinch.plan), []).append(pinch)
    return list(alike.values())


def _pinch(paper: Paper, found: Rehearsal, alike: Sequence[Pinch], about_day: str) -> None:
    first = alike[0]
    day = near_day(first.day, found.plan.first)
    lacking = [f"{about(found.household, p.product, p.lacking)} too little" if p.lacking else "" for p in alike]
    if len(alike) == 1:
        paper.line((first.product, "bold"), f": {', '.join(filter(None, (about_day + day, *lacking)))}", hang=2)
    else:
        each = [f"{p.product} ({lacks})" if lacks else p.product for p, lacks in zip(alike, lacking, strict=True)]
        paper.line((listed(each), "bold"), f": {about_day}{day}", hang=2)
    paper.line(first.why if len(alike) == 1 else f"Of each: {first.why[0].lower()}{first.why[1:]}", indent=2)
    paper.line(first.plan, indent=2)


def _longest(paper: Paper, found: Rehearsal) -> None:
    paper.heading("The longest run")
    for text in run_words(found):
        paper.line(text)
    paper.line(staple_words(found))
    ending = [row for row in found.staples if row.out is not None][:_MOST_STAPLES]
    if len(ending) > 1:
        paper.line("Then too little for standing use, first on:")
    for row in ending[1:]:
        assert row.out is not None  # kept above
        weekly = about(found.household, row.product, row.weekly)
        day = f"{near_day(row.out, found.plan.first)} (day {(row.days or 0) + 1})"
        many = f", {plural(len(row.without), 'day')} in all" if row.without else ""
        paper.line(f"{row.product}, {weekly} a week: {day}{many}", indent=2, hang=2)


def _lists(paper: Paper, found: Rehearsal) -> None:
    paper.heading("The smallest allowed list")
    one = same_items(found.lists)
    for allowed in found.lists[:1] if one else found.lists:
        aim = "Fewest things, and least money" if one else allowed.aim.capitalize()
        proven = "" if allowed.proven or not allowed.reached else " (the best found; not proven the smallest)"
        total = f", {priced(allowed.cost_usd, found.household.money)} in all" if allowed.items else ""
        paper.line(f"{aim}, to reach {plural(found.plan.days, 'day')}{total}{proven}:")
        for text in list_words(found.household, allowed, found.plan.days):
            paper.line(text, indent=2, hang=2)


def _one_more(paper: Paper, found: Rehearsal) -> None:
    said = one_more_words(found.longest, found.household)
    end = found.plan.first + timedelta(days=found.plan.days)
    for number, row in enumerate(found.staples):
        ends = row.out is not None and (row.out < end or not number)
        if ends and row.one_more_days is not None:
            days = plural(round(row.one_more_days), "day")
            said.append(f"{one_more_of(found.household.products[row.product])}: {days} more of its standing use")
    if not said:
        return
    paper.heading("What one more buys")
    for text in said:
        paper.line(text, indent=2, hang=2)


def _table(paper: Paper, found: Rehearsal) -> None:
    paper.heading("The suppers")
    for meal in found.plan.meals:
        if meal.meal != "supper":
            continue
        names = [planned if isinstance(planned, str) else planned.dish for _, planned in in_order(meal)]
        shown = [f"{n} left open" if n in meal.open_roles else n for n in names]
        paper.line((f"{short_day(meal.day):<12}", ""), "; ".join(shown), hang=12)
    paper.line("(--menu shows every meal and the pull list.)")


def _food(paper: Paper, found: Rehearsal) -> None:
    food, metric = found.nourishment, found.household.measures == "metric"
    paper.heading("Food for those at home, a day")
    held = food.menu_kcal + food.standing_kcal
    protein = food.menu_protein_g + food.standing_protein_g
    paper.table(
        ("", "menu", "standing", "together", "needed", "part"),
        [
            (
                "energy, kcal", *_known(found, food.menu_kcal, food.standing_kcal, held),
                f"{food.need_kcal:,.0f}", _part(held, food.need_kcal),
            ),
            (
                "protein, g", *_known(found, food.menu_protein_g, food.standing_protein_g, protein),
                f"{food.need_protein_g:,.0f}", _part(protein, food.need_protein_g),
            ),
        ],
        right=(1, 2, 3, 4, 5),
        widths=(14, 8, 9, 9, 8, 6),
    )  # fmt: skip
    paper.line(
        "Needed: Dietary Reference Intakes by age and sex. What is eaten beside menu and standing use"
        " (between meals, lunches at home on no menu) is not counted; nothing here is medical advice."
    )
    paper.blank()
    paper.table(
        ("food group, a week", "held", "asked", "part"),
        [
            (
                f"  {row.group}" if row.group in _PARTS else row.group,
                _in_unit(row.weekly, row.unit, metric=metric)[0],
                " ".join(_in_unit(row.asked, row.unit, metric=metric)),
                _part(row.weekly, row.asked),
            )
            for row in food.groups
        ],
        right=(1, 2, 3),
        widths=(24, 8, 14, 6),
    )
    paper.line("Asked: Dietary Guidelines 2015-2020, at each one's own energy; from two years of age.")
    paper.line(
        "Protein foods are meat, fish and eggs, by weight; beans stand under legumes. The grams of protein above are"
        " of all that is eaten."
    )
    if food.unknown:
        paper.line(f"No food figures, so counted as nothing: {listed(food.unknown, 6)}.")
    if food.ungrouped:
        paper.line(f"In no group: {listed(food.ungrouped, 6)}.")


def _known(found: Rehearsal, *figures: float) -> tuple[str, ...]:
    """Figures of what is eaten; where nothing that is eaten has food figures, that they are not known."""
    food = found.nourishment
    nothing = food.unknown and not food.menu_kcal + food.standing_kcal
    return tuple("unknown" if nothing else f"{figure:,.0f}" for figure in figures)


_METRIC_UNITS = {"cup-eq": ("l", UNITS["cup"][1] / 1000), "oz-eq": ("kg", UNITS["oz"][1] / 1000)}


def _in_unit(amount: float, unit: str, *, metric: bool) -> tuple[str, str]:
    """('73', 'cups'); in a metric household ('17.3', 'l')."""
    if metric and unit in _METRIC_UNITS:
        name, factor = _METRIC_UNITS[unit]
        return f"{amount * float(factor):.1f}", name
    return f"{amount:.0f}", {"cup-eq": "cups", "oz-eq": "ounces"}.get(unit, unit)


def _part(held: float, asked: float) -> str:
    return f"{held / asked:.0%}" if asked and held else "-"


def _money(paper: Paper, found: Rehearsal) -> None:
    money = found.money

    def said(amount: Fraction) -> str:
        return priced(amount, found.household.money, whole=True)

    paper.heading("Dollars" if found.household.money == "$" else "Money")
    if money.usual:
        paper.line(
            f"{plural(found.plan.days, 'day')} usually cost {said(money.usual)}. The purse is"
            f" {said(money.purse)}: {said(money.not_spent)} not spent if it is emptied,"
            f" {said(money.usual)} if it stays shut."
        )
    nothing = money.unpriced and not money.eaten_at_store_prices
    worth = "not known: nothing of it has a price" if nothing else said(money.eaten_at_store_prices)
    paper.line(f"What the shelves give, at store prices: {worth}.")
    write_unpriced(paper, money.unpriced)
