"""Several weekly menus as one plain document (Markdown) to read from first to last."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from itertools import groupby

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.menu import PlannedDish
from pantrymeals.reports.proof_words import THIN, how_good, unsettled
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet
from pantrymeals.reports.terminal.batch_days import batch_cautions, batch_lines
from pantrymeals.reports.terminal.menu import from_words, times_words
from pantrymeals.reports.terminal.one_sheet import evenings
from pantrymeals.reports.terminal.run_out import CHAPTERS, marked
from pantrymeals.reports.words import about_sized, own_pace_words, reckoned_words
from pantrymeals.words import long_day, near_day, plural, sentence, small_count, span, the_house

WEEK_DAYS = 7


def weeks_text(done: WeeksSheet, *, full: bool = False) -> str:
    """A heading, then a chapter a week: its meals and how good it is; then what came often, what moved.

    full: with what each dish takes.
    """
    first = done.weeks[0]
    whole = [sheet for sheet in done.weeks if sheet.plan.days >= WEEK_DAYS] or list(done.weeks)
    count = small_count(len(whole))
    lines = [
        f"# {count.capitalize()} week{'s' * (len(whole) > 1)} at {the_house(first.household.name)} table",
        "",
        f"Each week is planned from the stock that the week before left. The first day is "
        f"{long_day(first.plan.first)} {first.plan.first.year}.",
    ]
    if first.reckoned_from is not None:
        lines += ["", f"**{reckoned_words(first.reckoned_from, first.plan.first)}**"]
    lines += [f"\n**{note}**" for note in dict.fromkeys(n for sheet in done.weeks for n in unsettled(sheet.plan))]
    for sheet in done.weeks:
        name = f"Week {whole.index(sheet) + 1}" if sheet in whole else "The days before"
        lines += ["", f"## {name}: {_span(sheet)}", ""]
        lines += _days(sheet, full)
        lines += _batch_days(sheet)
        lines += ["", *(f"- {text}" for text in how_good(sheet))]
    lines += ["", f"**{done.ended}**"] if done.ended else []
    lines += ["", "## What came more than once", "", *_often(done)]
    lines += ["", "## How the shelves moved", "", *_moves(done), "", STANDING_LINE]
    return "\n".join(lines).rstrip() + "\n"


def _span(sheet: MenuSheet) -> str:
    return span(sheet.plan.first, sheet.plan.last)


def _days(sheet: MenuSheet, full: bool) -> list[str]:
    lines, tonight = [], evenings(sheet)
    for number in range(sheet.plan.days):
        day = sheet.plan.first + timedelta(days=number)
        table = sheet.at_table.get(day, "")
        lines += [f"**{long_day(day)}**" + (f" · {table}" if table else ""), ""]
        for meal in sheet.plan.meals:
            if meal.day != day:
                continue
            who = sheet.who_eats.get((day, meal.meal), "")
            for dish in meal.dishes:
                label = _label(meal.meal, dish) + (f", {who}" if who else "")
                lines.append(f"- {label}: {_dish(sheet, dish, full)}")
            lines += [f"- {meal.meal}, {role}: **left open**" for role in meal.open_roles]
            lines += [f"- {meal.meal} is {THIN}"] * sheet.fed.thin(day, meal.meal)
        lines += [f"- {label}: {words}" for label, words in tonight.get(day, ())]
        lines.append("")
    return lines


def _batch_days(sheet: MenuSheet) -> list[str]:
    """The batch days that the week proposes, with their cautions; nothing where there are none."""
    lines = []
    for what, takes, why in batch_lines(sheet.household, sheet.plan):
        lines.append(f"- **{what}**" + (f", {takes}" if takes else "") + (f". {why}" if why else ""))
    cautions = [f"- {words}" for words in batch_cautions(sheet.household, sheet.plan)]
    return ["", "Batch days:", "", *lines, *cautions] if lines else []


def _label(meal: str, dish: PlannedDish) -> str:
    return meal if dish.role in ("main", meal) else f"{meal}, {dish.role}"


def _dish(sheet: MenuSheet, dish: PlannedDish, full: bool) -> str:
    times = f" ({times_words(dish.batches)})" if dish.batches != 1 else ""
    uses = f", {from_words(sheet.household, dish)}" if full and dish.uses else ""
    instead = "".join(f"; for {person}" for person in dish.instead)
    why = f". {sentence(dish.why)}" if dish.why else ""
    return f"*{dish.dish}*{times}{uses}{instead}{why}"


def _often(done: WeeksSheet) -> list[str]:
    """Dishes cooked more than once in all these weeks, the most frequent first."""
    times = Counter(d.dish for sheet in done.weeks for meal in sheet.plan.meals for d in meal.dishes)
    often = sorted(((count, dish) for dish, count in times.items() if count > 1), key=lambda x: (-x[0], x[1]))
    once = sum(1 for count in times.values() if count == 1)
    lines = [f"- {count} times: {'; '.join(dish for _, dish in same)}" for count, same in groupby(often, _times)]
    return [*lines, f"- once: {plural(once, 'other dish')}"]


def _times(pair: tuple[int, str]) -> int:
    return pair[0]


def _moves(done: WeeksSheet) -> list[str]:
    """What is pinched or too plentiful on the first day, what of it is left after the last, and its marks then."""
    begin, after = done.weeks[0], {row.product: row for row in done.after.rows}
    today, end = begin.plan.first, near_day(done.after.today, begin.plan.first)
    there = "reckoned" if begin.reckoned_from else "on hand"
    own = own_pace_words((*begin.forecast.rows, *done.after.rows))
    lines = [
        f"| product | {there}, {near_day(today, today)} | {there}, {end} | {own} | {end} "
        f"| if these menus are followed | at an even hand, {end} |",
        "|---|--:|--:|---|---|---|---|",
    ]
    for row in (row for _, marks in CHAPTERS for row in marked(begin.forecast, marks)):
        then = after.get(row.product)
        marks = (
            row.as_eaten.mark if row.as_eaten else "",
            then.as_eaten.mark if then and then.as_eaten else "",
            row.as_planned.mark,
            then.as_planned.mark if then else "",
        )
        left = about_sized(then.on_hand, row.size) if then else "none"
        lines.append(f"| {row.product} | {about_sized(row.on_hand, row.size)} | {left} | {' | '.join(marks)} |")
    return lines
