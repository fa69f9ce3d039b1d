"""Commands of the season: `season`, `sitters`, `crop-in`, `season-notes`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.options import (
    AsDates,
    Asked,
    AsPicture,
    PrintedOrJson,
    ToPrint,
    counted,
    seeded,
    timed,
    whole_number,
    worded,
)
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.season import SeasonQuestion


def season(
    asked: Asked,
    printed: PrintedOrJson,
    to_print: ToPrint,
    without: Annotated[
        list[str] | None, worded("--without", "'300 quart empties'", "What if this were missing; or '60 500 ml jars'.")
    ] = None,
    buy_lids: Annotated[int | None, counted("--buy-lids", "Lids bought at most.", " of lids", 60, 0)] = None,
    seed: Annotated[int, seeded("Other weather for the simulated seasons.")] = 1,
    seconds: Annotated[float, timed("Longest time for one search.", 20, 0.1)] = 20.0,
    picture: AsPicture = None,
    ics: AsDates = None,
    plan: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="Lay this menu beside the book, not the announced.")
    ] = None,
    accept: Annotated[
        bool, typer.Option("--accept", help="Keep the list as yours: what comes in is reckoned by it.")
    ] = False,
    full: Annotated[bool, typer.Option("--full", help="Each product with its reasons, day by day, and rows.")] = False,
    years: Annotated[
        int, counted("--years", "Draw so many years of the list's rule instead.", " of years", 10, 0, 50)
    ] = 0,
    lost_freezer: Annotated[
        int | None,
        counted(
            "--lost-freezer", "With --years: lost one year in so many, if not as season.yaml says.", " of years", 20, 0
        ),
    ] = None,
    lost_garden: Annotated[
        int | None,
        counted(
            "--lost-garden", "With --years: lost one year in so many, if not as season.yaml says.", " of years", 15, 0
        ),
    ] = None,
) -> None:
    """What to put up next season: jars, loads, weights, rows, and the weeks for it."""
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.season import SeasonAsked, answer_of, make_season, question_of, years_answer
    from pantrymeals.actions.with_book import ahead_in

    if years and (without or buy_lids is not None or picture or ics or to_print.pdf or accept or plan):
        raise typer.BadParameter("--years has no sheet, picture or dates, and leaves nothing out: ask without these")
    if years:
        asked_of = _open(asked, seed)
        drawn = at_once(
            lambda: years_answer(asked_of, years, lost_freezer, lost_garden, full=full), "years", quiet=printed.plain
        )
        printed.show(drawn)
        return
    if lost_freezer is not None or lost_garden is not None:
        raise typer.BadParameter("--lost-freezer and --lost-garden go with --years")
    if accept and without:
        raise typer.BadParameter("--accept keeps a list of what is there: ask it without --without")
    wish = SeasonAsked(tuple(without or ()), buy_lids, seed, seconds)
    larder = asked.opened()
    question = question_of(larder, seed, ahead_in(plan, larder.household) if plan else None)
    sheet = at_once(lambda: make_season(question, wish), "what to put up", quiet=printed.plain)
    printed.show(answer_of(sheet, full=full), printed=to_print, picture=picture, ics=ics)
    if accept:
        from pantrymeals.actions.season_accept import accept as keep

        for line in keep(asked.larder, sheet):
            typer.echo(line, err=True)


def sitters(asked: Asked, printed: PrintedOrJson) -> None:
    """What is made and never eaten, with an honest end for each."""
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.season import sitters_answer

    question = _open(asked)
    answer = at_once(lambda: sitters_answer(question), "what is never eaten", quiet=printed.plain)
    printed.show(answer)


def crop_in(
    crop: Annotated[str, typer.Argument(metavar="CROP", help="Such as 'green beans'.")],
    amount: Annotated[str, typer.Argument(metavar="AMOUNT", help="Such as '60 lb', '30 kg' or '2 bushels'.")],
    asked: Asked,
    printed: PrintedOrJson,
    hours: Annotated[str, worded("--hours", "HOURS", "Kitchen hours there are for it.")] = "",
) -> None:
    """The day the beans come in: which jars does the shelf still call for?"""
    from pantrymeals.actions.season import glut_answer

    printed.show(glut_answer(_open(asked), crop, amount, hours))


def season_notes(
    asked: Asked,
    printed: PrintedOrJson,
    year: Annotated[
        int | None,
        typer.Argument(
            metavar="YEAR", parser=whole_number(" for a year", 2025), help="The year it began; else the last full one."
        ),
    ] = None,
) -> None:
    """A season's notes: carried over, put up, given, lost, used, and how the list did."""
    from pantrymeals.actions.season import notes_answer

    printed.show(notes_answer(_open(asked), year))


def _open(asked: Asked, seed: int = 1) -> SeasonQuestion:
    from pantrymeals.actions.season import question_of

    return question_of(asked.opened(), seed)


COMMANDS: Commands = {"season": season, "sitters": sitters, "crop-in": crop_in, "season-notes": season_notes}
