"""Can I spare two pints of salsa: the command `spare`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.words import Said, whole_only
from pantrymeals.actions.with_book import Larder
from pantrymeals.forecast.spare import spare
from pantrymeals.tables import asked as tables_of

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan


def spare_answer(larder: Larder, said: Said, plan: MenuPlan | None = None) -> Answer:
    """Whether so much can go and the rest still reach its day. Raises NotUnderstood for part of a jar."""
    from pantrymeals.reports.terminal.evening import write_spared

    whole = whole_only(said)
    product = larder.household.products[whole.product.name]
    found = spare(larder.household, larder.pace, product, whole.size, whole.count, larder.to_come(plan))
    return Answer(lambda paper: write_spared(paper, found), tables=lambda: tables_of.spared(found))
