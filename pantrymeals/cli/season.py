"""Commands of the season: `season`, `sitters`, `glut`, `season-notes`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.options import (
    MOST_SEED,
    AsCsv,
    AsJson,
    AsXlsx,
    Larder,
    Plain,
    Today,
    in_seconds,
    say_the_day,
    show,
    whole_number,
)

if TYPE_CHECKING:
    from pantrymeals.actions.season import SeasonQuestion


Seed = Annotated[
    int,
    typer.Option(
        "--seed",
        parser=whole_number("", 2, 0, MOST_SEED),
        metavar="NUMBER",
        help="Other weather for the simulated seasons.",
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
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.season import SeasonAsked, season_answer

    wish = SeasonAsked(tuple(without or ()), buy_flats, seed, seconds)
    asked = _open(larder, today, seed)
    answer = at_once(lambda: season_answer(asked, wish), "what to put up", quiet=plain)
    show(answer, plain, as_json, csv=csv, xlsx=xlsx)


def sitters(
    larder: Larder = Path(), as_json: AsJson = False, plain: Plain = False, today: Today = None,
    csv: AsCsv = None, xlsx: AsXlsx = None,
) -> None:  # fmt: skip
    """What is made and never eaten, with an honest end for each."""
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.season import sitters_answer

    asked = _open(larder, today)
    answer = at_once(lambda: sitters_answer(asked), "what is never eaten", quiet=plain)
    show(answer, plain, as_json, csv=csv, xlsx=xlsx)


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
    from pantrymeals.actions.season import glut_answer

    show(glut_answer(_open(larder, today), crop, amount, hours), plain, as_json, csv=csv, xlsx=xlsx)


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
    from pantrymeals.actions.season import notes_answer

    show(notes_answer(_open(larder, today), year), plain, as_json, csv=csv, xlsx=xlsx)


def add_season_commands(app: typer.Typer) -> None:
    """Add the season's commands to the program's."""
    app.command("season")(season)
    app.command("sitters")(sitters)
    app.command("glut")(glut)
    app.command("season-notes")(notes)


def _open(larder: Path, today: date | None, seed: int = 1) -> SeasonQuestion:
    from pantrymeals.actions.season import open_season

    asked = open_season(larder, today, date.today(), seed)
    say_the_day(asked.household.today, today)
    return asked
