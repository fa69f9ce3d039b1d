"""Commands that lay out menus: one, several weeks in a row, and the schema of their JSON."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.options import (
    Announce,
    AsCsv,
    AsDates,
    Asked,
    AsPicture,
    AsXlsx,
    Away,
    Banned,
    Days,
    First,
    Full,
    Headcount,
    Pinned,
    Printed,
    SameSeed,
    ToPrint,
    counted,
    say_broken,
    show,
    timed,
    worded,
    write_files,
    written,
)
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.answer import Answer
    from pantrymeals.actions.progress import Watch
    from pantrymeals.plans.menu import MenuPlan


def menu(
    asked: Asked,
    printed: Printed,
    to_print: ToPrint,
    days: Days = 7,
    first: First = None,
    headcount: Headcount = None,
    away: Away = None,
    pin: Pinned = None,
    ban: Banned = None,
    another: Annotated[
        list[str] | None, worded("--another", "'DAY [MEAL] ROLE'", "Offer other dishes for a place: 'Tue main'.")
    ] = None,
    seed: SameSeed = None,
    seconds: Annotated[float | None, timed("Longest time to search; else 5 a week, to 300 a year.", 10)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="JSON for other programs; see `pantrymeals schema`.")] = False,
    picture: AsPicture = None,
    ics: AsDates = None,
    announced: Announce = False,
    full: Full = False,
) -> None:
    """Plan the meals, say what to bring up, and show what pinches."""
    from pantrymeals.actions.asking import taken_for
    from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu, menu_answer, with_cover
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.replan import Life, lived

    opened = asked.opened()
    household = asked.on_its_first_day(opened, opened.household, first)
    household, happened = lived(
        household, Life(tuple(headcount or ()), tuple(away or ())), first or household.today, days
    )
    for said in happened:
        typer.echo(said, err=True)
    for said in taken_for(household, ban or ()):
        typer.echo(f"{said}.", err=True)
    wish = MenuAsked(days, first, seed, seconds, tuple(pin or ()), tuple(ban or ()))

    def work(watch: Watch) -> tuple[MenuPlan, Answer]:
        plan = make_menu(household, wish, watch)
        sheet = with_cover(lay_out(household, plan, wish, pace=opened.pace, watch=watch))
        return plan, menu_answer(sheet, another or (), full=full)

    plan, answer = watched(work, quiet=printed.plain)
    printed.show(answer, as_json=as_json, printed=to_print, picture=picture, ics=ics)
    if announced:
        keep_as_announced(asked.larder, answer, plan)


def keep_as_announced(larder: Path, answer: Answer, plan: MenuPlan) -> None:
    """Keep a menu as the announced one, and say so; one that breaks a rule never comes so far."""
    from pantrymeals.actions.announced import announce as keep

    assert answer.json is not None
    _say_kept(*keep(larder, answer.json(), plan.first, plan.days))


def _say_kept(path: Path, former: tuple[Path, ...]) -> None:
    typer.echo(f"Announced, and kept as {path}.", err=True)
    for file in former:
        typer.echo(f"It takes the place of the one now called {file.name}.", err=True)


def announce(
    asked: Asked,
    printed: Printed,
    to_print: ToPrint,
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help="A menu that `menu --json` wrote, to be announced.")
    ] = None,
    full: Full = False,
    picture: AsPicture = None,
    ics: AsDates = None,
) -> None:
    """Keep a menu as the one the table has been told of; without a file, show the one that is."""
    from pantrymeals.actions.announced import announce as keep
    from pantrymeals.actions.menu import announced_sheet, menu_answer, with_cover
    from pantrymeals.actions.stored_menu import announced_in, text_of

    household = asked.opened().household
    if file is not None:
        plan = announced_in(file, household)
        _say_kept(*keep(asked.larder, text_of(file), plan.first, plan.days))
        return
    found, sheet = announced_sheet(asked.larder, household)
    typer.echo(f"{found.words[:1].upper()}{found.words[1:]}, from {found.file}:\n")
    printed.show(menu_answer(with_cover(sheet), full=full), printed=to_print, picture=picture, ics=ics)


def weeks(
    asked: Asked,
    number: Annotated[int, counted("--weeks", "How many weeks, one after another.", " of weeks", 4)] = 4,
    out: Annotated[Path | None, written("--out", "Write here, not to the terminal.")] = None,
    first: First = None,
    seed: SameSeed = None,
    seconds: Annotated[float, timed("Longest time to search, each week.", 10)] = 10.0,
    ends: Annotated[str, worded("--ends", "DAY", "Weekday that each week ends on, such as Sun.")] = "",
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    full: Full = False,
) -> None:
    """Plan several weeks, each from what the week before left, as one document."""
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.weeks import make_weeks, weeks_answer

    opened = asked.opened()
    household = asked.on_its_first_day(opened, opened.household, first)
    done = watched(lambda watch: make_weeks(household, number, seed, seconds, watch, ends, opened.pace, first))
    answer = weeks_answer(done, full=full)
    if out is None:
        show(answer, csv=csv, xlsx=xlsx)
    else:
        write_files(answer, csv=csv, xlsx=xlsx, pdf=out)
        say_broken(answer.broken)


def schema() -> None:
    """Print the JSON schema of `menu --json`."""
    from pantrymeals.actions.menu import schema_text

    typer.echo(schema_text())


COMMANDS: Commands = {"menu": menu, "announce": announce, "weeks": weeks, "schema": schema}
