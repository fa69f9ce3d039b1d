"""The commands. Everything heavy is imported inside them, so that `--help` comes at once."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from typer.main import get_command

from pantrymeals import __version__
from pantrymeals.cli_options import (
    RULES_BROKEN,
    Days,
    First,
    Larder,
    Plain,
    SameSeed,
    Today,
    in_seconds,
    wants_colour,
    whole_number,
)
from pantrymeals.cli_quick import read_plainly
from pantrymeals.errors import PantryError

if TYPE_CHECKING:
    from pantrymeals.records import Household
    from pantrymeals.reports.sheet import MenuSheet

app = typer.Typer(
    name="pantrymeals",
    help="Menus, pull lists, run-out and next season's put-up list, from the shelves of one household.",
    rich_markup_mode=None,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)


@app.command("menu")
def menu(
    larder: Larder = Path(),
    days: Days = 7,
    first: First = None,
    pin: Annotated[
        list[str] | None,
        typer.Option("--pin", metavar="'DAY: DISH'", help="Put a dish on a day: 'Sun: Trout cakes'."),
    ] = None,
    ban: Annotated[
        list[str] | None, typer.Option("--ban", metavar="DISH", help="Leave a dish out, this once.")
    ] = None,
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
    as_json: Annotated[
        bool, typer.Option("--json", help="JSON for other programs; see `pantrymeals schema`.")
    ] = False,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", metavar="FILE", help="Also write the menu and pull list as PDF.")
    ] = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Plan the meals, say what to bring up, and show what pinches."""
    from pantrymeals.actions.asking import taken_for
    from pantrymeals.actions.menu import Asked, lay_out, make_menu
    from pantrymeals.actions.progress import watched

    household = _open(larder, today)
    for said in taken_for(household, ban or ()):
        typer.echo(f"{said}.", err=True)
    asked = Asked(days, first, seed, seconds, tuple(pin or ()), tuple(ban or ()))
    plan = watched(lambda watch: make_menu(household, asked, watch))
    sheet = lay_out(household, plan, asked)
    if as_json:
        from pantrymeals.reports.plan_json import menu_json

        typer.echo(menu_json(sheet))
    else:
        typer.echo(full_text(sheet, colour=wants_colour(plain)), nl=False)
        for place in swap or ():
            typer.echo(_swap_text(sheet, place, colour=wants_colour(plain)), nl=False)
    if pdf is not None:
        from pantrymeals.actions.printing import print_menu

        print_menu(sheet, pdf)
        typer.echo(f"Written: {pdf}", err=True)
    if sheet.broken:
        _say_broken(sheet)
        raise typer.Exit(RULES_BROKEN)


@app.command("weeks")
def weeks(
    larder: Larder = Path(),
    number: Annotated[
        int,
        typer.Option(
            "--weeks", parser=whole_number(" of weeks", 4), metavar="NUMBER", help="How many weeks, one after another."
        ),
    ] = 4,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="Write here, not to the terminal.")
    ] = None,
    seed: SameSeed = None,
    seconds: Annotated[
        float,
        typer.Option(
            "--seconds", parser=in_seconds(10), metavar="NUMBER", help="Longest time to search, each week."
        ),
    ] = 10.0,
    ends: Annotated[
        str, typer.Option("--ends", metavar="DAY", help="Weekday that each week ends on, such as Sun.")
    ] = "",
    today: Today = None,
) -> None:
    """Plan several weeks, each from what the week before left, as one document."""
    from pantrymeals.actions.printing import write_safely
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.weeks import make_weeks
    from pantrymeals.reports.weeks_markdown import weeks_text

    household = _open(larder, today)
    done = watched(lambda watch: make_weeks(household, number, seed, seconds, watch, ends))
    text = weeks_text(done)
    if out is None:
        typer.echo(text, nl=False)
    else:
        write_safely(out, text.encode())
        typer.echo(f"Written: {out}", err=True)
    if any(sheet.broken for sheet in done.weeks):
        for sheet in done.weeks:
            _say_broken(sheet)
        raise typer.Exit(RULES_BROKEN)


