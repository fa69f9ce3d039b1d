"""A product's figures, each with who says so."""

from __future__ import annotations

from pantrymeals.plans.explained import Explained
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import listed


def write_explained(paper: Paper, explained: Explained) -> None:
    """Name, thing, figures; what the household wrote wins, and is said to be its own."""
    paper.line((explained.name, "bold"))
    if not explained.kept:
        paper.line("Not in products.csv; this is what the catalogue of stored things says.")
    elif explained.thing:
        paper.line(f"In the catalogue of stored things: {explained.thing}.")
    else:
        paper.line("Not from the catalogue: these are your own figures, and what is not here is blank.")
    if explained.also_called:
        paper.line(f"Also called there: {'; '.join(explained.also_called)}.", hang=2)
    if explained.serves_as:
        paper.line(f"Dishes of the starter book may take it as {listed(explained.serves_as)}.", hang=2)
    paper.blank()
    rows = [(f.column, f.said, f.source) for f in explained.figures]
    paper.table(("figure", "says", "from"), rows, widths=(13, 21, None))
