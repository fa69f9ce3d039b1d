"""A list as it was understood, line by line, with what was guessed, asked and left out."""

from __future__ import annotations

from pantrymeals.cautions import lines_for
from pantrymeals.plans.first_count import FirstCount, Question, Understood
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import sized
from pantrymeals.words import either, letters_explained, plural


def write_first_count(paper: Paper, counted: FirstCount) -> None:
    """What counts; what was guessed under its line; then the questions, each with what may be answered."""
    paper.heading("What this list says")
    if counted.encoding:
        paper.line(f"The file: {counted.encoding}.")
    if counted.order:
        paper.line(f"Its days are read {counted.order}.")
    for line in counted.lines:
        _line(paper, line)
    if any(line.untested for line in counted.lines):
        for text in lines_for(["C4"], read_before=False):
            paper.line(text)
    if counted.already:
        paper.line(f"{plural(counted.already, 'line')} of it stand in stock.csv as they are, and count once.")
    if counted.left_out:
        paper.heading("Not counted")
        for left in counted.left_out:
            paper.line(f"{left.number:>4}  {left.written.rstrip(': ')}: {left.why}", hang=6)
    if counted.order_asked or counted.questions:
        paper.heading("To be asked")
        if counted.order_asked:
            paper.line("Do days or months come first in this list? Say it once: --dates days, or --dates months.")
        for question in counted.questions:
            paper.line(f"{question.number:>4}  {question.written}", hang=6)
            paper.line(words_of(question), indent=6, hang=2)
    paper.blank()
    if letters := letters_explained(line.size for line in counted.lines):
        paper.line(f"{letters}.")
    total = f"{plural(len(counted.lines), 'line')} understood, {plural(len(counted.new_products), 'new product')}"
    paper.line(f"{total}, {plural(len(counted.questions) + counted.order_asked, 'question')} open.")


def words_of(question: Question) -> str:
    """What is asked, with how it is answered."""
    asked = question.asked[:1].upper() + question.asked[1:]
    if not question.choices or not question.number:
        return asked
    return f"{asked} Answer: {either(f'{question.number}={choice}' for choice in question.choices)}"


def _line(paper: Paper, line: Understood) -> None:
    where = f" at {line.place}" if line.place else ""
    when = f", {line.put_up}" if line.put_up else ""
    size = line.size.partition("=")[0].strip()
    kept = f" ({line.kind})" if line.kind else ""
    paper.line(f"{line.number:>4}  {sized(line.count, size)} {line.product}{kept}{when}{where}", hang=6)
    if line.untested:
        paper.line(f"held, on no menu and in no total: {line.untested} (C4)", indent=6, hang=2)
    for guess in line.guesses:
        paper.line(f"guessed: {guess}", indent=6, hang=2)
