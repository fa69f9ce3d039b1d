"""Several weekly menus as one plain document (Markdown) to read from first to last."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from pantrymeals.plans import PlannedDish
from pantrymeals.reports.menu_terminal import from_words, times_words
from pantrymeals.reports.proof_words import how_good
from pantrymeals.reports.run_out_terminal import PINCHING, TOO_MUCH, marked
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import containers, long_day, near_day, sentence, small_count, span


def weeks_text(sheets: Sequence[MenuSheet]) -> str:
    """A heading, then a chapter a week: its meals, how good it is, and what moves."""
    first = sheets[0]
    count = small_count(len(sheets))
    lines = [
        f"# {count.capitalize()} weeks at the {first.household.name} table",
        "",
        f"Each week is planned from the stock that the week before left. The first day is "
        f"{long_day(first.plan.first)} {first.plan.first.year}.",
    ]
    for number, sheet in enumerate(sheets, 1):
        lines += ["", f"## Week {number}: {_span(sheet)}", ""]
        lines += _days(sheet)
        lines += ["", *(f"- {text}" for text in how_good(sheet))]
    lines += ["", "## How the shelves moved", "", *_moves(sheets)]
    return "\n".join(lines).rstrip() + "\n"


def _span(sheet: MenuSheet) -> str:
    return span(sheet.plan.first, sheet.plan.first + timedelta(days=sheet.plan.days - 1))


def _days(sheet: MenuSheet) -> list[str]:
    lines = []
    for number in range(sheet.plan.days):
        day = sheet.plan.first + timedelta(days=number)
        table = sheet.at_table.get(day, "")
        lines += [f"**{long_day(day)}**" + (f" · {table}" if table else ""), ""]
        for meal in sheet.plan.meals:
            if meal.day != day:
                continue
            for dish in meal.dishes:
                lines.append(f"- {_label(meal.meal, dish)}: {_dish(sheet, dish)}")
            lines += [f"- {meal.meal}, {role}: **left open**" for role in meal.open_roles]
        lines.append("")
    return lines


def _label(meal: str, dish: PlannedDish) -> str:
    return meal if dish.role in ("main", meal) else f"{meal}, {dish.role}"


def _dish(sheet: MenuSheet, dish: PlannedDish) -> str:
    times = f" ({times_words(dish.batches)})" if dish.batches > 1 else ""
    uses = f", {from_words(sheet.household, dish)}" if dish.uses else ""
    instead = "".join(f"; for {person}" for person in dish.instead)
    why = f". {sentence(dish.why)}" if dish.why else ""
    return f"*{dish.dish}*{times}{uses}{instead}{why}"


def _moves(sheets: Sequence[MenuSheet]) -> list[str]:
    """What is pinched or too plentiful in the first week, and what of it is left in the last."""
    begin, end = sheets[0], sheets[-1]
    after = {row.product: row for row in end.run_out}
    lines = [
        f"| product | mark in week 1 | on hand, {near_day(begin.plan.first, begin.plan.first)} "
        f"| on hand, {near_day(end.plan.first, begin.plan.first)} | mark then |",
        "|---|---|--:|--:|---|",
    ]
    for row in marked(begin.run_out, (*PINCHING, *TOO_MUCH)):
        then = after.get(row.product)
        product = begin.household.products.get(row.product)
        lines.append(
            f"| {row.product} | {row.mark} | {containers(product, row.on_hand)} "
            f"| {containers(product, then.on_hand) if then else '0'} | {then.mark if then else 'gone'} |"
        )
    return lines
