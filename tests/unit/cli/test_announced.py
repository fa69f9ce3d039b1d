"""The announced menu is kept with its days; a look at another does not touch it, and what was printed is pulled."""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pantrymeals.actions.announced import announce, current, current_or_say, menu_asked, without_what_is_pulled
from pantrymeals.actions.another import menu_with
from pantrymeals.actions.book.as_if_back import around_what_is_up
from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.replan import Life, Replanned, replan
from pantrymeals.actions.swap import Offers, offers_for
from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError
from pantrymeals.records import Household

HUT = Path(__file__).parents[2] / "kitchens" / "hut"


def run(folder: Path, *args: str) -> Result:
    return CliRunner().invoke(app, [*args, "--larder", str(folder)], catch_exceptions=True)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """A hut whose menu of three days was announced, and what was said."""
    folder = tmp_path_factory.mktemp("hut") / "hut"
    shutil.copytree(HUT, folder)
    return folder, run(folder, "menu", "--days", "3", "--seconds", "4", "--plain", "--announce")


@pytest.fixture
def hut(told: tuple[Path, Result], tmp_path: Path) -> Path:
    """Such a hut, to be changed."""
    return Path(shutil.copytree(told[0], tmp_path / "hut"))


def kept(folder: Path) -> list[Path]:
    return sorted((folder / "announced").iterdir())


def a_menu(folder: Path, first: date, days: int) -> None:
    announce(folder, json.dumps({"first": f"{first}"}), first, days)


def test_what_is_printed_is_what_is_kept_and_shown_again(told: tuple[Path, Result]) -> None:
    folder, said = told
    assert said.exit_code == 0, said.output
    (file,) = kept(folder)
    menu = json.loads(file.read_text(encoding="utf-8"))
    dishes = [dish["dish"] for meal in menu["meals"] for dish in meal["dishes"]]
    assert dishes
    again = run(folder, "announce", "--plain")
    assert again.exit_code == 0, again.output
    printed = said.stdout.split("WHAT PINCHES")[0]
    assert all(dish in printed for dish in dishes)
    assert printed in again.stdout, "the same menu and the same pull list"


def test_a_look_at_a_menu_announces_nothing(hut: Path) -> None:
    before = kept(hut)[0].read_bytes()
    assert run(hut, "menu", "--days", "2", "--seconds", "2", "--seed", "9").exit_code == 0
    assert [file.read_bytes() for file in kept(hut)] == [before]


def test_pull_takes_it_without_a_name_and_no_day_twice(hut: Path) -> None:
    first = run(hut, "pull")
    assert first.exit_code == 0, first.output
    assert "From the menu announced for" in first.stdout
    assert "Entered" in first.stdout
    again = run(hut, "pull")
    assert "All of that has been pulled already" in again.stdout
    assert "Pulled before, and not again:" in again.stdout
    assert "Entered" not in again.stdout


def test_run_out_counts_what_of_it_is_still_to_come(hut: Path) -> None:
    without, counted = run(hut, "run-out", "--no-menu", "--json"), run(hut, "run-out", "--json")
    assert without.exit_code == counted.exit_code == 0, counted.output
    assert without.stdout != counted.stdout
    assert "Counted while it runs: the menu announced for" in counted.stderr


def test_replan_and_swap_take_it_but_not_once_all_its_days_are_pulled(hut: Path) -> None:
    done = run(hut, "replan", "--seconds", "4", "--announce")
    assert done.exit_code == 0, done.output
    assert "No dish changes." in done.stdout
    assert [file.name.endswith("former 1.json") for file in kept(hut)] == [True, False]
    menu = json.loads(kept(hut)[1].read_text(encoding="utf-8"))
    meal = menu["meals"][0]
    asked = run(hut, "another", f"{meal['day']} {meal['meal']} {meal['dishes'][0]['role']}")
    assert asked.exit_code == 0, asked.output
    assert run(hut, "pull").exit_code == 0
    refused = run(hut, "replan", "--seconds", "4")
    assert isinstance(refused.exception, PantryError)
    assert "has been pulled" in str(refused.exception)
    assert "'undo NUMBER'" in str(refused.exception)
    assert "undo" not in refused.exception.plain, "a page has no commands"


