"""Sitters, the wrong one of two, hoards and what is held, each with its ends, for a terminal or a pipe."""

from __future__ import annotations

from collections.abc import Iterable

from pantrymeals.cautions import CautionShown
from pantrymeals.plans.season import SitterRow
from pantrymeals.reports.season_words import jar_count
from pantrymeals.reports.terminal.cautions import BEFORE, write_cautions
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import sentence

CHAPTERS = (
    ("sitter", "Sitters: made and not eaten"),
    ("wrong of two", "The wrong one of two"),
    ("hoard", "Hoards: favourites kept too well"),
    ("near-sitter", "More than two years' worth"),
    ("held", "Held: never counted, never planned"),
)


def write_sitters(
    paper: Paper,
    household_name: str,
    rows: tuple[SitterRow, ...],
    cautions: Iterable[CautionShown],
    too_young: str = "",
) -> None:
    """Every chapter that has something in it. too_young: said where the book cannot tell what sits yet."""
    paper.line((f"{household_name}: what is made and not eaten", "bold"))
    if too_young:
        paper.line(too_young)
    elif not rows:
        paper.line("Nothing: all that is put up here is eaten.")
    for kind, title in CHAPTERS:
        ours = [row for row in rows if row.kind == kind]
        if not ours:
            continue
        paper.heading(title)
        for row in ours:
            _write_row(paper, row)
    write_cautions(paper, BEFORE, cautions)


def _write_row(paper: Paper, row: SitterRow) -> None:
    head = f"{row.product}, {jar_count(row.on_hand, row.size)}"
    paper.line((head, "bold"))
    paper.line(sentence(row.why), indent=2, hang=2)
    if row.cost:
        paper.line("Cost: " + row.cost + ".", indent=2, hang=2)
    for end in row.ends:
        paper.line("- " + sentence(end.words), indent=2, hang=2)
    paper.blank()
