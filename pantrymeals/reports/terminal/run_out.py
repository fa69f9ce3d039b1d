"""What pinches: what will not reach its day, what must be eaten first, what nobody reaches."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pantrymeals.plans.marks import Mark
from pantrymeals.plans.outlook import AtPace, Forecast, ForecastRow
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.run_out_forecast import pace_ledger
from pantrymeals.words import listed

CHAPTERS: tuple[tuple[str, tuple[Mark, ...]], ...] = (
    ("Will not reach its day, or only just", ("short", "tight")),
    ("Eat first: it will not wait", ("eat first",)),
    ("More than will be eaten", ("glut", "sitter")),
)
"""Headings of what pinches, with the marks that stand under each."""


def write_pinches(paper: Paper, sheet: MenuSheet) -> None:
    """What will not reach its day, what will not wait, what is too much, then what no dish reaches."""
    paper.heading("What pinches, reckoned" if sheet.reckoned_from else "What pinches")
    for note in sheet.forecast.notes:
        paper.line(note)
    chapters = [(heading, marks, marked(sheet.forecast, marks)) for heading, marks in CHAPTERS]
    untold = [row.product for row in sheet.forecast.rows if row.untold()]
    if untold:
        paper.line(("Too young to tell: ", "bold"), listed(untold, 12) + ".", hang=2)
    elif not any(rows for _, _, rows in chapters):
        paper.line("Nothing: everything reaches its day at this pace.")
    for heading, marks, rows in chapters:
        if rows:
            paper.blank()
            paper.line((heading, "bold cyan"))
            why = "glut" not in marks
            told = [(row, pinching(row, marks).reason if why else "") for row in rows]
            pace_ledger(paper, sheet.forecast, told, "reckoned" if sheet.reckoned_from else "on hand")
    held = sorted(row.product for row in sheet.forecast.rows if row.leading().mark == "held")
    if held:
        paper.blank()
        paper.line(("Held, on no menu: ", "bold"), listed(held) + ".", hang=2)
    if sheet.unreachable:
        paper.blank()
        paper.line(("No dish and no standing use reaches: ", "bold"), _unreached(sheet), hang=2)


def _unreached(sheet: MenuSheet) -> str:
    return "; ".join(f"{name} ({why})" if why else name for name, why in sheet.unreachable) + "."


def marked(forecast: Forecast, marks: Sequence[Mark]) -> list[ForecastRow]:
    """The rows that stand under those marks, in the order of the marks, soonest run-out first.

    A row stands once, under the first of ``CHAPTERS`` that has its mark at either pace.
    """
    earlier = {mark for _, before in CHAPTERS[: [m for _, m in CHAPTERS].index(tuple(marks))] for mark in before}
    chosen = [row for row in forecast.rows if row.marks() & set(marks) and not row.marks() & earlier]

    def order(row: ForecastRow) -> tuple[int, date, date, str]:
        pace = pinching(row, marks)
        return marks.index(pace.mark), pace.out or date.max, row.due() or date.max, row.product

    return sorted(chosen, key=order)


def pinching(row: ForecastRow, marks: Sequence[Mark]) -> AtPace:
    """The pace at which a row has one of the marks; the leading one where both have."""
    return row.leading() if row.leading().mark in marks else row.as_planned
