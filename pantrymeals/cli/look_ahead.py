"""Commands that look ahead: run-out with its what-ifs, eat-first, and the freezer-off sheet."""

from __future__ import annotations

from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals import tables
from pantrymeals.cli.options import (
    AsCsv,
    AsJson,
    AsXlsx,
    Plain,
    Today,
    also_as_tables,
    paper_for,
    whole_number,
)
from pantrymeals.cli.options import Larder as LarderFolder

if TYPE_CHECKING:
    from pantrymeals.actions.run_out import Chance, Larder
    from pantrymeals.cli.options import AsTables
    from pantrymeals.plans.menu import MenuPlan


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


Seed = Annotated[
    int,
    typer.Option(
        "--seed", parser=whole_number("", 2, 0), metavar="NUMBER", help="Another seed, other futures as likely."
    ),
]
Paths = Annotated[
    int,
    typer.Option(
        "--paths",
        parser=whole_number(" of futures", 2000, 100, 100_000),
        metavar="NUMBER",
        help="How many futures are drawn, 100 to 100000.",
    ),
]
Limits = Annotated[
    list[str] | None,
    typer.Option("--limit", metavar="NAME=NUMBER", help="Your own threshold: short_below=0.3, tight_below=0.6."),
]


def run_out(
    larder: LarderFolder = Path(),
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
    ahead: Annotated[
        int,
        typer.Option(
            "--ahead",
            parser=whole_number(" of weeks", 13, 1, 52),
            metavar="NUMBER",
            help="Weeks ahead in the back-test, 1 to 52.",
        ),
    ] = 13,
    brief: Annotated[bool, typer.Option("--brief", help="Name what reaches its day, without its figures.")] = False,
    menu: Annotated[
        Path | None,
        typer.Option(
            "--menu", metavar="FILE", help="This menu's draws count while it runs; else those of the announced one."
        ),
    ] = None,
    no_menu: Annotated[bool, typer.Option("--no-menu", help="Leave the announced menu out of it.")] = False,
    limit: Limits = None,
    paths: Paths = 2000,
    seed: Seed = 1,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """When each product runs out, how sure that is, and how long the whole larder lasts."""
    opened = _open(larder, today)
    chance = _chance(paths, seed, limit)
    also = partial(also_as_tables, csv, xlsx)
    plan = None if back_test else _menu(larder, opened, menu, no_menu)
    if what_if:
        _show_what_if(opened, what_if, chance, plan, as_json, plain, also)
    elif back_test:
        _show_back_test(opened, ahead, chance, as_json, plain, also)
    else:
        _show_forecast(opened, chance, plan, as_json, plain, also, everything=not brief)


def _menu(larder: Path, opened: Larder, file: Path | None, without: bool) -> MenuPlan | None:
    """The menu whose draws count, which is said."""
    from pantrymeals.actions.run_out import menu_counted

    words, plan = menu_counted(larder, opened.household, file, without)
    if words:
        typer.echo(f"Counted while it runs: {words}.", err=True)
    return plan


def _show_forecast(
    opened: Larder,
    chance: Chance,
    plan: MenuPlan | None,
    as_json: bool,
    plain: bool,
    also: AsTables,
    *,
    everything: bool,
) -> None:
    from pantrymeals.actions.run_out import run_out as forecast_of
    from pantrymeals.actions.run_out import whole_larder

    forecast, cover = forecast_of(opened, chance, plan), whole_larder(opened.household)
    also(lambda: tables.run_out(forecast, cover))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        typer.echo(figures_json(forecast=forecast, cover=cover))
        return
    from pantrymeals.reports.terminal.run_out_forecast import write_cover, write_forecast

    paper = paper_for(plain)
    write_forecast(paper, forecast, everything=everything)
    write_cover(paper, cover)
    typer.echo(paper.text(), nl=False)


def _show_what_if(
    opened: Larder, wishes: list[str], chance: Chance, plan: MenuPlan | None, as_json: bool, plain: bool, also: AsTables
) -> None:
    from pantrymeals.actions.run_out import what_if as compared

    change, after = compared(opened, wishes, chance, plan)
    also(lambda: tables.what_if(change, after))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        typer.echo(figures_json(what_if=change, forecast=after))
        return
    from pantrymeals.reports.terminal.run_out_forecast import write_what_if

    paper = paper_for(plain)
    write_what_if(paper, change, opened.household.today)
    typer.echo(paper.text(), nl=False)


def _show_back_test(opened: Larder, ahead: int, chance: Chance, as_json: bool, plain: bool, also: AsTables) -> None:
    from pantrymeals.actions.run_out import tested_on_the_past

    test = tested_on_the_past(opened, ahead, chance)
    also(lambda: tables.back_test(test))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        typer.echo(figures_json(back_test=test))
        return
    from pantrymeals.reports.terminal.run_out_forecast import write_back_test

    paper = paper_for(plain)
    write_back_test(paper, test)
    typer.echo(paper.text(), nl=False)


def eat_first(
    larder: LarderFolder = Path(),
    sources: Annotated[bool, typer.Option("--sources", help="Say where each keeping time comes from.")] = False,
    seed: Seed = 1,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """What will not wait, a dish for each, and the weekly round of cellar and loft."""
    from pantrymeals.actions.eat_first import eat_first_now

    sheet = eat_first_now(_open(larder, today), _chance(2000, seed, None))
    also_as_tables(csv, xlsx, lambda: tables.eat_first(sheet))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        typer.echo(figures_json(eat_first=sheet))
        return
    from pantrymeals.reports.terminal.eat_first import write_eat_first

    paper = paper_for(plain)
    write_eat_first(paper, sheet, sources=sources)
    typer.echo(paper.text(), nl=False)


def freezer_off(
    freezer: Annotated[
        list[str] | None, typer.Argument(help="Which freezers, by code or name; all if none is named.")
    ] = None,
    larder: LarderFolder = Path(),
    since: Annotated[
        datetime | None,
        typer.Option("--since", parser=_hour, metavar="TIME", help="When it went off: '2026-01-17 06:30'."),
    ] = None,
    full: Annotated[
        bool | None,
        typer.Option("--full/--half-full", help="How full it is, if not as the place's note says."),
    ] = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", metavar="FILE", help="Also write the sheet as PDF.")] = None,
    as_json: AsJson = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """The sheet for a freezer that is off: contents by shelf, the clocks, what to do with each pack."""
    from pantrymeals.actions.run_out import freezer_off_sheet, print_freezer_off

    sheet = freezer_off_sheet(_open(larder, today).household, freezer or (), full, since)
    also_as_tables(csv, xlsx, lambda: tables.freezer_off(sheet))
    if as_json:
        from pantrymeals.reports.json.figures import figures_json

        typer.echo(figures_json(freezer_off=sheet))
    else:
        from pantrymeals.reports.pages.freezer_off import write_freezer_off

        paper = paper_for(plain)
        write_freezer_off(paper, sheet)
        typer.echo(paper.text(), nl=False)
    if pdf is not None:
        print_freezer_off(sheet, pdf)
        typer.echo(f"Written: {pdf}", err=True)


def add_run_out_commands(app: typer.Typer) -> None:
    """Put run-out, eat-first and freezer-off among the commands."""
    app.command("run-out")(run_out)
    app.command("eat-first")(eat_first)
    app.command("freezer-off")(freezer_off)


def _open(larder: Path, today: date | None) -> Larder:
    from pantrymeals.actions.run_out import open_with_book

    return open_with_book(larder, today, date.today())


def _chance(paths: int, seed: int, limits: list[str] | None) -> Chance:
    from pantrymeals.actions.run_out import Chance

    return Chance(paths, seed, dict(_limit(text) for text in limits or ()))
