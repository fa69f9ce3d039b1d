"""The eat-first list as a page for the kitchen wall, with boxes; then the weekly round."""

from __future__ import annotations

from itertools import groupby

from pantrymeals.plans.outlook import EatFirst, MustGo
from pantrymeals.reports.pages.typeset import (
    AS_USUAL,
    TICK,
    Cell,
    Col,
    Origin,
    Printing,
    cautioned,
    chapter,
    page,
    set_pages,
    title,
    words,
)
from pantrymeals.reports.terminal.eat_first import CHAPTERS, round_words
from pantrymeals.reports.words import about_sized
from pantrymeals.words import capital, day_and_year, sentence

_GOES = (Col(), Col("", "1.2fr"), Col("", "auto"), Col("", "1.7fr"))
_ROUND = (Col(), Col("", "1fr"))


def eat_first_pdf(sheet: EatFirst, origin: Origin, printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    name = f"Eat first at the {sheet.household} table"
    blocks = [title(name, day_and_year(sheet.today))]
    for kind, said in CHAPTERS:
        blocks += chapter(said, _GOES, [_row(row) for row in sheet.must_go if row.kind == kind])
    if not sheet.must_go:
        blocks.append(words(("plain", "Nothing presses just now.")))
    for place, lines in groupby(sheet.round, key=lambda line: line.place_name):
        rows: list[tuple[Cell, ...]] = [(TICK, round_words(line)) for line in lines]
        blocks += chapter(f"The weekly round: {place}", _ROUND, rows)
    return set_pages(name, [page([*blocks, *cautioned("Cautions", sheet.cautions)])], origin, printing)


def _row(row: MustGo) -> tuple[Cell, ...]:
    cook = f"Cook: {' or '.join(row.dishes)}." if row.dishes else "No dish of the book can use it just now."
    late = row.past and row.kind == "part jar"
    why: Cell = [("plain", sentence(capital(row.why))), *([] if late else [("quiet", cook)])]
    return TICK, [("strong", row.product), ("small", about_sized(row.amount, row.size))], row.where, why
