"""Commands of a month without the store: `no-store`, `slip`, `no-store-end`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from pantrymeals.cli.options import (
    Asked,
    Days,
    First,
    Full,
    Larder,
    PrintedOrJson,
    SameSeed,
    ToPrint,
    dated,
    say_the_day,
    timed,
)
from pantrymeals.cli.streams import tell
from pantrymeals.cli.together import Commands


def no_store(
    asked: Asked,
    printed: PrintedOrJson,
    to_print: ToPrint,
    days: Days = 30,
    first: First = None,
    whole_menu: Annotated[bool, typer.Option("--menu", help="Every meal and the pull list too.")] = False,
    seed: SameSeed = None,
    seconds: Annotated[float | None, timed("Time for all of it; else about two minutes a month.", 60)] = None,
    full: Full = False,
) -> None:
    """Rehearse days without the store: what runs out and when, how far it goes, what to let in."""
    from pantrymeals.actions.announced import still_to_come
    from pantrymeals.actions.no_store import make_no_store, no_store_answer
    from pantrymeals.actions.progress import watched

    opened = asked.opened()
    household = opened.household
    told = [plan for _, plan in still_to_come(asked.larder, household)]
    sheet = watched(
        lambda watch: make_no_store(
            household,
            first,
            days,
            1 if seed is None else seed,
            seconds,
            watch,
            told,
            opened.pace,
            alike=seed is not None,
        ),
        quiet=printed.plain,
    )
    printed.show(no_store_answer(sheet, whole_menu=whole_menu or full, full=full), printed=to_print)


def slip(
    what: Annotated[str, typer.Argument(metavar="WHAT", help="What was bought, such as 'coffee'.")],
    price: Annotated[str, typer.Argument(metavar="PRICE", help="What it cost, such as 6.50.")],
    larder: Larder = Path(),
    day: Annotated[date | None, dated("--on", "The day; else today.")] = None,
) -> None:
    """Write down something bought outside the rules, without scolding."""
    from pantrymeals.actions.book.pantry import read_pantry
    from pantrymeals.actions.no_store import bought
    from pantrymeals.cli.book.common import ask_about_ahead

    if day is None or (larder / "household.yaml").exists():
        pantry = read_pantry(larder, day, date.today())
        say_the_day(pantry.own_today or pantry.today, day)
        ask_about_ahead(pantry, f"{pantry.today}", pantry.today)
        day = pantry.today
    tell(bought(larder, day, what, price))


def no_store_end(
    first: Annotated[date, dated("--from", "The first day without the store.")],
    asked: Asked,
    printed: PrintedOrJson,
    days: Days = 30,
) -> None:
    """How the days without the store ended: days held, dollars, shelves emptied, what to put up more of."""
    from pantrymeals.actions.no_store import end_answer

    printed.show(end_answer(asked.larder, first, days, asked.today, date.today()))


COMMANDS: Commands = {"no-store": no_store, "slip": slip, "no-store-end": no_store_end}