def amounts(household: Household) -> dict[str, Fraction]:
    """What is there of each product, whole and open (base measure)."""
    there: dict[str, Fraction] = {}
    for lot in household.lots:
        there[lot.product] = there.get(lot.product, Fraction(0)) + lot.count * household.products[lot.product].content(
            lot.size
        )
    for jar in household.part_jars:
        there[jar.product] = there.get(jar.product, Fraction(0)) + jar.left
    return there


def test_replan_begins_after_the_days_that_are_pulled_and_takes_nothing_twice(hut: Path) -> None:
    def anew() -> Replanned:
        household = load_larder(hut, None, date(2026, 1, 17))
        plan = menu_asked(hut, household, None)
        pulled = without_what_is_pulled(hut, household, plan)
        first = None if pulled.again else date(2026, 1, 18)
        return replan(household, plan, Life(), first, seconds=4, pulled=pulled)

    before = anew()
    assert run(hut, "pull", "--through", "2026-01-17").exit_code == 0
    after = anew()
    assert before.happened == ()
    assert (after.plan.first, after.plan.days) == (date(2026, 1, 18), 2)
    assert after.happened[0].startswith("Pulled already, and eaten as announced: Sat 17 Jan")
    assert amounts(after.household) == amounts(before.household)
    assert set(after.household.recent) == set(before.household.recent)
    said = run(hut, "replan", "--seconds", "4", "--plain")
    assert said.exit_code == 0, said.output
    assert "Pulled already, and eaten as announced: Sat 17 Jan" in " ".join(said.stdout.split())


def test_a_day_that_is_up_stays_and_those_before_it_are_planned_anew(hut: Path) -> None:
    """Jars for the last day are ticked first: the days before it are free, and nothing is taken twice."""
    household = load_larder(hut, None, date(2026, 1, 17))
    plan = menu_asked(hut, household, None)
    assert run(hut, "pull", "--on", str(plan.last)).exit_code == 0

    pulled = load_larder(hut, None, date(2026, 1, 17))
    to_plan = around_what_is_up(hut, pulled, menu_asked(hut, pulled, None))
    assert to_plan.kept == (plan.last,)
    assert amounts(pulled) != amounts(household)
    assert amounts(to_plan.household) == amounts(household)
    assert around_what_is_up(hut, pulled, plan, plan.last).kept == ()  # nothing before it is asked for

    free = plan.first + timedelta(days=1)
    other = next(name for name in household.dishes if name not in {d.dish for m in plan.meals for d in m.dishes})
    crowd = run(hut, "replan", "--headcount", f"{free}=4", "--seconds", "4", "--json")
    assert crowd.exit_code == 0, crowd.output
    menu = json.loads(crowd.stdout)
    assert menu["verdict"]["broken"] == []
    assert menu["first"] == str(plan.first)
    last = [d["dish"] for m in menu["meals"] if m["day"] == str(plan.last) for d in m["dishes"]]
    assert last == [d.dish for m in plan.meals if m.day == plan.last for d in m.dishes]
    for asked in (("--headcount", f"{plan.last}=4"), ("--pin", f"{plan.last}: {other}")):
        refused = run(hut, "replan", *asked, "--seconds", "4")
        assert "are up already, so it stays as announced" in str(refused.exception)

    # announced, the list has no line for what is up
    assert run(hut, "replan", "--headcount", f"{free}=4", "--seconds", "4", "--announce").exit_code == 0
    new = menu_asked(hut, pulled, None)
    left = without_what_is_pulled(hut, pulled, new)
    assert left.again == (plan.last,)
    assert [u.product for m in left.plan.meals if m.day == plan.last for d in m.dishes for u in d.uses] == []


