"""What is asked of an evening, each one command and one screen."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.options import Asked, Printed, say_the_day, whole_number
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.records import Household


def _at_home(asked: Asked) -> Household:
    """The household as its book tells it; a day behind the calendar's is said. Raises PantryError."""
    from pantrymeals.actions.larder import load_larder

    household = load_larder(asked.larder, asked.today, date.today())
    say_the_day(household.today, asked.today)
    return household


def tonight(
    asked: Asked,
    printed: Printed,
    minutes: Annotated[
        int | None,
        typer.Argument(metavar="[MINUTES]", parser=whole_number(" of minutes", 30), help="At most so many for a dish."),
    ] = None,
    meal: Annotated[str, typer.Option("--meal", metavar="MEAL", help="breakfast, lunch or supper.")] = "supper",
) -> None:
    """What can be cooked today as it stands, with nothing to thaw: what each dish takes, and from which shelf."""
    from pantrymeals.actions.tonight import tonight_answer

    printed.show(tonight_answer(_at_home(asked), minutes, meal))


COMMANDS: Commands = {"tonight": tonight}
