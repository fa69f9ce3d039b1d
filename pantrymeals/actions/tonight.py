"""What can I cook tonight: the command `tonight`."""

from __future__ import annotations

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import meal_meant
from pantrymeals.menu.tonight import tonight
from pantrymeals.records import Household
from pantrymeals.tables import asked as tables_of


def tonight_answer(household: Household, minutes: int | None = None, meal: str = "supper") -> Answer:
    """What could be cooked today for a meal, in so many minutes. Raises NotUnderstood for a meal there is not."""
    from pantrymeals.reports.terminal.evening import write_tonight

    found = tonight(household, meal_meant(meal), minutes)
    return Answer(
        lambda paper: write_tonight(paper, household, found), tables=lambda: tables_of.can_cook(household, found)
    )
