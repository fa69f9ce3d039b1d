"""The menu and its pull list on paper: A4 or letter pages set by Typst, readable when photocopied."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import timedelta
from importlib.resources import files
from itertools import groupby
from typing import Literal

from pantrymeals.plans import PlannedDish, PlannedMeal
from pantrymeals.reports.menu_terminal import from_words, times_words
from pantrymeals.reports.proof_words import how_good
from pantrymeals.reports.pull_terminal import for_words, lot_words
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import (
    listed,
    long_day,
    place_name,
    sentence,
    short_day,
    sized,
    span,
)

PageSize = Literal["us-letter", "a4"]

FOOT = (
    "Follow a tested recipe, process for your altitude, look over every jar before you open it. "
    "If in doubt, throw it out without tasting. Ask your Extension office or national food-safety body."
)
"""The one line that stands on every printed page."""


def menu_pdf(sheet: MenuSheet, size: PageSize = "us-letter") -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    import typst

    template = files("pantrymeals.reports").joinpath("menu.typ").read_bytes()
    made: bytes = typst.compile(
        template,
        format="pdf",
        # Names go in as data, never as markup; only the fonts that Typst carries are used.
        sys_inputs={"sheet": json.dumps(page_data(sheet)), "paper": size},
        ignore_system_fonts=True,
        timestamp=0,
    )
    return made


def page_data(sheet: MenuSheet) -> Mapping[str, object]:
    """All the words of the pages, ready to be set."""
    plan = sheet.plan
    lifts = [line for line in sheet.pull.lines if line.kind == "lift out"]
    rest = [line for line in sheet.pull.lines if line.kind != "lift out"]
    return {
        "title": f"The menu at the {sheet.household.name} table",
        "span": span(plan.first, plan.first + timedelta(days=plan.days - 1)),
        "foot": FOOT,
        "faults": list(sheet.broken),
        "days": [_day(sheet, number) for number in range(plan.days)],
        "good": list(how_good(sheet)),
        "lift_outs": [
            {
                "day": short_day(x.fetch),
                "what": f"{sized(x.count, x.size)} {x.product}",
                "where": x.where,
                "for": for_words(x),
            }
            for x in sorted(lifts, key=lambda line: line.fetch)
        ],
        "places": [
            {
                "name": place_name(sheet.household, where),
                "lines": [
                    {
                        "what": f"{sized(x.count, x.size)} {x.product}",
                        "part": x.kind == "part jar",
                        "lot": lot_words(x),
                        "for": for_words(x),
                    }
                    for x in group
                ],
            }
            for where, group in groupby(rest, key=lambda line: line.where)
        ],
        "ahead": [
            {"day": short_day(a.day), "what": a.what, "for": f"{short_day(a.dish_day)}, {a.dish}"}
            for a in sorted(sheet.pull.ahead, key=lambda step: step.day)
        ],
        "empties": listed(f"{count} {size}" for size, count in sheet.pull.empties),
        "cautions": list(sheet.pull.cautions),
    }


def _day(sheet: MenuSheet, number: int) -> Mapping[str, object]:
    day = sheet.plan.first + timedelta(days=number)
    rows: list[Mapping[str, object]] = []
    for meal in sheet.plan.meals:
        if meal.day == day:
            rows += _meal_rows(sheet, meal)
    return {"name": long_day(day), "table": sheet.at_table.get(day, ""), "rows": rows}


def _meal_rows(sheet: MenuSheet, meal: PlannedMeal) -> list[Mapping[str, object]]:
    rows: list[Mapping[str, object]] = []
    for place, planned in enumerate(meal.dishes):
        rows.append(_dish_row(sheet, planned, planned.role if place else meal.meal))
    for role in meal.open_roles:
        rows.append({"label": role, "dish": "left open", "uses": "", "why": "", "minutes": "", "open": True})
    return rows


def _dish_row(sheet: MenuSheet, planned: PlannedDish, label: str) -> Mapping[str, object]:
    dish = sheet.household.dishes.get(planned.dish)
    uses = [from_words(sheet.household, planned)] if planned.uses else []
    return {
        "label": label,
        "dish": planned.dish + (f", {times_words(planned.batches)}" if planned.batches > 1 else ""),
        "uses": "; ".join([*uses, *(f"for {person}" for person in planned.instead)]),
        "why": sentence(planned.why),
        "minutes": f"{dish.minutes} min" if dish is not None else "",
        "open": False,
    }
