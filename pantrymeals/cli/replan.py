"""Commands on a menu that is announced already: `replan` after life happened, and `swap` one dish."""

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
    Larder,
    MenuSeed,
    Plain,
    Today,
    also_as_tables,
    in_seconds,
    paper_for,
    parse_day,
    whole_number,
)

if TYPE_CHECKING:
    from pantrymeals.reports.sheet import MenuSheet

PlanFile = Annotated[
    Path | None,
    typer.Option("--plan", metavar="FILE", help="A menu that `menu --json` wrote; else the announced one."),
]


def replan(
    plan: PlanFile = None,
    larder: Larder = Path(),
    first: Annotated[
        date | None,
        typer.Option("--from", parser=parse_day, metavar="DATE", help="First day to change; else today."),
    ] = None,
    headcount: Annotated[
        list[str] | None, typer.Option("--headcount", metavar="'DAY=N'", help="So many at supper: 'Thu=14'.")
    ] = None,
    away: Annotated[
        list[str] | None,
        typer.Option("--away", metavar="'DAY=NAME'", help="Someone is not at table that day."),
    ] = None,
    gone: Annotated[
        list[str] | None, typer.Option("--gone", metavar="PRODUCT", help="There is none of it left.")
    ] = None,
    keep: Annotated[
        list[str] | None, typer.Option("--keep", metavar="DAY|DISH", help="Must stay as announced.")
    ] = None,
    whole_menu: Annotated[bool, typer.Option("--menu", help="The whole new menu and pull list too.")] = False,
    seed: MenuSeed = 1,
    seconds: Annotated[
        float,
        typer.Option("--seconds", parser=in_seconds(20), metavar="NUMBER", help="Longest time to search."),
    ] = 20.0,
    as_json: Annotated[bool, typer.Option("--json", help="The new menu as JSON, to be announced.")] = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    announced: Announce = False,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Plan anew after life happened, changing as few announced meals as can be."""
    from pantrymeals.actions.announced import menu_asked, refuse_what_is_pulled
    from pantrymeals.actions.menu import lay_out, open_larder
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.replan import Life
    from pantrymeals.actions.replan import replan as plan_anew

    household = open_larder(larder, today, date.today())
    told = menu_asked(larder, household, plan)
    refuse_what_is_pulled(larder, household, told, max(first or household.today, household.today))
    life = Life(tuple(headcount or ()), tuple(away or ()), tuple(gone or ()), tuple(keep or ()))
    done = watched(lambda watch: plan_anew(household, told, life, first, seed, seconds, watch))
    sheet = lay_out(done.household, done.plan)
    also_as_tables(csv, xlsx, lambda: tables.changes(done.changes, done.plan, sheet.pull))
    if as_json:
        from pantrymeals.reports.json.plan import menu_json

        typer.echo(menu_json(sheet))
    else:
        from pantrymeals.reports.terminal.changes import write_changes

        paper = paper_for(plain)
        write_changes(paper, (done.plan.first, done.plan.last), done.happened, done.changes, done.scaled, done.fewest)
        typer.echo(paper.text(), nl=False)
        if whole_menu:
            typer.echo("\n" + _menu_text(sheet, plain), nl=False)
    if sheet.broken:
        for fault in sheet.broken:
            typer.echo(f"broken rule: {fault}", err=True)
        raise typer.Exit(RULES_BROKEN)
    if announced:
        from pantrymeals.cli.menu import keep_as_announced

        keep_as_announced(larder, sheet)


def swap(
    place: Annotated[str, typer.Argument(metavar="PLACE", help="Which dish: 'Tue supper main'.")],
    plan: PlanFile = None,
    larder: Larder = Path(),
    number: Annotated[
        int,
        typer.Option("--number", parser=whole_number(" of offers", 5), metavar="NUMBER", help="How many offers."),
    ] = 5,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
    today: Today = None,
) -> None:
    """Offer other dishes for one place of a menu, and say what each would do."""
    from pantrymeals.actions.announced import menu_asked
    from pantrymeals.actions.menu import open_larder
    from pantrymeals.actions.swap import offers_for
    from pantrymeals.reports.terminal.swaps import write_swaps

    household = open_larder(larder, today, date.today())
    found = offers_for(household, menu_asked(larder, household, plan), place, number)
    also_as_tables(csv, xlsx, lambda: tables.offers(found.offers))
    paper = paper_for(plain)
    write_swaps(paper, household, (found.day, found.meal, found.role, found.dish), found.offers)
    typer.echo(paper.text(), nl=False)


def _menu_text(sheet: MenuSheet, plain: bool) -> str:
    from pantrymeals.reports.terminal.menu import write_menu
    from pantrymeals.reports.terminal.pull import write_pull_list

    paper = paper_for(plain)
    write_menu(paper, sheet)
    write_pull_list(paper, sheet.household, sheet.pull)
    return paper.text()


def add_replan_commands(app: typer.Typer) -> None:
    """Give the application `replan` and `swap`."""
    app.command("replan")(replan)
    app.command("swap")(swap)
