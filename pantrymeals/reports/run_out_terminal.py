"""What pinches: what will not reach its day, what must be eaten first, what nobody reaches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pantrymeals.plans import Mark, RunOutRow
from pantrymeals.records import Household
from pantrymeals.reports.paper import Paper, Piece
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import containers, listed, near_day, sentence
from pantrymeals.units import as_words

PINCHING: tuple[Mark, ...] = ("short", "tight", "eat first")
TOO_MUCH: tuple[Mark, ...] = ("glut", "sitter")
STYLES: Mapping[str, str] = {
    "short": "bold red",
    "tight": "yellow",
    "eat first": "magenta",
    "glut": "cyan",
    "sitter": "cyan",
}


def write_pinches(paper: Paper, sheet: MenuSheet) -> None:
    """Short, tight and eat-first products, then gluts and sitters, then what no dish reaches."""
    paper.heading("What pinches")
    pinching = marked(sheet.run_out, PINCHING)
    if pinching:
        write_table(paper, sheet.household, pinching)
    else:
        paper.line("Nothing: everything reaches its day at this pace.")
    too_much = marked(sheet.run_out, TOO_MUCH)
    if too_much:
        paper.blank()
        paper.line(("More than will be eaten", "bold cyan"))
        write_table(paper, sheet.household, too_much)
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
    return sorted(chosen, key=lambda r: (order[r.mark], r.out is None, r.out or r.must_last_to, r.product))


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
