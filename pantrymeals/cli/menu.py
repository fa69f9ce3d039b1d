"""Commands that lay out menus: one, several weeks in a row, and the schema of their JSON."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals import tables
from pantrymeals.cli.options import (
    RULES_BROKEN,
    Announce,
    AsCsv,
    AsXlsx,
    Days,
    First,
    Larder,
    Plain,
    SameSeed,
    Today,
    also_as_tables,
    in_seconds,
    wants_colour,
    whole_number,
)

if TYPE_CHECKING:
    from pantrymeals.records import Household
    from pantrymeals.reports.sheet import MenuSheet


def add_menu_commands(app: typer.Typer) -> None:
    """Hang the commands on the program."""
    app.command("menu")(menu)
    app.command("announce")(announce)
    app.command("weeks")(weeks)
    app.command("schema")(schema)


def menu(
    larder: Larder = Path(),
    days: Days = 7,
    first: First = None,
    pin: Annotated[
        list[str] | None,
        typer.Option("--pin", metavar="'DAY: DISH'", help="Put a dish on a day: 'Sun: Trout cakes'."),
    ] = None,
    ban: Annotated[list[str] | None, typer.Option("--ban", metavar="DISH", help="Leave a dish out, this once.")] = None,
    swap: Annotated[
        list[str] | None,
        typer.Option("--swap", metavar="'DAY MEAL ROLE'", help="Offer other dishes for a place: 'Tue main'."),
    ] = None,
    seed: SameSeed = None,
    seconds: Annotated[
        float | None,
        typer.Option(
            "--seconds",
            parser=in_seconds(10),
            metavar="NUMBER",
            help="Longest time to search; else 5 a week, to 300 a year.",
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="JSON for other programs; see `pantrymeals schema`.")] = False,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", metavar="FILE", help="Also write the menu and pull list as PDF.")
    ] = None,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    announced: Announce = False,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Plan the meals, say what to bring up, and show what pinches."""
    from pantrymeals.actions.asking import taken_for
    from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu
    from pantrymeals.actions.progress import watched

    household = _open(larder, today)
    for said in taken_for(household, ban or ()):
        typer.echo(f"{said}.", err=True)
    asked = MenuAsked(days, first, seed, seconds, tuple(pin or ()), tuple(ban or ()))
    plan = watched(lambda watch: make_menu(household, asked, watch))
    sheet = lay_out(household, plan, asked)
    if as_json:
        from pantrymeals.reports.json.plan import menu_json

        typer.echo(menu_json(sheet))
    else:
        typer.echo(full_text(sheet, colour=wants_colour(plain)), nl=False)
        for place in swap or ():
            typer.echo(_swap_text(sheet, place, colour=wants_colour(plain)), nl=False)
    if pdf is not None:
        from pantrymeals.actions.printing import print_menu

        print_menu(sheet, pdf)
        typer.echo(f"Written: {pdf}", err=True)
    also_as_tables(csv, xlsx, lambda: tables.menu(sheet.plan, sheet.pull))
    if sheet.broken:
        _say_broken(sheet)
        raise typer.Exit(RULES_BROKEN)
    if announced:
        keep_as_announced(larder, sheet)


def keep_as_announced(larder: Path, sheet: MenuSheet) -> None:
    """Keep a menu as the announced one, and say so; one that breaks a rule never comes so far."""
    from pantrymeals.actions.announced import announce as keep
    from pantrymeals.reports.json.plan import menu_json

    _say_kept(*keep(larder, menu_json(sheet), sheet.plan.first, sheet.plan.days))


def _say_kept(path: Path, former: tuple[Path, ...]) -> None:
    typer.echo(f"Announced, and kept as {path}.", err=True)
    for file in former:
        typer.echo(f"It takes the place of the one now called {file.name}.", err=True)


