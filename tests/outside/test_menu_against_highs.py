"""Menus of small and middle kitchens, solved again by HiGHS on an independently written model.

Source of every right answer here: HiGHS, through highspy, on ``second_model.SecondModel``. The pace is judged by
a program of its own; all else is read from the records a second time.
"""

from __future__ import annotations

import re
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.menu import lay_out
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import NoMenuFits
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household, Leaving
from pantrymeals.reports.terminal.menu import write_menu
from pantrymeals.reports.terminal.paper import Paper
from tests.benchmarks.larders import larder, suppers_only
from tests.kitchens.own_reading import put_bands, read
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    part_jar,
    rules,
    standing,
)
from tests.outside.second_model import SecondModel
from tests.outside.second_pace import fits_at
from tests.property.every_menu import kitchens

CLOSE = 0.02
"""Points: HiGHS and CP-SAT hold rows to about a millionth, and costs run to some ten thousand points."""


def second_answer(household: Household, plan: MenuPlan, seconds: float = 60) -> float:
    question = read(household, plan.first, plan.days)
    at_its_pace, at_best = fits_at(question, float(plan.pace)), fits_at(question, None)
    assert at_its_pace <= at_best + 0.001 * len(plan.shares) + 1e-6
    put_bands(question, plan.pace)
    least = SecondModel(question).least_cost(seconds)
    assert least is not None
    return least


def agree(household: Household, days: int, seconds: float = 60) -> MenuPlan:
    plan = plan_menu(household, MenuRequest(household.today, days, gap=0.0, seconds=seconds))
    assert plan.ended == "proven"
    assert broken_rules(household, plan) == []
    assert plan.cost == pytest.approx(second_answer(household, plan, seconds), abs=CLOSE)
    assert plan.bound == pytest.approx(plan.cost, abs=CLOSE)
    return plan


def test_half_a_jar_comes_back_within_its_life() -> None:
    salsa = jar("Salsa", opened_days=3, must_last_to=day(5), deadline_kind="new crop")
    home = kitchen(
        products=[salsa, loose("Corn")],
        lots=[lot("Salsa", 3), lot("Corn", 30, "lb")],
        dishes=[
            dish("Cakes", ["1/2 qt Salsa", "1 lb Corn"], days_between=2),
            dish("Mush", ["2 lb Corn"]),
            dish("Bake", ["1/2 qt Salsa"], days_between=4),
        ],
        part_jars=(part_jar("Salsa", "1/2 qt", MONDAY - timedelta(days=1)),),
    )
    agree(home, 6)


def test_packs_leavings_standing_use_and_arrivals_together() -> None:
    home = kitchen(
        products=[
            jar("Joint", sizes=("piece=1 each",), thaw_days=2, opened_days=3, kind="freezer"),
            jar("Beans", sizes=("qt", "pt"), opened_days=4),
            loose("Roots", must_last_to=day(4), deadline_kind="keeps to"),
        ],
        lots=[lot("Joint", 2, "piece"), lot("Beans", 4), lot("Beans", 3, "pt"), lot("Roots", 20, "lb")],
        dishes=[
            dish("Roast", ["1 each Joint", "2 lb Roots"], tags=("roast",), covers=("side",),
                 leaves=Leaving("cold cuts", Fraction(4), 2)),
            dish("Cold plate", ["1/2 qt Beans"], needs_left="cold cuts", tags=("cold",)),
            dish("Bean pot", ["1 1/2 qt Beans"], tags=("beans",), days_between=2),
            dish("Root pie", ["3 lb Roots"], days_between=2),
            dish("Beans", ["1/2 qt Beans"], role="side", tags=("beans",), days_between=1),
            dish("Mash", ["1 lb Roots"], role="side", days_between=2, goes_with=("roast", "cold")),
        ],
        meals=[meal_roles(roles=("main", "side"))],
        standing=(standing("Beans", "2 qt"),),
        arrivals=(arrival("Beans", "2 qt", day(3)),),
        rules=rules(days_between={"main": 3, "side": 1}, not_twice=("beans",), fixed={"Wed": "roast"},
                    at_most={"beans": 4}),
    )  # fmt: skip
    agree(home, 7)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(kitchens())
def test_random_tiny_kitchens(made: tuple[Household, int]) -> None:
    home, days = made
    try:
        agree(home, days)
    except NoMenuFits:
        assert SecondModel(read(home, home.today, days)).least_cost(20) is None


@pytest.mark.parametrize(("seed", "days"), [(1, 3), (2, 4)])
def test_generated_larders(seed: int, days: int) -> None:
    agree(larder(seed, 40, 40), days)


@pytest.mark.slow
def test_a_week_of_three_meals_from_a_small_larder() -> None:
    agree(larder(5, 40, 40), 7, seconds=120)


def test_three_days_of_the_demo(demo_folder: Path) -> None:
    agree(load_larder(demo_folder, None, MONDAY), 3)


def printed_proof(home: Household, plan: MenuPlan) -> float:
    """By how much of its cost, at most, a menu could be better, as the sheet says it."""
    paper = Paper()
    write_menu(paper, lay_out(home, plan))
    text = " ".join(paper.text().split())
    if "No menu under these rules is better." in text:
        return 0.0
    said = re.search(r"No menu under these rules can be more than ([\d.]+) % better\.", text)
    assert said is not None, text
    return float(said[1]) / 100


@pytest.mark.parametrize(
    ("seed", "many", "days", "gap", "seconds"), [(5, 10, 3, 0.3, 30.0), (2, 8, 11, 0.01, 3.0), (3, 8, 11, 0.01, 3.0)]
)
def test_no_menu_of_the_second_model_refutes_what_is_printed_of_the_proof(
    seed: int, many: int, days: int, gap: float, seconds: float
) -> None:
    """Of a menu that need only be near the best, and of two long ones, whose bound is not far from it."""
    home = suppers_only(larder(seed, many, many))
    plan = plan_menu(home, MenuRequest(home.today, days, gap=gap, seconds=seconds))
    least = second_answer(home, plan, 20)
    better = printed_proof(home, plan)
    assert plan.cost * (1 - better) <= least + CLOSE
    assert least <= plan.cost + CLOSE


def test_both_say_when_nothing_fits() -> None:
    home = kitchen(rules=rules(days_between={"main": 3}))
    with pytest.raises(NoMenuFits):
        plan_menu(home, MenuRequest(MONDAY, 3, pinned=(Pin(day(0), "Bean soup"), Pin(day(1), "Bean soup"))))
    question = read(home, MONDAY, 3, ((day(0), "Bean soup"), (day(1), "Bean soup")))
    assert SecondModel(question).least_cost(20) is None
