"""Commands of the season: `season`, `sitters`, `glut`, `season-notes`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals import tables
from pantrymeals.cli.options import (
    AsCsv,
    AsJson,
    AsXlsx,
    Larder,
    Plain,
    Today,
    also_as_tables,
    in_seconds,
    paper_for,
    whole_number,
)

if TYPE_CHECKING:
    from pantrymeals.season.asked import SeasonQuestion


Seed = Annotated[
    int,
    typer.Option(
        "--seed", parser=whole_number("", 2), metavar="NUMBER", help="Other weather for the simulated seasons."
    ),
]


def season(
    larder: Larder = Path(),
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="'300 quart empties'", help="What if this were missing."),
    ] = None,
    buy_flats: Annotated[
        int | None,
        typer.Option(
            "--buy-flats",
            parser=whole_number(" of lids", 60, 0),
            metavar="NUMBER",
            help="Flat lids bought at most.",
        ),
    ] = None,
    seed: Seed = 1,
    seconds: Annotated[
        float,
        typer.Option("--seconds", parser=in_seconds(20, 0.1), metavar="NUMBER", help="Longest time for one search."),
    ] = 20.0,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """What to put up next season: jars, loads, pounds, rows, and the weeks for it."""
    from pantrymeals.actions.season import SeasonAsked, make_season

    asked = _open(larder, today, seed)
    sheet = make_season(asked, SeasonAsked(tuple(without or ()), buy_flats, seed, seconds))
    also_as_tables(csv, xlsx, lambda: tables.season(sheet.wanted, sheet.fitted))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        _say(
            figures_json(
                household=sheet.household.name,
                service=sheet.service,
                without=sheet.without,
                wanted=sheet.wanted,
                fitted=sheet.fitted,
                jar_sizes=sheet.sizes,
            )
        )
        return
    from pantrymeals.reports.terminal.season import write_season

    paper = paper_for(plain)
    write_season(
        paper,
        sheet.household.name,
        sheet.wanted,
        sheet.fitted,
        sheet.sizes,
        sheet.service,
        sheet.without,
    )
    typer.echo(paper.text(), nl=False)


def sitters(
    larder: Larder = Path(),
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """What is made and never eaten, with an honest end for each."""
    from pantrymeals.actions.sitters import find_sitters, sitter_cautions

    asked = _open(larder, today)
    rows = find_sitters(asked)
    also_as_tables(csv, xlsx, lambda: tables.sitters(rows))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        _say(figures_json(household=asked.household.name, rows=rows, cautions=sitter_cautions(rows)))
        return
    from pantrymeals.reports.terminal.sitters import write_sitters

    paper = paper_for(plain)
    write_sitters(paper, asked.household.name, rows, sitter_cautions(rows))
    typer.echo(paper.text(), nl=False)


def glut(
    crop: Annotated[str, typer.Argument(metavar="CROP", help="Such as 'green beans'.")],
    amount: Annotated[str, typer.Argument(metavar="AMOUNT", help="Such as '60 lb' or '2 bushels'.")],
    larder: Larder = Path(),
    hours: Annotated[str, typer.Option("--hours", metavar="HOURS", help="Kitchen hours there are for it.")] = "",
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """The day the beans come in: which jars does the shelf still call for?"""
    from pantrymeals.actions.season import make_glut

    plan = make_glut(_open(larder, today), crop, amount, hours)
    also_as_tables(csv, xlsx, lambda: tables.glut(plan))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        _say(figures_json(glut=plan))
        return
    from pantrymeals.reports.terminal.season_more import write_glut

    paper = paper_for(plain)
    write_glut(paper, plan)
    typer.echo(paper.text(), nl=False)


def notes(
    year: Annotated[
        int | None,
        typer.Argument(
            metavar="YEAR", parser=whole_number(" for a year", 2025), help="The year it began; else the last full one."
        ),
    ] = None,
    larder: Larder = Path(),
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """A season's notes: put up, eaten, given, lost, carried over, and how the list did."""
    from pantrymeals.actions.season import make_notes

    asked = _open(larder, today)
    found = make_notes(asked, year)
    also_as_tables(csv, xlsx, lambda: tables.season_notes(found))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        _say(figures_json(household=asked.household.name, notes=found))
        return
    from pantrymeals.reports.terminal.season_more import write_notes

    paper = paper_for(plain)
    write_notes(paper, asked.household.name, found)
    typer.echo(paper.text(), nl=False)


def add_season_commands(app: typer.Typer) -> None:
    """Add the season's commands to the program's."""
    app.command("season")(season)
    app.command("sitters")(sitters)
    app.command("glut")(glut)
    app.command("season-notes")(notes)


def _open(larder: Path, today: date | None, seed: int = 1) -> SeasonQuestion:
    from pantrymeals.actions.season import open_season

    return open_season(larder, today, date.today(), seed)


def _say(text: str) -> None:
    typer.echo(text)
