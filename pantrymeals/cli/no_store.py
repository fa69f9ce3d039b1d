"""Commands of a month without the store: `no-store`, `slip`, `no-store-end`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from pantrymeals.cli.options import (
    AsCsv,
    AsJson,
    AsXlsx,
    Days,
    First,
    Larder,
    MenuSeed,
    Plain,
    Today,
    in_seconds,
    parse_day,
    say_the_day,
    show,
)


def no_store(
    larder: Larder = Path(),
    days: Days = 30,
    first: First = None,
    whole_menu: Annotated[bool, typer.Option("--menu", help="Every meal and the pull list too.")] = False,
    seed: MenuSeed = 1,
    seconds: Annotated[
        float | None,
        typer.Option(
            "--seconds",
            parser=in_seconds(60),
            metavar="NUMBER",
            help="Time for all of it; else about two minutes a month.",
        ),
    ] = None,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Rehearse days without the store: what pinches and when, how far it goes, what to let in."""
    from pantrymeals.actions.announced import still_to_come
    from pantrymeals.actions.no_store import make_no_store, no_store_answer
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.run_out import how_we_eat, open_with_book

    opened = open_with_book(larder, today, date.today())
    household, pace = opened.household, how_we_eat(opened)
    say_the_day(household.today, today)
    announced = still_to_come(larder, household) if first is not None and first > household.today else None
    if announced is not None:
        typer.echo(f"Until then: {announced[0].words}.", err=True)
    told = None if announced is None else announced[1]
    sheet = watched(lambda watch: make_no_store(household, first, days, seed, seconds, watch, told, pace), quiet=plain)
    show(no_store_answer(sheet, whole_menu=whole_menu), plain, as_json, csv=csv, xlsx=xlsx)


def slip(
    what: Annotated[str, typer.Argument(metavar="WHAT", help="What was bought, such as 'coffee'.")],
    price: Annotated[str, typer.Argument(metavar="PRICE", help="What it cost, such as 6.50.")],
    larder: Larder = Path(),
    day: Annotated[
        date | None, typer.Option("--on", parser=parse_day, metavar="DATE", help="The day; else today.")
    ] = None,
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
    typer.echo(bought(larder, day, what, price))


def no_store_end(
    first: Annotated[
        date, typer.Option("--from", parser=parse_day, metavar="DATE", help="The first day without the store.")
    ],
    larder: Larder = Path(),
    days: Days = 30,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """How the days without the store ended: days held, dollars, shelves emptied, what to put up more of."""
    from pantrymeals.actions.no_store import end_answer

    show(end_answer(larder, first, days, today, date.today()), plain, as_json, csv=csv, xlsx=xlsx)


def add_no_store_commands(app: typer.Typer) -> None:
    """Add these commands to the program's."""
    app.command("no-store")(no_store)
    app.command("slip")(slip)
    app.command("no-store-end")(no_store_end)
