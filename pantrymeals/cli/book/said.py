"""The table's word after a meal: `said`."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from pantrymeals.cli.book.common import Entering, said_again
from pantrymeals.cli.complete import complete_dish
from pantrymeals.cli.options import show
from pantrymeals.cli.together import Commands


def said(
    entering: Entering,
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[WORD [DISH]]",
            help="again, not again, too much or too little; of the last meal's dish if none is named.",
            autocompletion=complete_dish,
        ),
    ] = None,
) -> None:
    """What the table says of a dish: again, not again, too much, too little; without a word, all that was said."""
    from pantrymeals.actions.book.table_word import heard_answer, lines_of, said_now, word_meant
    from pantrymeals.actions.larder import load_larder

    household = load_larder(entering.larder, entering.day, date.today())
    if not words:
        show(heard_answer(household))
        return
    meant = word_meant(household, " ".join(words))
    with entering.opened() as desk:
        command = said_again("said", words)
        written = desk.enter(command, lambda book: lines_of(household, book, meant, desk.pantry.today))
    lines = said_now(load_larder(entering.larder, entering.day, date.today()), written.lines)
    for line in [*lines, *(["  'undo' takes it back."] if lines else [])]:
        typer.echo(line)


COMMANDS: Commands = {"said": said}
