"""A stored menu that has begun: its past days have left the shelf, its days to come alone are reckoned with."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.run_out import Chance, course_answer, eat_first_answer, hungry_gap_answer, run_out, what_if
from pantrymeals.actions.with_book import Larder, menu_counted, open_with_book
from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import BatchWork, ChosenUse, MenuPlan
from pantrymeals.records import BatchDay, Household
from tests.kitchens.tiny import cooked, day, dish, jar, kitchen, loose, lot, menu, qty, supper, use

CHANCE = Chance(paths=50)
WEEK = Path(__file__).parents[2] / "golden" / "demo_week.json"


def _four_tarts(jars: int) -> tuple[Household, MenuPlan]:
    """A jar a tart on four days running, all before its month is over."""
    home = kitchen(
        products=[jar("Jam", must_last_to=day(140), deadline_kind="new crop", eaten_in=frozenset({day(0).month}))],
        lots=[lot("Jam", jars)],
        dishes=[dish("Tart", ["1 qt Jam"])],
    )
    return home, menu(home, [supper(day(n), cooked(home, "Tart")) for n in range(4)])


def test_days_that_are_past_are_past() -> None:
    home, plan = _four_tarts(2)
    begun = Larder(replace(home, today=day(2)), ())
    forecast = run_out(begun, CHANCE, plan)
    assert forecast.menu_days == 2, "four days, of which two are past"
    assert forecast.rows[0].as_planned.out == day(3), "two jars there, and two tarts to come"
    fresh = menu(begun.household, [supper(day(n), cooked(home, "Tart")) for n in (2, 3)])
    assert forecast == run_out(begun, CHANCE, fresh), "as a menu of those two days alone"


@pytest.mark.parametrize("ahead", [4, 30, 800])
def test_a_menu_that_is_over_takes_nothing_more(ahead: int) -> None:
    home, plan = _four_tarts(6)
    later = Larder(replace(home, today=day(ahead)), ())
    assert run_out(later, CHANCE, plan) == run_out(later, CHANCE)
    assert run_out(later, CHANCE, plan).menu_days == 0


def test_a_batch_day_that_is_past_is_not_done_once_more() -> None:
    beans = BatchDay("Beans for the shelf", (use("4 lb Beans, dry"),), (), 60)
    home = kitchen(
        products=[loose("Beans, dry"), jar("Jam")],
        lots=[lot("Beans, dry", 10, "lb"), lot("Jam", 4)],
        dishes=[dish("Pot", ["1 lb Beans, dry"])],
        batch_days={beans.name: beans},
    )
    work = BatchWork(day(0), beans.name, 1, "", (ChosenUse("Beans, dry", qty("4 lb")),))
    plan = menu(home, [supper(day(n), open_roles=("main",)) for n in range(4)], batch_work=(work,))
    before, after = (
        run_out(Larder(replace(home, today=today), ()), CHANCE, plan).rows[0].as_planned for today in (day(0), day(1))
    )
    assert "batch day" in before.reason
    assert "batch day" not in after.reason, "its four pounds have left the shelf, or it was not done"


def test_every_answer_of_it_is_written() -> None:
    home, plan = _four_tarts(6)
    for ahead in (0, 2, 4, 400):
        begun = Larder(replace(home, today=day(ahead)), ())
        for answer in (
            course_answer(begun, "Jam", CHANCE, plan),
            hungry_gap_answer(begun, CHANCE, plan),
            eat_first_answer(begun, CHANCE, plan),
        ):
            assert answer.text(colour=False).strip()
        change, _ = what_if(begun, ["banned Jam"], CHANCE, plan)
        assert len(change.fallen_meals) == max(0, 4 - ahead), "tarts that fall are those to come"


def test_a_file_of_a_menu_that_is_over_is_said(demo_folder: Path) -> None:
    today = date(2026, 2, 17)
    household = open_with_book(demo_folder, today, today).household
    with pytest.raises(PantryError, match=r"ended on 23 Jan 2026: nothing of it is to come"):
        menu_counted(demo_folder, household, WEEK, without=False)
    monday = replace(household, today=date(2026, 1, 19))
    _, plan = menu_counted(demo_folder, monday, WEEK, without=False)
    assert plan is not None
    assert (plan.first, plan.days) == (date(2026, 1, 19), 5)


def test_season_says_of_a_menu_that_is_over_what_run_out_says(demo_folder: Path) -> None:
    over = ["--plan", str(WEEK), "--larder", str(demo_folder), "--today", "2026-02-17"]
    season, run_out_ = (CliRunner().invoke(app, [command, *over]) for command in ("season", "run-out"))
    for said in (season, run_out_):
        assert isinstance(said.exception, PantryError)
        assert "ended on 23 Jan 2026: nothing of it is to come" in str(said.exception)
    assert str(season.exception) == str(run_out_.exception)
