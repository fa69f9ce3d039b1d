"""One page of the whole larder, gathered from what the commands answer one by one."""

from __future__ import annotations

from pantrymeals.actions import food_tables
from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.season import SeasonAsked, SeasonSheet, make_season, question_of
from pantrymeals.actions.with_book import Larder
from pantrymeals.forecast.course import course, hungry_gap
from pantrymeals.forecast.eat_first import eat_first
from pantrymeals.larder.book_history import lines_of, shelf_days
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.reports.pages.larder import Chapter, eat_first_part, gap_part, larder_html, run_out_part
from pantrymeals.reports.pages.typeset import origin_of
from pantrymeals.reports.pictures.menus import evenness_picture
from pantrymeals.reports.pictures.outlook import board_picture, course_picture, gap_picture
from pantrymeals.reports.pictures.stores import season_picture, shelf_picture
from pantrymeals.season.calendar import season_weeks

_MOST_COURSES = 8


def larder_report(
    larder: Larder, plan: MenuPlan | None, chance: Chance, *, season: bool | SeasonSheet = True
) -> bytes:  # fmt: skip
    """The page (HTML). plan: the announced menu, whose draws count while it runs.

    season: with next season's weeks; or the season, where it was worked out before.
    """
    household = larder.household
    forecast = run_out(larder, chance, plan)
    weeks = hungry_gap(household, forecast)
    parts = [
        run_out_part(forecast, food_tables.whole_larder(household), board_picture(forecast)),
        eat_first_part(eat_first(household, forecast, food_tables.keeping())),
        gap_part(weeks, gap_picture(weeks, household.name)),
    ]
    short = [row for row in forecast.rows if row.leading().mark == "short"]
    short.sort(key=lambda row: (row.leading().out or forecast.today, row.product))
    courses = [
        course(household, larder.pace, forecast, row.product, plan, chance.paths) for row in short[:_MOST_COURSES]
    ]
    if courses:
        said = f"The first {len(courses)} of {len(short)}." if len(short) > len(courses) else ""
        parts.append(
            Chapter("Those that fall short, one by one", [said] if said else [], [course_picture(c) for c in courses])
        )
    if plan is not None:
        parts.append(Chapter("The announced menu", (), [evenness_picture(household, plan)]))
    jars = [
        line
        for name, own in lines_of(household.products, larder.book).items()
        if household.products[name].kind == "jar"
        for line in own
    ]
    if jars:
        parts.append(
            Chapter(
                "The shelf through the years",
                (),
                [shelf_picture("Jars", "jars (each product in its first size)", shelf_days(jars))],
            )
        )
    if season is True and household.season.harvests:
        season = make_season(question_of(larder, chance.seed), SeasonAsked(seed=chance.seed))
    if isinstance(season, SeasonSheet):
        weeks_of_it = season_weeks(season.wanted, season.fitted)
        name = f"The season of {season.wanted.called()}"
        parts.append(Chapter(name, (), [season_picture(season.wanted.called(), weeks_of_it)]))
    return larder_html(origin_of(household), parts)