def test_a_menu_far_ahead_is_not_pulled_and_changed_from_the_shelf_it_was_planned_from(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(HUT, tmp_path / "hut"))
    said = run(folder, "menu", "--from", "2026-03-02", "--days", "2", "--seconds", "4", "--announce", "--json")
    assert said.exit_code == 0, said.output
    assert json.loads(kept(folder)[0].read_text(encoding="utf-8"))["reckoned_from"] == "2026-01-17"
    refused = run(folder, "pull")
    assert isinstance(refused.exception, PantryError)
    assert "'menu --from 2026-03-02 --days 2 --announce'" in str(refused.exception)
    assert "nothing was pulled" in str(refused.exception)
    again = run(folder, "replan", "--json", "--seconds", "4")
    assert again.exit_code == 0, again.output
    menu = json.loads(again.stdout)
    assert menu["reckoned_from"] == "2026-01-17"
    assert menu["verdict"]["rules_kept"]
    meal = next(meal for meal in menu["meals"] if meal["dishes"])
    offered = run(folder, "another", f"{meal['day']} {meal['meal']} {meal['dishes'][0]['role']}")
    assert offered.exit_code == 0, offered.output
    near = run(folder, "replan", "--json", "--seconds", "4", "--today", "2026-02-25")
    assert near.exit_code == 0, near.output
    assert json.loads(near.stdout)["reckoned_from"] is None


def test_a_menu_of_another_household_is_refused_everywhere(hut: Path) -> None:
    file = kept(hut)[0]
    file.write_text(file.read_text(encoding="utf-8").replace('"household": "', '"household": "Not '), encoding="utf-8")
    for command in (["pull"], ["replan"], ["announce"], ["run-out"], ["announce", str(file)]):
        said = run(hut, *command)
        assert isinstance(said.exception, PantryError), command
        assert "was made for the household 'Not" in str(said.exception)


def test_the_menu_of_today_then_the_next_and_a_later_one_takes_its_days(tmp_path: Path) -> None:
    with pytest.raises(PantryError, match="'menu --announce' plans one and keeps it") as none_yet:
        current_or_say(tmp_path, date(2026, 1, 17))
    assert none_yet.value.plain == "no menu is announced for Sat 17 Jan or later."
    a_menu(tmp_path, date(2026, 1, 17), 7)
    a_menu(tmp_path, date(2026, 1, 24), 7)
    a_menu(tmp_path, date(2026, 1, 20), 7)
    days = [current(tmp_path, date(2026, 1, day)) for day in (1, 19, 20, 26)]
    assert [(a.first.day, a.last.day) for a in days if a] == [(17, 19), (17, 19), (20, 26), (20, 26)]
    assert current(tmp_path, date(2026, 1, 27)) is None, "the menu from the 24th was replaced from its first day on"
    with pytest.raises(PantryError, match="The last one ended on Mon 26 Jan"):
        current_or_say(tmp_path, date(2026, 1, 27))


def test_none_announced_says_how_one_is(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(HUT, tmp_path / "hut"))
    for command in (["pull"], ["replan"], ["another", "Tue main"], ["announce"]):
        said = run(folder, *command)
        assert isinstance(said.exception, PantryError), said.output
        assert "no menu is announced for" in str(said.exception)


def test_another_dish_for_a_free_day_before_one_that_is_up(hut: Path) -> None:
    """As replan has it: what is up stays, and the day before it has other dishes, as many as if nothing were up."""
    plan = menu_asked(hut, load_larder(hut, None, date(2026, 1, 17)), None)
    free = next(m for m in plan.meals if m.day == plan.first + timedelta(days=1))
    place = f"{free.meal} side"
    cakes = "name: Potato cakes\nrole: side\nserves: 4\nuses: [3 lb Potatoes]\n"
    (hut / "recipes" / "cakes.yaml").write_text(cakes, encoding="utf-8")

    def offered() -> Offers:
        household, rest = menu_with(hut, load_larder(hut, None, date(2026, 1, 17)), None, f"{free.day} {place}")
        return offers_for(household, rest, f"{free.day} {place}")

    before = offered()
    assert before.offers
    assert run(hut, "pull", "--on", str(plan.last)).exit_code == 0
    assert offered() == before
    asked = run(hut, "another", f"{free.day} {place}", "--plain")
    assert asked.exit_code == 0, asked.output
    assert before.offers[0].dish in asked.stdout
    up = run(hut, "another", f"{plan.last} {place}")
    assert "has been pulled already" in str(up.exception)
