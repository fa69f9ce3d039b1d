"""Commands that look ahead: run-out with its what-ifs, eat-first, and the freezer-off sheet."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.complete import complete_freezer
from pantrymeals.cli.options import (
    Asked,
    AsPicture,
    PrintedOrJson,
    ToPrint,
    counted,
    product_words,
    seeded,
    to_write,
    worded,
)
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.answer import Answer
    from pantrymeals.actions.run_out import Chance


def _hour(text: str) -> datetime:
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is not a time; write it as '2026-01-17 06:30'") from None


def _limit(text: str) -> tuple[str, float]:
    name, _, value = text.partition("=")
    try:
        return name.strip(), float(value)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is not a threshold; write it as short_below=0.3") from None


Seed = Annotated[int, seeded("Another seed, other futures as likely.")]
Paths = Annotated[
    int, counted("--paths", "How many futures are drawn, 100 to 100000.", " of futures", 2000, 100, 100_000)
]
Limits = Annotated[
    list[str] | None, worded("--limit", "NAME=NUMBER", "Your own threshold: short_below=0.3, tight_below=0.6.")
]


def run_out(
    asked: Asked,
    printed: PrintedOrJson,
    product: Annotated[list[str] | None, product_words("[PRODUCT]", "Only this one: its course.")] = None,
    what_if: Annotated[
        list[str] | None,
        typer.Option(
            "--what-if",
            metavar="'...'",
            help="'freezer F2 lost', 'crop Green beans lost', 'place C-bins flooded', 'two more at table', "
            "'guest month', 'banned Noodles', 'new crop 3 weeks late'; give several for all together.",
        ),
    ] = None,
    back_test: Annotated[
        bool, typer.Option("--back-test", help="Was it right before? Tested at past month-ends.")
    ] = False,
    ahead: Annotated[int, counted("--ahead", "Weeks ahead in the back-test, 1 to 52.", " of weeks", 13, 1, 52)] = 13,
    brief: Annotated[bool, typer.Option("--brief", help="Name what reaches its day, without its figures.")] = False,
    menu: Annotated[
        Path | None, worded("--plan", "FILE", "This menu's draws count while it runs; else those of the announced one.")
    ] = None,
    no_menu: Annotated[bool, typer.Option("--no-menu", help="Leave the announced menu out of it.")] = False,
    hungry_gap: Annotated[
        bool, typer.Option("--hungry-gap", help="By family of food: what is gone when, in the year ahead.")
    ] = False,
    limit: Limits = None,
    paths: Paths = 2000,
    seed: Seed = 1,
    picture: AsPicture = None,
) -> None:
    """When each product runs out, how sure that is, and how long the whole larder lasts."""
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.run_out import (
        back_test_answer,
        course_answer,
        hungry_gap_answer,
        run_out_answer,
        what_if_answer,
    )

    opened, chance = asked.opened(), _chance(paths, seed, limit)
    plan = None if back_test else asked.menu_counted(opened, menu, no_menu)

    def look() -> Answer:
        if what_if:
            return what_if_answer(opened, what_if, chance, plan)
        if back_test:
            return back_test_answer(opened, ahead, chance)
        if product:
            return course_answer(opened, " ".join(product), chance, plan)
        if hungry_gap:
            return hungry_gap_answer(opened, chance, plan)
        return run_out_answer(opened, chance, plan, everything=not brief)

    answer = at_once(look, "many futures drawn", quiet=printed.plain)
    printed.show(answer, picture=picture)


def eat_first(
    asked: Asked,
    printed: PrintedOrJson,
    to_print: ToPrint,
    sources: Annotated[bool, typer.Option("--sources", help="Say where each keeping time comes from.")] = False,
    seed: Seed = 1,
) -> None:
    """What will not wait, a dish for each, and the weekly round of cellar and loft."""
    from pantrymeals.actions.run_out import eat_first_answer

    opened = asked.opened()
    plan = asked.menu_counted(opened)
    printed.show(eat_first_answer(opened, _chance(2000, seed, None), plan, sources=sources), printed=to_print)


def freezer_off(
    asked: Asked,
    printed: PrintedOrJson,
    to_print: ToPrint,
    freezer: Annotated[
        list[str] | None,
        typer.Argument(help="Which freezers, by code or name; all if none is named.", autocompletion=complete_freezer),
    ] = None,
    since: Annotated[
        datetime | None,
        typer.Option("--since", parser=_hour, metavar="TIME", help="When it went off: '2026-01-17 06:30'."),
    ] = None,
    full: Annotated[
        bool | None, typer.Option("--full/--half-full", help="How full it is, if not as the place's note says.")
    ] = None,
) -> None:
    """The sheet for a freezer that is off: contents by shelf, the clocks, what to do with each pack."""
    from pantrymeals.actions.run_out import freezer_off_answer

    printed.show(freezer_off_answer(asked.opened().household, freezer or (), full, since), printed=to_print)


def report(
    file: Annotated[
        Path, typer.Argument(parser=to_write(".html"), metavar="FILE", help="Ends in .html; opens in any browser.")
    ],
    asked: Asked,
    no_season: Annotated[bool, typer.Option("--no-season", help="Without next season, which takes longest.")] = False,
    seed: Seed = 1,
) -> None:
    """Write the whole larder as one page to read in a browser or send by mail: pictures and tables, nothing fetched."""
    from pantrymeals.actions.answer import write_safely
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.report import larder_report

    opened = asked.opened()
    plan = asked.menu_counted(opened)
    chance = _chance(2000, seed, None)
    made = at_once(lambda: larder_report(opened, plan, chance, season=not no_season), "the whole larder")
    write_safely(file, made)
    typer.echo(f"Written: {file}", err=True)


def _chance(paths: int, seed: int, limits: list[str] | None) -> Chance:
    from pantrymeals.actions.run_out import Chance

    return Chance(paths, seed, dict(_limit(text) for text in limits or ()))


COMMANDS: Commands = {"run-out": run_out, "eat-first": eat_first, "freezer-off": freezer_off, "report": report}
