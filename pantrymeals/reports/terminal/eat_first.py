"""The week's eat-first list, the cellar round and its cautions, on the terminal."""

from __future__ import annotations

from itertools import groupby

from pantrymeals.plans.outlook import EatFirst, MustGo, RoundLine
from pantrymeals.reports.terminal.cautions import write_cautions
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import about_sized
from pantrymeals.words import day_and_year, sentence, the_house

CHAPTERS = (
    ("part jar", "Part jars and their last day"),
    ("keeper", "What does not keep: it will not wait"),
    ("frozen", "Frozen past its best"),
    ("jar", "Jars past the months of best quality"),
)
NOTHING = "Nothing presses just now."


def write_eat_first(paper: Paper, sheet: EatFirst, *, sources: bool = False) -> None:
    """Everything that must go, with a dish each; then the round; then the cautions that belong to it."""
    paper.line((f"Eat first at {the_house(sheet.household)} table", "bold"))
    paper.line(day_and_year(sheet.today))
    for kind, title in CHAPTERS:
        rows = [row for row in sheet.must_go if row.kind == kind]
        if rows:
            paper.heading(f"{title} ({len(rows)})")
            for row in rows:
                _write_row(paper, row, sources)
    if not sheet.must_go:
        paper.line(NOTHING)
    write_round(paper, sheet, sources=sources)
    write_cautions(paper, "Cautions", sheet.cautions)


def _write_row(paper: Paper, row: MustGo, sources: bool) -> None:
    late = row.past and row.kind == "part jar"
    paper.line((row.product, "bold red" if late else "bold"), f", {about_sized(row.amount, row.size)}, {row.where}")
    paper.line(sentence(row.why[:1].upper() + row.why[1:]), indent=2)
    if row.dishes:
        paper.line(("cook: ", "dim"), " or ".join(row.dishes), indent=2)
    elif not late:
        paper.line(("no dish of the book can use it just now", "dim"), indent=2)
    if sources:
        paper.line((f"source: {row.source}", "dim"), indent=2, hang=2)


def write_round(paper: Paper, sheet: EatFirst, *, sources: bool = False) -> None:
    """The weekly round in walking order, with what to look for."""
    if not sheet.round:
        return
    paper.heading("The weekly round: go over, sort, pick out")
    for name, lines in groupby(sheet.round, key=lambda line: line.place_name):
        paper.line((name, "bold cyan"))
        for line in lines:
            paper.line(f"[ ] {round_words(line)}", indent=2, hang=4)
            if sources and line.source:
                paper.line((f"source: {line.source}", "dim"), indent=6)


def round_words(line: RoundLine) -> str:
    """What to go over, how old it is, and what to look for."""
    age = f", {line.weeks_in_store} weeks in store" if line.weeks_in_store is not None else ""
    keeps = f" (keeps {line.keeps})" if line.keeps else ""
    note = f" Noted: {line.note}." if line.note else ""
    return f"{line.product}, {about_sized(line.amount, line.size)}{age}{keeps}: look for {line.look_for}.{note}"
