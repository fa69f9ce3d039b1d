"""The pull list: where to go, what to bring, oldest first; what to lift out and what to do ahead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import groupby

from msgspec import Struct

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.menu import PullLine, PullList
from pantrymeals.records import Household
from pantrymeals.reports.proof_words import SAME_MONTH
from pantrymeals.reports.terminal.cautions import write_marked
from pantrymeals.reports.terminal.paper import BOX, Paper, Piece
from pantrymeals.reports.words import by_hand, place_name, sized, sized_name
from pantrymeals.words import capital, day_of_month, listed, long_day, short_day


def write_pull_list(paper: Paper, household: Household, pull: PullList) -> None:
    """What is open already, lift-outs by day, then by place in walking order, then what to do ahead."""
    paper.heading("The pull list")
    if not pull.lines:
        paper.line("Nothing to bring up.")
    _write_chapter(paper, "Open already: use these first", walk_rows(pull.lines, "part jar"))
    _write_days(paper, "Lift out to thaw in the fridge", lift_outs(pull), (3, 10, 22, 15, None))
    for where, rows in by_place(pull):
        _write_chapter(paper, capital(place_name(household, where)), rows)
    _write_days(paper, "Do ahead", ahead(pull), (3, 10, 29, None))
    if pull.empties:
        empties = empties_words(pull)
        paper.blank()
        paper.line(("Comes back as empties: ", "bold"), empties)
    if pull.cautions:
        paper.blank()
    write_marked(paper, (*pull.cautions, STANDING_LINE) if pull.lines else pull.cautions)


def empties_words(pull: PullList) -> str:
    """'3 qt and 14 pt', '11 x 500 ml jar'."""
    return listed(sized(Fraction(count), size) for size, count in pull.empties)


def write_pull_list_to_come(paper: Paper, first: date) -> None:
    """In place of a list, for a menu too far from its count: nobody knows which jar will stand in front."""
    paper.heading("The pull list")
    paper.line(to_come_words(first))


def to_come_words(first: date) -> str:
    """When the pull list of a menu that is reckoned comes."""
    return f"The pull list comes when the day is near: take a count, and plan {long_day(first)} anew then."


class WalkRow(Struct, frozen=True):
    """One thing to fetch at one place: how much in all, of which lot, and for which dishes; and for which days."""

    what: str
    lot: str
    uses: tuple[str, ...]
    days: tuple[str, ...]


def by_place(pull: PullList) -> Iterator[tuple[str, tuple[WalkRow, ...]]]:
    """Jars and loose goods, place by place in the order of the list."""
    walked = [line for line in pull.lines if line.kind in ("jar", "loose")]
    for where, lines in groupby(walked, key=lambda line: line.where):
        yield where, walk_rows(lines, "jar", "loose")


def walk_rows(lines: Iterable[PullLine], *kinds: str) -> tuple[WalkRow, ...]:
    """One row for all that is taken of one lot on this walk, whatever the days it is for."""
    together: dict[tuple[str, str, str], list[PullLine]] = {}
    for line in lines:
        if line.kind in kinds:
            together.setdefault((line.product, line.size, lot_words(line)), []).append(line)
    return tuple(
        WalkRow(
            sized_name(sum((x.count for x in same), Fraction(0)), size, product),
            lot,
            tuple(for_words(x, share=len(same) > 1) for x in same),
            tuple(dict.fromkeys(for_words(x, dish=False) for x in same)),
        )
        for (product, size, lot), same in together.items()
    )


def _write_chapter(paper: Paper, heading: str, rows: Sequence[WalkRow]) -> None:
    if not rows:
        return
    paper.blank()
    paper.line((heading, "bold cyan"))
    cells: list[list[Piece]] = [[BOX, (row.what, "bold"), row.lot, "\n".join(row.uses)] for row in rows]
    dates = min(max(11, *(len(row.lot) for row in rows)), 17)
    paper.table(["", "", "", ""], cells, widths=(3, 26, dates, None), indent=2, show_heads=False)


class DayRow(Struct, frozen=True):
    """One thing to do on a day before it is needed. where: a pack's freezer and lot; None for a step."""

    day: str
    what: str
    where: str | None
    needed: str


def lift_outs(pull: PullList, *, dish: bool = True) -> tuple[DayRow, ...]:
    """What comes out of the freezer on which day, into the fridge. dish: False leaves out what it is for."""
    lifts = sorted((line for line in pull.lines if line.kind == "lift out"), key=lambda x: x.fetch)
    return tuple(
        DayRow(
            short_day(x.fetch),
            sized_name(x.count, x.size, x.product),
            f"{x.where}, {lot_words(x)}".rstrip(", "),
            for_words(x, dish=dish),
        )
        for x in lifts
    )


def ahead(pull: PullList) -> tuple[DayRow, ...]:
    """Steps before the day: soak, set batter, sort."""
    steps = sorted(pull.ahead, key=lambda step: step.day)
    return tuple(DayRow(short_day(s.day), s.what, None, f"{short_day(s.dish_day)}: {s.dish}") for s in steps)


def _write_days(paper: Paper, heading: str, rows: Sequence[DayRow], widths: Sequence[int | None]) -> None:
    if not rows:
        return
    paper.blank()
    paper.line((heading, "bold cyan"))
    cells: list[list[Piece]] = [
        [BOX, (row.day, "bold"), row.what, *([] if row.where is None else [row.where]), row.needed] for row in rows
    ]
    paper.table([""] * len(widths), cells, widths=widths, indent=2, show_heads=False)


def lot_words(line: PullLine) -> str:
    """'6 Oct 2025': what the label says; the load where there is no day."""
    return line.put_up or (f"load {line.load}" if line.load else "")


def for_words(line: PullLine, *, share: bool = False, dish: bool = True) -> str:
    """'Sat 17: Bean soup (to Mon 19)': the day and dish it is for, and the last day it keeps once opened.

    share: with its part of the row's amount, where a row serves several days. dish: False leaves it out.
    """
    words = day_of_month(line.needed)
    if share:
        words += f", {by_hand(line.count, line.size)}"
    if line.dish and dish:
        words += f": {line.dish}"
    if line.eat_by is not None and line.eat_by != line.needed:
        near = (line.eat_by - line.needed).days < SAME_MONTH
        words += f" (to {day_of_month(line.eat_by) if near else short_day(line.eat_by)})"
    return words
