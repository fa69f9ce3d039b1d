"""The Tarrows in January: what their cook would do with a free Wednesday and Saturday."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.with_book import open_with_book
from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.checking.batch_days import minutes_free
from pantrymeals.checking.menu import broken_rules
from pantrymeals.files.household import read_household
from pantrymeals.plans.menu import BatchWork, MenuPlan
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household
from tests.kitchens.tiny import menu, supper

DEMO = Path(__file__).parents[3] / "demo"
PACE = Fraction(22, 25)
"""The larder holds more than can be eaten: a usual week's common pace."""


@pytest.fixture(scope="module")
def home() -> Household:
    return read_household(DEMO)


def week(household: Household, days: int = 7) -> MenuPlan:
    """So many days without dishes at the usual pace, with the batch days that are proposed."""
    first = household.today
    idle = menu(household, [supper(first + timedelta(n), open_roles=("main",)) for n in range(days)], pace=PACE)
    return with_batch_days(household, idle)


def test_hours_are_those_written_in_the_season_file(home: Household) -> None:
    assert minutes_free(home, date(2026, 1, 17)) == 300
    assert minutes_free(home, date(2026, 1, 21)) == 420
    assert minutes_free(home, date(2026, 1, 19)) == 0
    assert minutes_free(home, date(2026, 5, 2)) == 0


def test_the_first_week_fills_what_runs_short_and_sauces_nothing_that_is_eaten(home: Household) -> None:
    works = {w.name: w for w in week(home).batch_work}
    # Ten of forty pounds of apples would be left, two of six heads of cabbage: eaten, not put up beside 72 qt of sauce.
    assert not {"Sauce the wrinkled apples", "Kraut the last cabbages"} & works.keys()
    assert "the next batch of canned brown beans is due by 15 Apr" in works["Beans for the shelf"].why
    assert "raspberry jam runs out about 20 Apr" in works["Jam from frozen berries"].why
    assert {w.day.strftime("%a") for w in works.values()} == {"Sat", "Wed"}


def test_the_checker_has_nothing_against_them(home: Household) -> None:
    plan = week(home, 28)
    assert plan.batch_work
    assert [x for x in broken_rules(home, plan) if "batch" in x] == []


def nine_weeks(here: Household) -> list[BatchWork]:
    """What is done in nine weeks in which nothing is cooked."""
    done: list[BatchWork] = []
    for _ in range(9):
        plan = week(here)
        done += plan.batch_work
        here = household_after(here, plan)
    return done


def test_what_is_done_is_not_proposed_again_and_kraut_is_made_before_mid_march(home: Household) -> None:
    """With the shelf of kraut empty."""
    done = nine_weeks(replace(home, lots=tuple(x for x in home.lots if x.product != "Sauerkraut")))
    kraut = [w.day for w in done if w.name == "Kraut the last cabbages"]
    assert kraut
    assert max(kraut) < date(2026, 3, 15)
    assert sum(w.times for w in done if w.name == "Beans for the shelf") <= 2
    sauced = sum(w.times for w in done if w.name == "Sauce the wrinkled apples")
    assert sauced <= 1  # 70 lb less what is eaten leave no second forty


def test_beside_two_dozen_jars_of_kraut_no_cabbage_is_salted_and_no_bone_boiled_for_36_of_stock() -> None:
    """The book tells how little of either was eaten."""
    here = open_with_book(DEMO, date(2026, 1, 17), date(2026, 1, 17)).household
    assert not {"Kraut the last cabbages", "Stock day"} & {w.name for w in nine_weeks(here)}


def test_without_the_apples_that_wrinkle_no_sauce(home: Household) -> None:
    gone = replace(home, lots=tuple(x for x in home.lots if x.product != "Apples, mid-season"))
    assert "Sauce the wrinkled apples" not in {w.name for w in week(gone).batch_work}
