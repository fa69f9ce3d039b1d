"""The freezer-off sheet: on the terminal, and as a page to hang on the freezer."""

from __future__ import annotations

from itertools import groupby

from pantrymeals.plans.outlook import Clock, FreezerOff, PackLine
from pantrymeals.reports.pages.typeset import (
    AS_USUAL,
    Cell,
    Col,
    Origin,
    Printing,
    boxed,
    cautioned,
    heading,
    page,
    set_pages,
    steps,
    table,
    title,
    words,
    write_in,
)
from pantrymeals.reports.terminal.cautions import write_cautions
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import about_sized
from pantrymeals.words import capital, day_and_year, short_day


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


def freezer_pdf(sheet: FreezerOff, origin: Origin, printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    name = f"Freezer off: {'; '.join(sheet.freezers)}"
    blocks = [
        title(name, f"{sheet.household}, {day_and_year(sheet.today)}"),
        write_in(("Went off at", 9), ("on again at", 9), ("warmest seen", 6)),
        boxed(capital(_clock_words(clock)) for clock in sheet.clocks),
    ]
    for where, packs in groupby(sheet.packs, key=lambda pack: pack.where):
        blocks.append(heading(f"In {where}"))
        for (group, verdict), lines in groupby(packs, key=lambda pack: (pack.group, pack.verdict)):
            cells: list[Cell] = [[("tick", _pack_words(pack))] for pack in lines]
            blocks.append(words(("strong", capital(group)), ("quiet", verdict)))
            blocks.append(table(_TWO, [(*cells[n : n + 2], "")[:2] for n in range(0, len(cells), 2)]))
    blocks += [heading("What to do"), steps(sheet.steps), *cautioned("Cautions", sheet.cautions)]
    return set_pages(name, [page(blocks)], origin, printing)


_TWO = (Col("", "1fr"), Col("", "1fr"))
