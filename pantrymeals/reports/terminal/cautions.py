"""Cautions under a report, each with its number and whom to ask."""

from __future__ import annotations

from collections.abc import Iterable

from pantrymeals.cautions import CAUTIONS, CautionShown
from pantrymeals.reports.terminal.paper import Paper

BEFORE = "Before you begin"


def write_marked(paper: Paper, cautions: Iterable[str]) -> None:
    """One marked line each, under what they speak of."""
    for caution in cautions:
        paper.line(("! ", "bold yellow"), caution, hang=2)


def write_cautions(paper: Paper, heading: str, cautions: Iterable[CautionShown]) -> None:
    """Each under its number, so that it can be looked up; what has none stands alone. Nothing where there are none."""
    cautions = tuple(cautions)
    if not cautions:
        return
    paper.heading(heading)
    for each in cautions:
        number = f"{each.number}  " if each.number in CAUTIONS else ""
        asked = f" ({each.authority})" if each.authority else ""
        paper.line((number, "bold"), each.words, (asked, "dim"), hang=4 if number else 0)
