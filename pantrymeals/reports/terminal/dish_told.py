"""A dish that is being added: each line as it was understood, what is a note, what is asked; then the dish itself."""

from __future__ import annotations

from pantrymeals.plans.dish import DishSheet
from pantrymeals.plans.dish_told import DishAsked, DishRead
from pantrymeals.records import Household
from pantrymeals.reports.terminal.dish import write_dish
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import METRIC_UNITS, amount_and_name
from pantrymeals.units import take_number, unit_named
from pantrymeals.words import either, plural


def write_dish_read(paper: Paper, read: DishRead, sheet: DishSheet | None, household: Household) -> None:
    """sheet: None while a question is open."""
    paper.heading(f"{read.told.name}, as it was understood")
    for line in read.taken:
        how = f" ({line.note})" if line.note else ""
        options = (said_here(household, *of) for of in zip(line.options, line.products, strict=True))
        paper.line(f"{line.written}: {' or '.join(options)}{how}", indent=2, hang=2)
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


def said_here(household: Household, option: str, product: str) -> str:
    """An option in the kitchen's own measures: '8 oz Carrots' as 'about 227 g Carrots' in a metric one.

    What is written in measures of its own stays as it is written.
    """
    taken, known = take_number(option.removesuffix(product)), household.products.get(product)
    unit = unit_named(taken[1]) if taken else None
    foreign = taken is not None and (taken[1].strip() in METRIC_UNITS or household.measures == "metric")
    if taken is None or unit is None or known is None or unit[0] != known.measure or unit[0] == "each" or not foreign:
        return option
    return amount_and_name(household, product, taken[0] * unit[1])


def words_of(question: DishAsked) -> str:
    """What is asked, with how it is answered."""
    asked = question.asked[:1].upper() + question.asked[1:]
    if not question.choices:
        return f"{asked} Answer: {question.key}=NUMBER"
    return f"{asked} Answer: {either(f'{question.key}={choice}' for choice in question.choices)}"
