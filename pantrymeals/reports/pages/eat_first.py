"""The eat-first list as a page for the kitchen wall, with boxes; then the weekly round."""

from __future__ import annotations

from collections.abc import Sequence

from pantrymeals.plans.outlook import EatFirst, MustGo, RoundLine
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
from pantrymeals.reports.terminal.eat_first import CHAPTERS, NOTHING, round_words
from pantrymeals.reports.words import about_sized
from pantrymeals.words import capital, day_and_year, sentence, the_house

_GOES = (Col(), Col("", "1.2fr"), Col("", "auto"), Col("", "1.7fr"))
_ROUND = (Col(), Col("", "1fr"), Col("", "3fr"))


def eat_first_pdf(sheet: EatFirst, origin: Origin, printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    name = f"Eat first at {the_house(sheet.household)} table"
    blocks = [title(name, day_and_year(sheet.today))]
    for kind, said in CHAPTERS:
        blocks += chapter(said, _GOES, [_row(row) for row in sheet.must_go if row.kind == kind])
    if not sheet.must_go:
        blocks.append(words(("plain", NOTHING)))
    blocks += chapter("The weekly round", _ROUND, _round(sheet.round))
    return set_pages(name, [page([*blocks, *cautioned("Cautions", sheet.cautions)])], origin, printing)


def _round(lines: Sequence[RoundLine]) -> list[tuple[Cell, ...]]:
    """A row a thing; its place is said where it begins."""
    places = [line.place_name for line in lines]
    here = ["" if place == before else capital(place) for place, before in zip(places, ["", *places], strict=False)]
    return [(TICK, place, round_words(line)) for place, line in zip(here, lines, strict=True)]


def _row(row: MustGo) -> tuple[Cell, ...]:
    cook = f"Cook: {' or '.join(row.dishes)}." if row.dishes else "No dish of the book can use it just now."
    late = row.past and row.kind == "part jar"
    why: Cell = [("plain", sentence(capital(row.why))), *([] if late else [("quiet", cook)])]
    return TICK, [("strong", row.product), ("small", about_sized(row.amount, row.size))], row.where, why
