"""Commands of the first evening: files begun, a first count, dishes of one's own, and what is behind a figure."""

from __future__ import annotations

from datetime import date

from pantrymeals.cli.options import Asked, Printed, ProductWords
from pantrymeals.cli.together import Commands


def explain(words: ProductWords, asked: Asked, printed: Printed) -> None:
    """Say which figure of a product came from where: your own files, or the catalogue and its source."""
    from pantrymeals.actions.explain import explain_answer

    printed.show(explain_answer(asked.larder, " ".join(words), asked.today, date.today()))


COMMANDS: Commands = {"explain": explain}
