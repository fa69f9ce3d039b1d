"""The pull list: where to go, what to bring, oldest first; what to lift out and what to do ahead."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from pantrymeals.plans import PullLine, PullList
from pantrymeals.records import Household
from pantrymeals.reports.paper import Paper, Piece
from pantrymeals.reports.words import listed, place_name, short_day, sized

_BOX = "[ ]"


def write_pull_list(paper: Paper, household: Household, pull: PullList) -> None:
    """Lift-outs by day, then jars and bins by place in walking order, then what to do ahead."""
    paper.heading("The pull list")
    lifts = [line for line in pull.lines if line.kind == "lift out"]
    rest = [line for line in pull.lines if line.kind != "lift out"]
    if not pull.lines:
        paper.line("Nothing to bring up.")
    write_lift_outs(paper, lifts)
    write_by_place(paper, household, rest)
    write_ahead(paper, pull)
    if pull.empties:
        empties = listed(f"{count} {size}" for size, count in pull.empties)
        paper.blank()
        paper.line(("Comes back as empties: ", "bold"), empties)
    if pull.cautions:
        paper.blank()
    for caution in pull.cautions:
        paper.line(("! ", "bold yellow"), caution, hang=2)


def write_lift_outs(paper: Paper, lines: Iterable[PullLine]) -> None:
    """What comes out of the freezer on which day, into the fridge."""
    rows: list[list[Piece]] = []
    for line in sorted(lines, key=lambda x: x.fetch):
        rows.append(
            [
                _BOX,
                (short_day(line.fetch), "bold"),
                f"{sized(line.count, line.size)} {line.product}",
                line.where,
                for_words(line),
            ]
        )
    if rows:
        paper.blank()
        paper.line(("Lift out to thaw in the fridge", "bold cyan"))
        paper.table(["", "", "", "", ""], rows, widths=(3, 10, 26, 7, None), indent=2, show_heads=False)


def write_by_place(paper: Paper, household: Household, lines: Iterable[PullLine]) -> None:
    """One small table a place, in the order the list walks them."""
    for where, group in groupby(lines, key=lambda line: line.where):
        paper.blank()
        paper.line((_capital(place_name(household, where)), "bold cyan"))
        rows: list[list[Piece]] = []
        for line in group:
            what = f"{sized(line.count, line.size)} {line.product}"
            if line.kind == "part jar":
                what += " (part jar, first)"
            rows.append([_BOX, what, lot_words(line), for_words(line)])
        paper.table(["", "", "", ""], rows, widths=(3, 30, 16, None), indent=2, show_heads=False)


def write_ahead(paper: Paper, pull: PullList) -> None:
    """Steps before the day: soak, set batter, sort."""
    if not pull.ahead:
        return
    paper.blank()
    paper.line(("Do ahead", "bold cyan"))
    rows: list[list[Piece]] = [
        [_BOX, (short_day(step.day), "bold"), step.what, f"{short_day(step.dish_day)}, {step.dish}"]
        for step in sorted(pull.ahead, key=lambda step: step.day)
    ]
    paper.table(["", "", "", ""], rows, widths=(3, 10, 28, None), indent=2, show_heads=False)


def lot_words(line: PullLine) -> str:
    words = line.put_up
    if line.load:
        words += f", load {line.load}" if words else f"load {line.load}"
    return words


def for_words(line: PullLine) -> str:
    words = f"{short_day(line.needed)}, {line.dish}" if line.dish else short_day(line.needed)
    if line.last_day is not None and line.last_day != line.needed:
        words += f"; keeps to {short_day(line.last_day)}"
    return words


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
