"""How many tomatoes of every kind do we eat in a year: `history --every-kind`."""

from __future__ import annotations

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import kinds_meant
from pantrymeals.actions.with_book import Larder
from pantrymeals.larder.book_history import lines_of, weeks_known
from pantrymeals.larder.every_kind import eaten_by_kind
from pantrymeals.tables import asked as tables_of


def every_kind_answer(larder: Larder, said: str) -> Answer:
    """What is eaten in a year of all that the words speak of. Raises NotUnderstood where nothing is called so."""
    from pantrymeals.reports.terminal.evening import write_kinds

    household = larder.household
    lines = lines_of(household.products, larder.book)
    names = kinds_meant(household.products, said)
    eaten = eaten_by_kind(household, lines, weeks_known(lines, household.today), said, names)
    return Answer(lambda paper: write_kinds(paper, eaten), tables=lambda: tables_of.every_kind(eaten))
