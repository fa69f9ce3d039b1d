"""Commands of a month without the store: `no-store`, `slip`, `no-store-end`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals import tables
from pantrymeals.cli.options import (
    RULES_BROKEN,
    AsCsv,
    AsJson,
    AsXlsx,
    Days,
    First,
    Larder,
    MenuSeed,
    Plain,
    Today,
    also_as_tables,
    in_seconds,
    paper_for,
    parse_day,
)

if TYPE_CHECKING:
    pass


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
    from pantrymeals.actions.menu import open_larder
    from pantrymeals.actions.no_store import make_no_store
    from pantrymeals.actions.progress import watched

    household = open_larder(larder, today, date.today())
    announced = still_to_come(larder, household) if first is not None and first > household.today else None
    if announced is not None:
        typer.echo(f"Until then: {announced[0].words}.", err=True)
    told = None if announced is None else announced[1]
    sheet = watched(lambda watch: make_no_store(household, first, days, seed, seconds, watch, told))
    found = sheet.rehearsal
    also_as_tables(csv, xlsx, lambda: tables.no_store(found, sheet.menu.pull))
    if as_json:
        from pantrymeals.reports.json.no_store import no_store_json

        typer.echo(no_store_json(found, sheet.menu, sheet.before))
    else:
        from pantrymeals.reports.terminal.no_store import write_no_store

        paper = paper_for(plain)
        write_no_store(paper, found, sheet.menu, sheet.before)
        if whole_menu:
            from pantrymeals.reports.terminal.menu import write_menu
            from pantrymeals.reports.terminal.pull import write_pull_list

            paper.blank()
            write_menu(paper, sheet.menu)
            write_pull_list(paper, found.household, sheet.menu.pull)
        typer.echo(paper.text(), nl=False)
    if sheet.broken:
        for fault in sheet.broken:
            typer.echo(f"broken rule: {fault}", err=True)
        raise typer.Exit(RULES_BROKEN)


def slip(
    what: Annotated[str, typer.Argument(metavar="WHAT", help="What was bought, such as 'coffee'.")],
    price: Annotated[str, typer.Argument(metavar="PRICE", help="What it cost, such as 6.50.")],
    larder: Larder = Path(),
    day: Annotated[
        date | None, typer.Option("--on", parser=parse_day, metavar="DATE", help="The day; else today.")
    ] = None,
) -> None:
    """Write down something bought outside the rules, without scolding."""
    from pantrymeals.actions.slips import price_meant, write_slip
    from pantrymeals.plans.no_store import Slip
    from pantrymeals.reports.no_store_words import dollars
    from pantrymeals.words import short_day

    written = Slip(day or date.today(), what, price_meant(price))
    path = write_slip(larder, written)
    typer.echo(f"Written in {path.name}: {short_day(written.day)}, {what}, {dollars(written.price_usd)}.")


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
    from pantrymeals.actions.no_store import end_no_store

    household, ended = end_no_store(larder, first, days, today, date.today())
    also_as_tables(csv, xlsx, lambda: tables.no_store_end(ended))
    if as_json:
        from pantrymeals.reports.json.no_store import ending_json

        typer.echo(ending_json(ended))
        return
    from pantrymeals.reports.terminal.no_store_ending import write_ending

    paper = paper_for(plain)
    write_ending(paper, ended, household)
    typer.echo(paper.text(), nl=False)


def add_no_store_commands(app: typer.Typer) -> None:
    """Add these commands to the program's."""
    app.command("no-store")(no_store)
    app.command("slip")(slip)
    app.command("no-store-end")(no_store_end)
