"""What is asked of an evening, each one command and one screen."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book.common import amount_asked_of
from pantrymeals.cli.options import Asked, Printed, Words, say_the_day, whole_number
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.records import Household

When = Annotated[list[str], typer.Argument(metavar="WHEN", help="Such as last Easter, this winter, or 2025-12-24.")]
NoMenu = Annotated[bool, typer.Option("--no-menu", help="Leave the announced menu out of it.")]


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


def eaten(asked: Asked, printed: Printed, words: When) -> None:
    """What we ate then, day by day, with the table's word: 'last Easter', 'Christmas Eve', 'yesterday', a date."""
    from pantrymeals.actions.eaten import eaten_answer

    printed.show(eaten_answer(asked.larder, _at_home(asked), " ".join(words)))


def spare(asked: Asked, printed: Printed, words: Words, no_menu: NoMenu = False) -> None:
    """Can so much be spared? The forecast of a product as it is, and with that many jars fewer."""
    from pantrymeals.actions.larder import pantry_of
    from pantrymeals.actions.spare import spare_answer

    opened = asked.opened()
    said = amount_asked_of(pantry_of(asked.larder, opened.household), words)
    printed.show(spare_answer(opened, said, asked.menu_counted(opened, without=no_menu)))


def worth(asked: Asked, printed: Printed, words: When) -> None:
    """What our food cost and saved then, at store prices: 'this winter', 'last month', 'December'."""
    from pantrymeals.actions.worth import worth_answer

    printed.show(worth_answer(asked.larder, asked.opened(), " ".join(words)))


COMMANDS: Commands = {"tonight": tonight, "eaten": eaten, "spare": spare, "worth": worth}
