"""The menu and its pull list on paper: A4 or letter pages set by Typst, readable when photocopied."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import timedelta

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.reports.pages.typeset import PageSize, set_pages
from pantrymeals.reports.proof_words import how_good
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.batch_days import batch_cautions, batch_lines
from pantrymeals.reports.terminal.menu import from_words, in_order, times_words
from pantrymeals.reports.terminal.pull import WalkRow, ahead, by_place, lift_outs, to_come_words, walk_rows
from pantrymeals.reports.words import place_name, reckoned_words
from pantrymeals.words import capital, listed, long_day, sentence, span


def menu_pdf(sheet: MenuSheet, size: PageSize = "us-letter") -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    return set_pages("menu.typ", page_data(sheet), size)


def page_data(sheet: MenuSheet) -> Mapping[str, object]:
    """All the words of the pages, ready to be set."""
    plan = sheet.plan
    return {
        "title": f"The menu at the {sheet.household.name} table",
        "span": span(plan.first, plan.last),
        "foot": STANDING_LINE,
        "faults": list(sheet.broken),
        "days": [_day(sheet, number) for number in range(plan.days)],
        "batch_days": [
            {"what": what, "takes": takes, "why": why} for what, takes, why in batch_lines(sheet.household, plan)
        ],
        "batch_cautions": list(batch_cautions(sheet.household, plan)),
        "good": [*_reckoned(sheet), *how_good(sheet)],
        "lift_outs": [asdict(row) for row in lift_outs(sheet.pull)],
        "open": _rows(walk_rows(sheet.pull.lines, "part jar")),
        "places": [
            {"name": capital(place_name(sheet.household, where)), "lines": _rows(rows)}
            for where, rows in by_place(sheet.pull)
        ],
        "ahead": [asdict(row) for row in ahead(sheet.pull)],
        "empties": listed(f"{count} {size}" for size, count in sheet.pull.empties),
        "cautions": list(sheet.pull.cautions),
    }


def _reckoned(sheet: MenuSheet) -> list[str]:
    """What a shelf that was not counted is, and that its pull list is still to come."""
    if sheet.reckoned_from is None:
        return []
    return [reckoned_words(sheet.reckoned_from, sheet.plan.first), to_come_words(sheet.plan.first)]


def _rows(rows: Sequence[WalkRow]) -> list[Mapping[str, object]]:
    return [{"what": row.what, "lot": row.lot, "uses": list(row.uses)} for row in rows]


def _day(sheet: MenuSheet, number: int) -> Mapping[str, object]:
    day = sheet.plan.first + timedelta(days=number)
    rows: list[Mapping[str, object]] = []
    for meal in sheet.plan.meals:
        if meal.day == day:
            rows += _meal_rows(sheet, meal)
    return {"name": long_day(day), "table": sheet.at_table.get(day, ""), "rows": rows}


def _meal_rows(sheet: MenuSheet, meal: PlannedMeal) -> list[Mapping[str, object]]:
    return [
        _dish_row(sheet, planned, label)
        if isinstance(planned, PlannedDish)
        else {"label": label, "dish": f"{planned} left open", "uses": "", "why": "", "minutes": ""}
        for label, planned in in_order(meal)
    ]


def _dish_row(sheet: MenuSheet, planned: PlannedDish, label: str) -> Mapping[str, object]:
    dish = sheet.household.dishes.get(planned.dish)
    uses = [from_words(sheet.household, planned)] if planned.uses else []
    return {
        "label": label,
        "dish": planned.dish + (f", {times_words(planned.batches)}" if planned.batches > 1 else ""),
        "uses": "; ".join([*uses, *(f"for {person}" for person in planned.instead)]),
        "why": sentence(planned.why),
        "minutes": f"{dish.minutes} min" if dish is not None else "",
    }