def announce(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help="A menu that `menu --json` wrote, to be announced.")
    ] = None,
    larder: Larder = Path(),
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Keep a menu as the one the table has been told of; without a file, show the one that is."""
    from pantrymeals.actions.announced import announce as keep
    from pantrymeals.actions.announced import announced_sheet
    from pantrymeals.actions.stored_menu import announced_in, text_of

    household = _open(larder, today)
    if file is not None:
        plan = announced_in(file, household)
        _say_kept(*keep(larder, text_of(file), plan.first, plan.days))
        return
    found, sheet = announced_sheet(larder, household)
    also_as_tables(csv, xlsx, lambda: tables.menu(sheet.plan, sheet.pull))
    typer.echo(f"{found.words[:1].upper()}{found.words[1:]}, from {found.file}:\n")
    typer.echo(full_text(sheet, colour=wants_colour(plain)), nl=False)


def weeks(
    larder: Larder = Path(),
    number: Annotated[
        int,
        typer.Option(
            "--weeks", parser=whole_number(" of weeks", 4), metavar="NUMBER", help="How many weeks, one after another."
        ),
    ] = 4,
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write here, not to the terminal.")] = None,
    seed: SameSeed = None,
    seconds: Annotated[
        float,
        typer.Option("--seconds", parser=in_seconds(10), metavar="NUMBER", help="Longest time to search, each week."),
    ] = 10.0,
    ends: Annotated[
        str, typer.Option("--ends", metavar="DAY", help="Weekday that each week ends on, such as Sun.")
    ] = "",
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    today: Today = None,
) -> None:
    """Plan several weeks, each from what the week before left, as one document."""
    from pantrymeals.actions.printing import write_safely
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.weeks import make_weeks
    from pantrymeals.reports.pages.weeks import weeks_text

    household = _open(larder, today)
    done = watched(lambda watch: make_weeks(household, number, seed, seconds, watch, ends))
    text = weeks_text(done)
    if out is None:
        typer.echo(text, nl=False)
    else:
        write_safely(out, text.encode())
        typer.echo(f"Written: {out}", err=True)
    also_as_tables(csv, xlsx, lambda: tables.weeks(sheet.plan for sheet in done.weeks))
    if any(sheet.broken for sheet in done.weeks):
        for sheet in done.weeks:
            _say_broken(sheet)
        raise typer.Exit(RULES_BROKEN)


def schema() -> None:
    """Print the JSON schema of `menu --json`."""
    from pantrymeals.reports.json.plan import schema_text

    typer.echo(schema_text())


def _open(larder: Path, today: date | None) -> Household:
    from pantrymeals.actions.menu import open_larder

    return open_larder(larder, today, date.today())


def full_text(sheet: MenuSheet, *, colour: bool) -> str:
    """The menu, the pull list and what pinches, as one text for a terminal or a pipe."""
    from pantrymeals.reports.terminal.clash import write_clash
    from pantrymeals.reports.terminal.menu import write_menu
    from pantrymeals.reports.terminal.paper import Paper
    from pantrymeals.reports.terminal.pull import write_pull_list
    from pantrymeals.reports.terminal.run_out import write_pinches

    paper = Paper(colour=colour)
    write_menu(paper, sheet)
    write_clash(paper, sheet.clash)
    write_pull_list(paper, sheet.household, sheet.pull)
    write_pinches(paper, sheet)
    return paper.text()


def _swap_text(sheet: MenuSheet, place: str, *, colour: bool) -> str:
    from pantrymeals.actions.swap import offers_for
    from pantrymeals.reports.terminal.paper import Paper
    from pantrymeals.reports.terminal.swaps import write_swaps

    found = offers_for(sheet.household, sheet.plan, place)
    paper = Paper(colour=colour)
    write_swaps(paper, sheet.household, (found.day, found.meal, found.role, found.dish), found.offers)
    return paper.text()


def _say_broken(sheet: MenuSheet) -> None:
    for fault in sheet.broken:
        typer.echo(f"broken rule: {fault}", err=True)