@app.command("schema")
def schema() -> None:
    """Print the JSON schema of `menu --json`."""
    from pantrymeals.reports.plan_json import schema_text

    typer.echo(schema_text())


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"pantrymeals {__version__}")
        raise typer.Exit()


@app.callback()
def everything(
    _version_wanted: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop."),
    ] = False,
) -> None:
    """Menus, pull lists, run-out and next season's put-up list, from the shelves of one household."""


def _open(larder: Path, today: date | None) -> Household:
    from pantrymeals.actions.menu import open_larder

    return open_larder(larder, today, date.today())


def full_text(sheet: MenuSheet, *, colour: bool) -> str:
    """The menu, the pull list and what pinches, as one text for a terminal or a pipe."""
    from pantrymeals.reports.clash_terminal import write_clash
    from pantrymeals.reports.menu_terminal import write_menu
    from pantrymeals.reports.paper import Paper
    from pantrymeals.reports.pull_terminal import write_pull_list
    from pantrymeals.reports.run_out_terminal import write_pinches

    paper = Paper(colour=colour)
    write_menu(paper, sheet)
    write_clash(paper, sheet.clash)
    write_pull_list(paper, sheet.household, sheet.pull)
    write_pinches(paper, sheet)
    return paper.text()


def _swap_text(sheet: MenuSheet, place: str, *, colour: bool) -> str:
    from pantrymeals.actions.swap import offers_for
    from pantrymeals.reports.paper import Paper
    from pantrymeals.reports.swaps_terminal import write_swaps

    found = offers_for(sheet.household, sheet.plan, place)
    paper = Paper(colour=colour)
    write_swaps(paper, sheet.household, (found.day, found.meal, found.role, found.dish), found.offers)
    return paper.text()


def _say_broken(sheet: MenuSheet) -> None:
    for fault in sheet.broken:
        typer.echo(f"broken rule: {fault}", err=True)


_NEIGHBOURS = {
    "cli_book": "add_book_commands",
    "cli_run_out": "add_run_out_commands",
    "cli_season": "add_season_commands",
    "cli_no_store": "add_no_store_commands",
    "cli_replan": "add_replan_commands",
}
"""Modules of further commands, and the function of each that adds them."""


def _add_neighbours() -> None:
    for name, adds in _NEIGHBOURS.items():
        full = f"pantrymeals.{name}"
        try:
            module = importlib.import_module(full)
        except ModuleNotFoundError as error:
            if error.name != full:
                raise
            continue
        getattr(module, adds)(app)


_add_neighbours()


def only_what_is_said(app: typer.Typer, words: Sequence[str]) -> None:
    """Leave in the program the one command whose name is said first; all of them where none is.

    typer builds every command it has before it runs one, and ours are more than forty: a tally would
    wait longer for the others than for the book.
    """
    said = words[0] if words else ""
    commands = [c for c in app.registered_commands if c.name == said]
    groups = [g for g in app.registered_groups if g.name == said]
    if commands or groups:
        app.registered_commands, app.registered_groups = commands, groups


def main() -> None:
    """Run a command; a household's mistakes are said line by line, never as a traceback.

    Exit codes: 0 well, 1 something a household can mend, 2 the command was typed wrongly,
    3 the checker found a fault in our menu, 130 stopped by Ctrl-C.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a letter gets '?', not a crash.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    only_what_is_said(app, sys.argv[1:])
    program = get_command(app)
    read_plainly(program)
    try:
        program()
    except PantryError as error:
        print(error, file=sys.stderr)
        sys.exit(1)
    except KeyboardInterrupt:
        print("Stopped; nothing was written.", file=sys.stderr)
        sys.exit(130)
    except BrokenPipeError:
        # The reader (head, less) went away: point stdout at nothing, so that Python's last flush is quiet.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)


if __name__ == "__main__":
    main()
