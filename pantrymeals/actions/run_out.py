"""Will it reach the new crop: the forecast, its back-test, what if, and the freezer-off sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import tables
from pantrymeals.actions import food_tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.with_book import Larder
from pantrymeals.errors import PantryError
from pantrymeals.forecast.eat_first import eat_first
from pantrymeals.forecast.foresee import PATHS, foresee
from pantrymeals.forecast.marks import thresholds_from
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.outlook import BackTest, Forecast, WhatIf
from pantrymeals.records import Household
from pantrymeals.reports.json.figures import figures_json
from pantrymeals.reports.terminal.eat_first import write_eat_first
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.run_out_forecast import (
    write_back_test,
    write_cover,
    write_forecast,
    write_hungry_gap,
    write_what_if,
)


class Chance(Struct, frozen=True):
    """How the future is drawn: paths, seed, and the household's own thresholds by name."""

    paths: int = PATHS
    seed: int = 1
    limits: Mapping[str, float] | None = None


def run_out(larder: Larder, chance: Chance, plan: MenuPlan | None = None) -> Forecast:
    """When each product runs out, how sure that is, its mark and what to do. Raises PantryError.

    plan: the menu that is followed; of its days those to come count.
    """
    limits, ahead = thresholds_from(chance.limits or {}), larder.to_come(plan)
    return foresee(larder.household, larder.pace, ahead, limits=limits, paths=chance.paths, seed=chance.seed)


def tested_on_the_past(larder: Larder, weeks_ahead: int, chance: Chance) -> BackTest:
    """How well use was foreseen at past month-ends."""
    from pantrymeals.forecast.backtest import back_test

    paths = min(chance.paths, 2000)
    return back_test(larder.household, larder.book, weeks_ahead, paths, chance.seed)


def what_if(
    larder: Larder, wishes: Sequence[str], chance: Chance, plan: MenuPlan | None = None
) -> tuple[WhatIf, Forecast]:
    """What the wishes together change, and the forecast under them. Raises PantryError."""
    from pantrymeals.forecast.compare import compare
    from pantrymeals.forecast.what_if import apply_all

    plan = larder.to_come(plan)
    changed = apply_all(larder.household, wishes)
    before = run_out(larder, chance, plan)
    limits = thresholds_from(chance.limits or {})
    after = foresee(
        changed.household,
        replace(larder, household=changed.household).pace,
        limits=limits,
        paths=chance.paths,
        seed=chance.seed,
        factor=changed.factor,
        idle=changed.banned,
        also={row.product for row in before.rows},
    )
    was = (larder.household, before, food_tables.whole_larder(larder.household))
    now = (after, food_tables.whole_larder(changed.household, changed.banned))
    return compare(changed, was, now, plan), after


def run_out_answer(larder: Larder, chance: Chance, plan: MenuPlan | None = None, *, everything: bool = True) -> Answer:
    """When each product runs out, and how long the whole larder lasts. Raises PantryError."""
    return forecast_answer(larder, run_out(larder, chance, plan), everything=everything)


def forecast_answer(larder: Larder, forecast: Forecast, *, everything: bool = True) -> Answer:
    """A forecast as it is shown, and how long the whole larder lasts. Raises PantryError."""
    from pantrymeals.reports.pictures.outlook import board_picture

    cover = food_tables.whole_larder(larder.household)

    def write(paper: Paper) -> None:
        write_forecast(paper, forecast, everything=everything, cover=cover)
        write_cover(paper, cover)

    return Answer(
        write,
        lambda: figures_json(forecast=forecast, cover=cover),
        lambda: tables.run_out(forecast, cover),
        picture=lambda: board_picture(forecast),
    )


def course_answer(larder: Larder, name: str, chance: Chance, plan: MenuPlan | None = None) -> Answer:
    """When one product runs out, and how it goes there. Raises NotUnderstood where no one product is meant."""
    from pantrymeals.actions.asking import product_meant
    from pantrymeals.forecast.course import course
    from pantrymeals.reports.pictures.outlook import course_picture

    product = product_meant(larder.household, name)
    forecast = run_out(larder, chance, plan)
    rows = tuple(row for row in forecast.rows if row.product == product)
    if not rows:
        raise PantryError(f"there is no {product} in the house, and nothing wants it")
    found = course(larder.household, larder.pace, forecast, product, larder.to_come(plan), chance.paths)
    return Answer(
        lambda paper: write_forecast(paper, replace(forecast, rows=rows)),
        lambda: figures_json(course=found),
        lambda: tables.course(found),
        picture=lambda: course_picture(found),
    )


def hungry_gap_answer(larder: Larder, chance: Chance, plan: MenuPlan | None = None) -> Answer:
    """Which families of food are gone when, in the year ahead."""
    from pantrymeals.forecast.course import hungry_gap
    from pantrymeals.reports.pictures.outlook import gap_picture

    weeks = hungry_gap(larder.household, run_out(larder, chance, plan))
    name = larder.household.name
    return Answer(
        lambda paper: write_hungry_gap(paper, name, weeks),
        lambda: figures_json(household=name, weeks=weeks),
        lambda: tables.hungry_gap(weeks),
        picture=lambda: gap_picture(weeks, name),
    )


def what_if_answer(larder: Larder, wishes: Sequence[str], chance: Chance, plan: MenuPlan | None = None) -> Answer:
    """What would change. Raises PantryError when a wish is not understood."""
    change, after = what_if(larder, wishes, chance, plan)
    return Answer(
        lambda paper: write_what_if(paper, change, larder.household.today),
        lambda: figures_json(what_if=change, forecast=after),
        lambda: tables.what_if(change, after),
    )


def back_test_answer(larder: Larder, weeks_ahead: int, chance: Chance) -> Answer:
    """Whether it was right before, at past month-ends."""
    test = tested_on_the_past(larder, weeks_ahead, chance)
    return Answer(
        lambda paper: write_back_test(paper, test), lambda: figures_json(back_test=test), lambda: tables.back_test(test)
    )


def eat_first_answer(larder: Larder, chance: Chance, plan: MenuPlan | None = None, *, sources: bool = False) -> Answer:
    """What will not wait, the cellar round and their cautions for the household's today."""
    from pantrymeals.reports.pages.eat_first import eat_first_pdf
    from pantrymeals.reports.pages.typeset import origin_of

    sheet = eat_first(larder.household, run_out(larder, chance, plan), food_tables.keeping())
    return Answer(
        lambda paper: write_eat_first(paper, sheet, sources=sources),
        lambda: figures_json(eat_first=sheet),
        lambda: tables.eat_first(sheet),
        lambda printing: eat_first_pdf(sheet, origin_of(larder.household), printing),
    )


def freezer_off_answer(
    household: Household, freezers: Sequence[str], full: bool | None, off_since: datetime | None
) -> Answer:
    """The sheet for freezers that are off. Raises PantryError for a place that is no freezer."""
    from pantrymeals.forecast.freezer_off import freezer_off
    from pantrymeals.reports.pages.freezer_off import freezer_pdf, write_freezer_off
    from pantrymeals.reports.pages.typeset import origin_of

    sheet = freezer_off(household, freezers, full=full, off_since=off_since)
    return Answer(
        lambda paper: write_freezer_off(paper, sheet),
        lambda: figures_json(freezer_off=sheet),
        lambda: tables.freezer_off(sheet),
        lambda printing: freezer_pdf(sheet, origin_of(household), printing),
    )
