"""A rehearsal's findings in a cook's sentences; shared by its reports."""

from __future__ import annotations

from collections.abc import Set
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.plans.no_store import AllowedItem, AllowedList, LongestRun, Rehearsal
from pantrymeals.records import Household, Product
from pantrymeals.reports.words import containers
from pantrymeals.words import day_and_year, listed, near_day, plural, priced, short_span


def about(household: Household, product: str, count: Fraction) -> str:
    """A count of containers to two figures: '1.1 lb'; whole ones as they are."""
    known = household.products.get(product)
    if count.denominator == 1 or known is None:
        return containers(known, count)
    figure = f"{float(count):.0f}" if count >= 10 else f"{float(count):.2g}"
    size = known.sizes[0].name
    return figure if size == "each" else f"{figure} x {size}" if " " in size else f"{figure} {size}"


def run_words(rehearsal: Rehearsal) -> list[str]:
    """How long the menu can be filled, and what ends it."""
    run, first = rehearsal.longest, rehearsal.plan.first
    if run.at_most is None:
        if run.stopped:
            why = "The search ended before an end was found; more time (--seconds) may tell"
        else:
            why = f"No end was found within {plural(run.looked_to, 'day')}"
        return [f"Every place on the menu: {plural(run.sure, 'day')} for sure. {why}."]
    if run.at_most == 0:
        none = "Every place on the menu: not even on the first day, whatever is cooked"
        return [f"{none}.", *_what_ends(run)]
    ends = day_and_year(first + timedelta(days=run.at_most - 1))
    if run.sure == run.at_most:
        said = [f"Every place on the menu: {plural(run.sure, 'day')}, to {ends}. No menu fills one day more."]
    elif run.sure:
        said = [
            f"Every place on the menu: {plural(run.sure, 'day')} for sure (that menu is at hand);"
            f" no menu can fill more than {run.at_most}, which is to {ends}."
        ]
    else:
        said = [
            f"Every place on the menu: no menu can fill more than {plural(run.at_most, 'day')}, which is"
            f" to {ends}; one that fills every place is not at hand yet."
        ]
    return [*said, *_what_ends(run)]


def _what_ends(run: LongestRun) -> list[str]:
    if run.ends:
        return [f"What ends it: {listed(run.ends)}."]
    if run.stopped or run.sure != run.at_most:
        return ["The search ended before it was known what ends it; more time (--seconds) may tell."]
    return ["No single product ends it: one more container of none of them helps."]


def staple_words(rehearsal: Rehearsal) -> str:
    """How many of these days standing use is whole, the most of them running, and what lacks first or ends it."""
    rows, first, days = rehearsal.staples, rehearsal.plan.first, rehearsal.plan.days
    ending = [row for row in rows if row.out is not None]
    if not rows:
        return "Standing use: none is written down."
    if not ending:
        return "Standing use: it holds as far as looked."
    least, out = ending[0].days, ending[0].out
    assert least is not None
    assert out is not None  # kept above
    names = listed(row.product for row in ending if row.days == least)
    without = {day for row in rows for day in row.without}
    if not without:
        return f"Standing use whole: {plural(least, 'day')}. What ends it, on {near_day(out, first)}: {names}."
    begin, most = longest_whole(first, days, without)
    whole = f"Standing use whole: on {days - len(without)} of the {plural(days, 'day')}"
    if most:
        run = "one day" if most == 1 else f"{most} days"
        whole += f"; at most {run} running, {short_span(begin, begin + timedelta(days=most - 1))}"
    return f"{whole}. What lacks first, on {near_day(out, first)}: {names}."


def longest_whole(first: date, days: int, without: Set[date]) -> tuple[date, int]:
    """(first day, how many days) of the longest run of days on which nothing lacks; of equals the earliest."""
    best, begin, run = (first, 0), first, 0
    for day in (first + timedelta(days=n) for n in range(days)):
        begin, run = (begin, run + 1) if day not in without else (day + timedelta(days=1), 0)
        best = (begin, run) if run > best[1] else best
    return best


def one_more_words(run: LongestRun, household: Household) -> list[str]:
    """'1 more lb of Butter: 2 days more of the menu'."""
    return [
        f"{one_more_of(household.products[more.product])}: {plural(more.days, 'day')} more of the menu"
        for more in run.one_more
    ]


def one_more_of(product: Product) -> str:
    """'one more qt of Salsa'; 'one more of Eggs, fresh' of what is counted by the piece."""
    size = product.sizes[0].name
    return f"one more of {product.name}" if size == "each" else f"one more {size} of {product.name}"


def list_words(household: Household, found: AllowedList, days: int) -> list[str]:
    """The list, or why there is none."""
    if not found.reached and found.proven:
        return [f"No list of things with a store price reaches {plural(days, 'day')}."]
    if not found.reached:
        rest = "What the menu lacks besides" if found.items else "Whether the menu lacks anything"
        known = [item_words(household, item) for item in found.items]
        return [*known, f"{rest} is not settled: the search ended first; more time (--seconds) may tell."]
    if not found.items:
        return [f"Nothing: the {plural(days, 'day')} are reached with what is there and what comes in."]
    return [item_words(household, item) for item in found.items]


def item_words(household: Household, item: AllowedItem) -> str:
    """'Coffee: 3 lb, $33 (for standing use)'."""
    cost = "no price written down" if item.cost_usd is None else priced(item.cost_usd, household.money)
    return f"{item.product}: {about(household, item.product, item.count)}, {cost} ({item.why})"


def same_items(lists: tuple[AllowedList, ...]) -> bool:
    """Whether every aim ends at the same list."""
    return len({found.items for found in lists}) == 1


def must_go_words(rehearsal: Rehearsal) -> list[str]:
    """How many suppers a week use something marked, and whether that is what the household asks."""
    asked = rehearsal.asked_must_go
    counts = [len(week.suppers) for week in rehearsal.must_go]
    each = listed(str(count) for count in counts)
    ask = f" (asked: {asked})" if asked else ""
    said = [f"Suppers with something marked, week by week: {each}{ask}."]
    short = [week for week in rehearsal.must_go if week.days == 7 and len(week.suppers) < asked]
    if rehearsal.must_go_asked == "as a rule":
        said.append("It was made a rule of the mains for this menu: by itself the menu did not keep it.")
    elif short:
        weeks = plural(len(short), "week")
        said.append(f"{weeks} with fewer than asked: no menu that keeps it was found in the time.")
    used = {product for week in rehearsal.must_go for _, product in week.suppers}
    if used:
        named = (f"{p} ({rehearsal.must_go_marks[p]})" for p in sorted(used))
        said.append(f"Eaten down so: {listed(named, 8)}.")
    return said
