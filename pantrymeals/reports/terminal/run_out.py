"""What pinches: what will not reach its day, what must be eaten first, what nobody reaches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from pantrymeals.plans.menu import Mark, RunOutRow
from pantrymeals.records import Household
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.reports.words import containers
from pantrymeals.units import as_words
from pantrymeals.words import listed, near_day, sentence

CHAPTERS: tuple[tuple[str, tuple[Mark, ...]], ...] = (
    ("Will not reach its day, or only just", ("short", "tight")),
    ("Eat first: it will not wait", ("eat first",)),
    ("More than will be eaten", ("glut", "sitter")),
)
"""Headings of what pinches, with the marks that stand under each."""

STYLES: Mapping[str, str] = {
    "short": "bold red",
    "tight": "yellow",
    "eat first": "magenta",
    "glut": "cyan",
    "sitter": "cyan",
}


def write_pinches(paper: Paper, sheet: MenuSheet) -> None:
    """What will not reach its day, what will not wait, what is too much, then what no dish reaches."""
    paper.heading("What pinches")
    chapters = [(heading, marked(sheet.run_out, marks)) for heading, marks in CHAPTERS]
    if not any(rows for _, rows in chapters):
        paper.line("Nothing: everything reaches its day at this pace.")
    for heading, rows in chapters:
        if rows:
            paper.blank()
            paper.line((heading, "bold cyan"))
            write_table(paper, sheet.household, rows)
    held = marked(sheet.run_out, ("held",))
    if held:
        paper.blank()
        names = listed(row.product for row in held)
        paper.line(("Held, on no menu: ", "bold"), names + ".", hang=2)
    if sheet.unreachable:
        paper.blank()
        paper.line(("No dish and no standing use reaches: ", "bold"), _unreached(sheet), hang=2)


def _unreached(sheet: MenuSheet) -> str:
    return "; ".join(f"{name} ({why})" if why else name for name, why in sheet.unreachable) + "."


def marked(rows: Iterable[RunOutRow], marks: Iterable[Mark]) -> list[RunOutRow]:
    """The rows carrying those marks, in the order of the marks, soonest run-out first."""
    order = {mark: number for number, mark in enumerate(marks)}
    chosen = [row for row in rows if row.mark in order]
    never = date.max
    return sorted(chosen, key=lambda r: (order[r.mark], r.out or never, r.must_last_to or never, r.product))


def write_table(paper: Paper, household: Household, rows: Iterable[RunOutRow]) -> None:
    """One row a product: on hand, a week's use, when it runs out, the day it must reach, the mark."""
    cells: list[tuple[list[Piece], str]] = []
    for row in rows:
        out = near_day(row.out, household.today) if row.out else "not in sight"
        until = near_day(row.must_last_to, household.today) if row.must_last_to else ""
        on_hand = containers(household.products.get(row.product), row.on_hand)
        mark = (row.mark, STYLES.get(row.mark, ""))
        cells.append(([row.product, on_hand, as_words(row.weekly), out, until, mark], sentence(row.reason)))
    paper.ledger(["product", "on hand", "a week", "runs out", "must reach", "mark"], cells, right=(2,))
