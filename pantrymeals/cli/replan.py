"""Commands on a menu that is announced already: `replan` after life happened, and `another` dish for one place."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.complete import complete_dish, complete_product
from pantrymeals.cli.menu import keep_as_announced
from pantrymeals.cli.options import (
    Announce,
    AsDates,
    Asked,
    AsPicture,
    Away,
    Banned,
    Full,
    Headcount,
    MenuSeed,
    Pinned,
    Printed,
    ToPrint,
    counted,
    dated,
    timed,
    worded,
)
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.answer import Answer
    from pantrymeals.actions.progress import Watch
    from pantrymeals.plans.menu import MenuPlan

PlanFile = Annotated[Path | None, worded("--plan", "FILE", "A menu that `menu --json` wrote; else the announced one.")]


def replan(
    asked: Asked,
    printed: Printed,
    to_print: ToPrint,
    plan: PlanFile = None,
    first: Annotated[date | None, dated("--from", "First day to change; else today.")] = None,
    headcount: Headcount = None,
    away: Away = None,
    gone: Annotated[
        list[str] | None, worded("--gone", "PRODUCT", "There is none of it left.", complete_product)
    ] = None,
    keep: Annotated[list[str] | None, worded("--keep", "DAY|DISH", "Must stay as announced.", complete_dish)] = None,
    pin: Pinned = None,
    ban: Banned = None,
    whole_menu: Annotated[bool, typer.Option("--menu", help="The whole new menu and pull list too.")] = False,
    seed: MenuSeed = 1,
    seconds: Annotated[float, timed("Longest time to search.", 20)] = 20.0,
    as_json: Annotated[bool, typer.Option("--json", help="The new menu as JSON, to be announced.")] = False,
    announced: Announce = False,
    full: Full = False,
    picture: AsPicture = None,
    ics: AsDates = None,
) -> None:
    """Plan anew after life happened, changing as few announced meals as can be."""
    from pantrymeals.actions.announced import menu_asked
    from pantrymeals.actions.book.as_if_back import around_what_is_up
    from pantrymeals.actions.progress import watched
    from pantrymeals.actions.replan import Life, replan_answer
    from pantrymeals.actions.replan import replan as plan_anew

    opened = asked.opened()
    household = opened.household
    told = menu_asked(asked.larder, household, plan)
    to_plan = around_what_is_up(asked.larder, household, told, first)
    household = asked.on_its_first_day(opened, to_plan.household, told.first)
    life = Life(*(tuple(said or ()) for said in (headcount, away, gone, keep, pin, ban)))

    def work(watch: Watch) -> tuple[MenuPlan, Answer]:
        done = plan_anew(household, told, life, first, seed, seconds, watch, to_plan.pulled, to_plan.kept)
        return done.plan, replan_answer(done, whole_menu=whole_menu or full, full=full, pace=opened.pace)

    new, answer = watched(work, quiet=printed.plain)
    printed.show(answer, as_json=as_json, printed=to_print, picture=picture, ics=ics)
    if announced:
        keep_as_announced(asked.larder, answer, new)


def another(
    place: Annotated[str, typer.Argument(metavar="'DAY [MEAL] ROLE'", help="Which dish: 'Tue main', 'Tue lunch'.")],
    asked: Asked,
    printed: Printed,
    plan: PlanFile = None,
    number: Annotated[int, counted("--number", "How many offers.", " of offers", 5)] = 5,
) -> None:
    """Offer other dishes for one place of a menu, and say what each would do."""
    from pantrymeals.actions.another import menu_with
    from pantrymeals.actions.progress import at_once
    from pantrymeals.actions.swap import offers_for, swap_answer

    opened = asked.opened()
    there, told = menu_with(asked.larder, opened.household, plan, place)
    household = asked.on_its_first_day(opened, there, told.first)
    found = at_once(lambda: offers_for(household, told, place, number), "other dishes", quiet=printed.plain)
    printed.show(swap_answer(household, found))


COMMANDS: Commands = {"replan": replan, "another": another}
