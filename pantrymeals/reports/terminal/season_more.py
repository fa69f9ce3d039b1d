"""The day of a glut, and the notes of a book year, for a terminal or a pipe."""

from __future__ import annotations

from pantrymeals.plans.season import GlutPlan, SeasonNotes
from pantrymeals.reports.season_words import jar_count, percent, weight_words
from pantrymeals.reports.terminal.book_tables import YEAR_HEADS, year_cells
from pantrymeals.reports.terminal.cautions import BEFORE, write_cautions
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.words import book_year_name, sentence, yearly


def write_glut(paper: Paper, plan: GlutPlan) -> None:
    """Forms that the shelf calls for, those passed over, what is left and what to do with it."""
    paper.line((f"{weight_words(plan.lb, metric=plan.metric)} of {plan.crop}", "bold"))
    paper.heading("Put up")
    if not plan.forms:
        paper.line("None of it: the shelf calls for no more of this crop.")
    rows: list[tuple[list[Piece], str]] = [
        (
            [
                form.product,
                jar_count(form.jars, form.size),
                weight_words(form.lb, metric=plan.metric),
                percent(form.chance),
            ],
            sentence(form.why),
        )
        for form in plan.forms
    ]
    if rows:
        paper.ledger(["as", "how many", "takes", "will be called for"], rows, right=(2, 3))
    if plan.passed_over:
        paper.heading("Not as")
        for product, why in plan.passed_over:
            paper.line((f"{product}: ", "bold"), sentence(why), hang=2)
    paper.blank()
    paper.line(sentence(plan.left_words))
    write_cautions(paper, BEFORE, plan.cautions)


def write_notes(paper: Paper, household_name: str, notes: SeasonNotes) -> None:
    """A book year: carried in, put up, given, lost, used, carried out; and a verdict under each."""
    title = f"{household_name}: notes of the book year {book_year_name(notes.year)}"
    paper.line((title, "bold"))
    day = yearly(notes.opens)
    paper.line(f"{day} to {day}{', still running.' if notes.running else '.'}")
    if notes.changes:
        paper.heading(f"What to change ({len(notes.changes)} that weigh most)")
        for product, said in notes.changes:
            paper.line((f"{product}: ", "bold"), f"{said}.", hang=2)
        paper.heading("The year")
    paper.blank()
    rows = [
        ((f"{row.record.product}, {row.size}", *year_cells(row.record)), sentence(row.verdict)) for row in notes.rows
    ]
    heads = ("product", *map(str.lower, YEAR_HEADS), "left")
    paper.ledger(heads, rows, right=range(1, 7))
    paper.blank()
    for line in notes.summary:
        paper.line(line, hang=2)
