"""A dish that is being added: each line as it was understood, what is a note, what is asked; then the dish itself."""

from __future__ import annotations

from pantrymeals.plans.dish import DishSheet
from pantrymeals.plans.dish_told import DishAsked, DishRead
from pantrymeals.records import Household
from pantrymeals.reports.terminal.dish import write_dish
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import either, plural


def write_dish_read(paper: Paper, read: DishRead, sheet: DishSheet | None, household: Household) -> None:
    """sheet: None while a question is open."""
    paper.heading(f"{read.told.name}, as it was understood")
    for line in read.taken:
        how = f" ({line.note})" if line.note else ""
        paper.line(f"{line.written}: {' or '.join(line.options)}{how}", indent=2, hang=2)
        for guess in line.guesses:
            paper.line(f"guessed: {guess}", indent=6, hang=2)
    for note in read.noted:
        paper.line(f"{note.written}: kept as a note ({note.why})", indent=2, hang=2)
    for guess in read.told.guesses:
        paper.line(f"guessed: {guess}", indent=2, hang=2)
    for left in read.told.left_out:
        paper.line(f"Left out, {left.written}: {left.why}.", indent=2, hang=2)
    for said in read.said:
        paper.line(said, indent=2, hang=2)
    if read.questions:
        paper.heading("To be asked")
        for question in read.questions:
            if question.written:
                paper.line(f"{question.key:>4}  {question.written}", hang=6)
            paper.line(words_of(question), indent=6, hang=2)
    paper.blank()
    paper.line(f"{plural(len(read.taken), 'line')} taken, {plural(len(read.noted), 'note')}, "
               f"{plural(len(read.questions), 'question')} open.")  # fmt: skip
    if sheet is not None:
        write_dish(paper, household, sheet)


def words_of(question: DishAsked) -> str:
    """What is asked, with how it is answered."""
    asked = question.asked[:1].upper() + question.asked[1:]
    if not question.choices:
        return f"{asked} Answer: {question.key}=NUMBER"
    return f"{asked} Answer: {either(f'{question.key}={choice}' for choice in question.choices)}"
