"""The book's tables on a terminal: lots, part jars, a product's seasons, glass, and what was said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from pantrymeals.plans.book import BookYear
from pantrymeals.records import YEAR_OPENS
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.terminal.book_rows import GlassRow, LogRow, LotRow, MovementRow, PartRow
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import kept
from pantrymeals.units import as_words
from pantrymeals.words import book_year_name, day_and_year, listed, yearly

NO_SOURCE = "source not recorded"
YEAR_HEADS = ("Carried", "Put up", "Given", "Lost", "Used")
LAST_MOVEMENTS = 12


def write_lots(paper: Paper, product: str, rows: Sequence[LotRow], jar: bool) -> None:
    """The lots of a product, the oldest first, each with its load and tested source below.

    jar: of a home-put jar, whose source is asked for.
    """
    paper.heading(f"Lots of {product}")
    if not rows:
        paper.line("None on hand.")
        return
    unsaid = NO_SOURCE if jar else ""
    paper.ledger(
        ("Lot", "Put up", "On hand", "Where", "State"),
        [
            (
                (str(r.lot), put_up_words(r.put_up), kept(r.on_hand, r.size), r.place, r.state),
                "; ".join(x for x in (r.load, r.source or unsaid) if x),
            )
            for r in rows
        ],
        right=(0, 2),
    )


_MOST_AT_A_PLACE = 26
"""Rows of a place on one screen."""


def write_place(paper: Paper, place: str, rows: Sequence[LotRow], parts: Sequence[PartRow]) -> None:
    """What stands at a place: a row for each product, size and state, its lots together; then what is open there."""
    paper.heading(place)
    kinds: dict[tuple[str, str, str], list[LotRow]] = {}
    for row in rows:
        kinds.setdefault((row.product, row.size, row.state), []).append(row)
    if not kinds and not parts:
        paper.line("Nothing, by the book.")
        return
    cells = [
        (name, kept(sum((r.on_hand for r in same), Fraction(0)), size), str(len(same)), _oldest(same), state)
        for (name, size, state), same in kinds.items()
    ]
    if cells:
        heads = ("Product", "On hand", "Lots", "Oldest", "State")
        paper.ledger(heads, [(row, "") for row in cells[:_MOST_AT_A_PLACE]], right=(1, 2))
    if more := [name for name, *_ in cells[_MOST_AT_A_PLACE:]]:
        paper.line(f"and {listed(more, 6)}")
    for part in parts:
        paper.line(f"open since {day_and_year(part.opened)}: {kept(part.left, part.size)} {part.product}", hang=2)


def _oldest(rows: Sequence[LotRow]) -> str:
    """The oldest day that stands on any; '' where none has one."""
    return put_up_words(min((row.put_up for row in rows if row.put_up), default=""))


def write_history(
    paper: Paper, product: str, size: str, seasons: Sequence[BookYear], movements: Sequence[MovementRow],
    opens: tuple[int, int] = YEAR_OPENS,
) -> None:  # fmt: skip
    """A product's seasons, and its last movements: moved from place to place apart. movements: the newest first."""
    paper.heading(f"History of {product}, by the {size}")
    paper.ledger(
        ("Book year", *YEAR_HEADS, "Left"),
        [((book_year_name(s.year), *year_cells(s)), "") for s in seasons],
        right=range(1, 7),
    )
    paper.line(
        f"A book year runs from {yearly(opens)} to {yearly(opens)}. Put up: what was bought or brought in too. What a "
        "count finds missing was used, or lost if it lies in the cellar."
    )
    last = [m for m in movements if m.reason != "moved"][:LAST_MOVEMENTS]
    if last:
        paper.heading("The last movements")
        paper.ledger(
            ("Day", "How many", "Why", "Where"),
            [((day_and_year(m.day), count_words(m), m.reason, m.place), m.note) for m in last],
            right=(1,),
        )


def count_words(row: MovementRow) -> str:
    """'+12 qt' or '-1 qt'."""
    return ("+" if row.many > 0 else "-") + kept(abs(row.many), row.size)


def year_cells(year: BookYear) -> tuple[str, ...]:
    """A book year's figures under YEAR_HEADS, and what was left."""
    figures = (year.carried_in, year.put_up, year.given, year.lost, year.used, year.carried_out)
    return tuple(map(as_words, figures))


def write_part_jars(paper: Paper, rows: Sequence[PartRow], today: date) -> None:
    """Part jars, the oldest first, with how long each one's clock still runs; then those not opened yet."""
    paper.heading("Part jars")
    if any(row.opened <= today for row in rows):
        _ledger_of_parts(paper, [row for row in rows if row.opened <= today], today, "Opened", "Where")
    else:
        paper.line("None open.")
    waiting = [row for row in rows if row.opened > today]
    if waiting:
        paper.heading("Pulled, and still to be opened")
        _ledger_of_parts(paper, waiting, today, "To be opened", "Goes to")
        paper.line(
            "Left: what the menu's dishes will leave. The clock starts when the jar is opened, or the pack lifted out."
        )


def _ledger_of_parts(paper: Paper, rows: Sequence[PartRow], today: date, opened: str, where: str) -> None:
    paper.ledger(
        ("Product", "Left", opened, "Clock runs to", where),
        [
            ((r.product, kept(r.left, r.size), day_and_year(r.opened), _clock(r.eat_by, today), r.place), r.note)
            for r in rows
        ],
        right=(1,),
    )


def _clock(last: date | None, today: date) -> str:
    if last is None:
        return "no clock"
    return f"{day_and_year(last)}, past it" if last < today else day_and_year(last)


def write_glass(paper: Paper, rows: Sequence[GlassRow], lids: Sequence[tuple[str, int]]) -> None:
    """Jars by size: full, empties, out, owned; then lids."""
    paper.heading("Jars and lids")
    paper.ledger(
        ("Size", "Full", "Empties", "Out", "Owned"),
        [((size, *map(str, numbers)), "") for size, *numbers in rows],
        right=(1, 2, 3, 4),
    )
    paper.line("A jar that stands open in the fridge is counted again when it is empty.")
    paper.line(f"Lids on hand: {', '.join(map(_lids, lids))}.")


def _lids(lids: tuple[str, int]) -> str:
    """'12 regular'; where more were used than were ever counted, that."""
    kind, count = lids
    return f"{count} {kind}" if count >= 0 else f"{kind} never counted ({-count} used since)"


def write_log(paper: Paper, rows: Sequence[LogRow]) -> None:
    """What was said, the newest first."""
    paper.heading("What was written in the book")
    if not rows:
        paper.line("Nothing is written in it yet.")
    for number, day, said, who, became in rows:
        tail = "; ".join(x for x in (who, became) if x)
        paper.line(f"{number:>5}  {day_and_year(day):<11}  {said}", (f"  ({tail})" if tail else "", "dim"), hang=20)
