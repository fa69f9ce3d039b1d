"""The book's tables on a terminal: lots, part jars, a product's seasons, glass, and what was said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pantrymeals.reports.paper import Paper
from pantrymeals.reports.words import day_and_year, sized
from pantrymeals.units import as_words

NO_SOURCE = "source not recorded"


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot at one place. put_up: as words; jar: a home-put jar, whose source is asked for."""

    number: int
    put_up: str
    count: str
    where: str
    state: str
    load: str
    source: str
    jar: bool


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """A product from 1 May to 1 May, in containers of its first size. counted: what counts made good."""

    season: str
    carried_over: Fraction
    put_up: Fraction
    came_in: Fraction
    given: Fraction
    lost: Fraction
    used: Fraction
    counted: Fraction
    left: Fraction


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part jar and its clock. last: the last day of its clock; None: no clock."""

    product: str
    left: str
    opened: date
    last: date | None
    where: str
    note: str


@dataclass(frozen=True, slots=True)
class MovementRow:
    """One movement, for the end of a history."""

    day: date
    count: str
    reason: str
    where: str
    note: str


def write_lots(paper: Paper, product: str, rows: Sequence[LotRow]) -> None:
    """The lots of a product, the oldest first."""
    paper.heading(f"Lots of {product}")
    if not rows:
        paper.line("None on hand.")
        return
    paper.table(
        ("Lot", "Put up", "On hand", "Where", "Load, tested source"),
        [
            (
                str(r.number),
                r.put_up,
                r.count,
                r.where + (f", {r.state}" if r.state else ""),
                ", ".join(x for x in (r.load, r.source or (NO_SOURCE if r.jar else "")) if x),
            )
            for r in rows
        ],
        right=(0, 2),
    )


def write_history(
    paper: Paper, product: str, size: str, seasons: Sequence[SeasonRow], last: Sequence[MovementRow]
) -> None:
    """A product's seasons, and its last movements."""
    paper.heading(f"History of {product}, by the {size}")
    heads = ("Season", "Carried", "Put up", "Came in", "Given", "Lost", "Used", "Counted", "Left")
    paper.table(
        heads,
        [
            (
                s.season,
                *(
                    as_words(n)
                    for n in (s.carried_over, s.put_up, s.came_in, s.given, s.lost, s.used, s.counted, s.left)
                ),
            )
            for s in seasons
        ],
        right=range(1, len(heads)),
    )
    if last:
        paper.heading("The last movements")
        paper.table(
            ("Day", "How many", "Why", "Where", "Note"),
            [(day_and_year(m.day), m.count, m.reason, m.where, m.note) for m in last],
            right=(1,),
        )


def write_part_jars(paper: Paper, rows: Sequence[PartRow], today: date) -> None:
    """Part jars, the oldest first, with how long each one's clock still runs."""
    paper.heading("Part jars")
    if not rows:
        paper.line("None open.")
        return
    paper.table(
        ("Product", "Left", "Opened", "Clock runs to", "Where", "Note"),
        [(r.product, r.left, day_and_year(r.opened), _clock(r.last, today), r.where, r.note) for r in rows],
        right=(1,),
    )


def _clock(last: date | None, today: date) -> str:
    if last is None:
        return "no clock"
    return f"{day_and_year(last)}, past it" if last < today else day_and_year(last)


def write_glass(
    paper: Paper, rows: Sequence[tuple[str, int, int, int, int]], lids: Sequence[tuple[str, int]]
) -> None:
    """Jars by size: full, empties, out, owned; then lids."""
    paper.heading("Jars and lids")
    paper.table(
        ("Size", "Full", "Empties", "Out", "Owned"),
        [(size, *(str(n) for n in numbers)) for size, *numbers in rows],
        right=(1, 2, 3, 4),
    )
    paper.line("Lids on hand: " + ", ".join(f"{count} {kind}" for kind, count in lids) + ".")


def write_log(paper: Paper, rows: Sequence[tuple[int, date, str, str, str]]) -> None:
    """What was said, the newest first. rows: number, day, command, who, 'undone' or ''."""
    paper.heading("What was written in the book")
    paper.table(
        ("No.", "Day", "What was said", "Who", ""),
        [(str(n), day_and_year(day), said, who, undone) for n, day, said, who, undone in rows],
        right=(0,),
    )


def count_words(count: Fraction, size: str) -> str:
    """'+12 qt' or '-1 qt'."""
    return ("+" if count > 0 else "-") + sized(abs(count), size)
