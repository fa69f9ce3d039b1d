"""The freezer-off sheet: on the terminal, and as a page to hang on the freezer."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.outlook import Clock, FreezerOff, PackLine
from pantrymeals.reports.outlook_words import about_sized
from pantrymeals.reports.pages.typeset import PageSize, set_pages
from pantrymeals.reports.terminal.cautions import write_cautions
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import day_and_year, short_day


def write_freezer_off(paper: Paper, sheet: FreezerOff) -> None:
    """The clocks first, then each shelf's packs with what to do, the steps and the cautions."""
    paper.line((f"Freezer off: {'; '.join(sheet.freezers)}", "bold red"))
    paper.line(day_and_year(sheet.today))
    paper.heading("The clocks")
    for clock in sheet.clocks:
        paper.line(("* ", "dim"), _clock_words(clock), hang=2)
    for where, packs in groupby(sheet.packs, key=lambda pack: pack.where):
        paper.heading(f"In {where}")
        for group, lines in groupby(packs, key=lambda pack: (pack.group, pack.verdict)):
            paper.line((group[0][:1].upper() + group[0][1:], "bold"))
            paper.line((group[1], ""), indent=2)
            for pack in lines:
                paper.line(f"[ ] {_pack_words(pack)}", indent=2, hang=4)
    paper.heading("What to do")
    for number, step in enumerate(sheet.steps, 1):
        paper.line(f"{number}. {step}", hang=3)
    write_cautions(paper, "Cautions", sheet.cautions)


def _clock_words(clock: Clock) -> str:
    until = f", until {short_day(clock.until.date())} {clock.until:%H:%M}" if clock.until else ""
    about = "at most" if clock.hours == 2 else "about"
    return f"{clock.what}: {about} {clock.hours} hours{until}"


def _pack_words(pack: PackLine) -> str:
    oldest = f", oldest {pack.oldest}" if pack.oldest else ""
    return f"{pack.product}, {about_sized(pack.amount, pack.size)}{oldest}"


def freezer_pdf(sheet: FreezerOff, size: PageSize = "us-letter") -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    return set_pages("freezer_off.typ", page_data(sheet), size)


def page_data(sheet: FreezerOff) -> Mapping[str, object]:
    """All the words of the page, ready to be set."""
    return {
        "title": f"Freezer off: {'; '.join(sheet.freezers)}",
        "under": f"{sheet.household}, {day_and_year(sheet.today)}",
        "foot": STANDING_LINE,
        "clocks": [_clock_words(clock) for clock in sheet.clocks],
        "shelves": [
            {
                "where": where,
                "groups": [
                    {"name": group[0], "verdict": group[1], "packs": [_pack_words(p) for p in lines]}
                    for group, lines in groupby(list(packs), key=lambda p: (p.group, p.verdict))
                ],
            }
            for where, packs in groupby(sheet.packs, key=lambda pack: pack.where)
        ],
        "steps": list(sheet.steps),
        "cautions": [f"{c.words} ({c.authority})" for c in sheet.cautions],
    }
