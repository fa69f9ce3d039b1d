"""A dish on a card of half a sheet: what goes in, how it is cooked, for whom not."""

from __future__ import annotations

from pantrymeals.plans.dish import DishSheet
from pantrymeals.records import Household
from pantrymeals.reports.pages.typeset import (
    AS_USUAL,
    Block,
    Printing,
    cautions,
    heading,
    origin_of,
    page,
    set_pages,
    steps,
    title,
    words,
)
from pantrymeals.reports.terminal.dish import for_whom, leavings_words, marks, method_steps, minutes_words, uses_words
from pantrymeals.words import sentence


def dish_pdf(household: Household, sheet: DishSheet, printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    dish = sheet.dish
    blocks: list[Block] = [
        title(dish.name, sentence(for_whom(sheet))),
        words(*(("small", sentence(said)) for said in (minutes_words(sheet), dish.note) if said)),
        words(*(("strong", said) for said in marks(sheet))),
        heading("What goes in"),
        words(*(("tick" if first else "quiet", said) for said, first in uses_words(household, sheet))),
        heading("How it is cooked"),
        steps(method_steps(household, sheet)) if dish.method else words(("plain", "Nothing is written down.")),
    ]
    blocks += [words(("strong", said)) for said in _ahead(sheet)]
    if said := leavings_words(sheet):
        blocks.append(words(("small", said)))
    return set_pages(
        dish.name, [page([*blocks, cautions(sheet.pull.cautions)], fit=True, half=True)], origin_of(household), printing
    )


def _ahead(sheet: DishSheet) -> list[str]:
    return [
        f"{'The day' if a.days_before == 1 else f'{a.days_before} days'} before: {a.what}." for a in sheet.dish.ahead
    ]
