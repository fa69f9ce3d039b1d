"""Rule 17: a joint for the Sunday after the last day comes out in time, is judged, pulled once, and then cooked."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.menu import MenuAsked, make_menu
from pantrymeals.checking.for_later import RULES
from pantrymeals.checking.menu import broken_rules
from pantrymeals.cli.main import app
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.pull.pull import household_after, pull_list
from pantrymeals.records import Household, Instead, MealRoles, Occasion, Option, Use
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from tests.kitchens.tiny import arrival, day, dish, jar, kitchen, loose, lot, meal_roles, rules

WEEK = Path(__file__).parents[2] / "golden" / "demo_week.json"
SUNDAY = day(6)
"""The tiny kitchen's first day is a Monday: its menu of five days ends on Friday."""


def house(**changes: Any) -> Household:
    """Potatoes every day; on Sundays a joint, which thaws three days: a lamb or a ham."""
    joint: dict[str, Any] = {"kind": "freezer", "thaw_days": 3, "opened_days": 3}
    fields: dict[str, Any] = {
        "products": [
            loose("Potatoes"), jar("Lamb", sizes=["piece=2 lb"], **joint), jar("Ham", sizes=["piece=2 lb"], **joint),
        ],
        "lots": [lot("Potatoes", 100, "lb"), lot("Lamb", 2, "piece"), lot("Ham", 2, "piece")],
        "dishes": [
            dish("Plain", ["1 lb Potatoes"], days_between=1),
            dish("Lamb roast", ["2 lb Lamb"], tags=["roast"], days_between=9, weekdays=["Sun"]),
            dish("Ham roast", ["2 lb Ham"], tags=["roast"], days_between=9, weekdays=["Sun"], liking=-2),
        ],
        "rules": rules(fixed={"Sun": "roast"}),
    }  # fmt: skip
    return kitchen(**{**fields, **changes})


def five_days(home: Household, days: int = 5) -> MenuPlan:
    return make_menu(home, MenuAsked(days=days, seed=1, seconds=2))


def faults(home: Household, plan: MenuPlan) -> list[str]:
    return [said for rule in RULES for said in rule(home, plan)]


def test_what_sunday_will_want_comes_out_on_thursday_and_is_cooked_on_sunday() -> None:
    home = house()
    plan = five_days(home)
    (later,) = plan.for_later
    assert (later.product, later.count, later.dish) == ("Lamb", 1, "Lamb roast")
    assert (later.lifted, later.night, later.eat_by) == (day(3), SUNDAY, day(8))
    assert broken_rules(home, plan) == []
    (line,) = [x for x in pull_list(home, plan).lines if x.kind == "lift out"]
    assert (line.fetch, line.needed, line.dish, line.count) == (day(3), SUNDAY, "Lamb roast", 1)
    after = household_after(home, plan)
    assert [(p.product, p.opened, p.left) for p in after.part_jars] == [
        ("Lamb", day(3), home.products["Lamb"].sizes[0].content)
    ]
    assert {x.product: x.count for x in after.lots if x.product != "Potatoes"} == {"Lamb": 1, "Ham": 2}
    next_week = five_days(after, 7)
    assert {m.day: m.dishes[0].dish for m in next_week.meals}[SUNDAY] == "Lamb roast"
    assert broken_rules(after, next_week) == []


def test_what_was_eaten_lately_gives_way_to_another() -> None:
    home = replace(house(), recent=((day(-2), "Lamb roast"),))
    assert [x.dish for x in five_days(home).for_later] == ["Ham roast"]


@pytest.mark.parametrize(
    ("changes", "days"),
    [
        ({"rules": rules()}, 5),  # no promise: the next menu chooses
        ({}, 3),  # Sunday is the fourth day after
        ({}, 7),  # it is a day of the menu
        ({"lots": [lot("Potatoes", 100, "lb")]}, 5),  # there is none
        (
            {"lots": [lot("Potatoes", 100, "lb")], "arrivals": (arrival("Lamb", "2 lb", day(4)),)},
            5,
        ),  # it comes too late to thaw
    ],
)
def test_nothing_comes_out_where_it_need_not_or_cannot(changes: dict[str, Any], days: int) -> None:
    home = house(**changes)
    plan = five_days(home, days)
    assert plan.for_later == ()
    assert broken_rules(home, plan) == []


def test_a_feasts_own_dish_is_thought_of_too() -> None:
    feast = Occasion(day(7), day(7), "Name day", kind="feast", dish="Ham roast")
    home = replace(house(rules=rules()), occasions=(feast,))
    home = replace(home, dishes={name: replace(d, weekdays=frozenset()) for name, d in home.dishes.items()})
    home = replace(home, dishes={**home.dishes, "Ham roast": replace(home.dishes["Ham roast"], only_for="feast")})
    (later,) = five_days(home).for_later
    assert (later.dish, later.lifted, later.night) == ("Ham roast", day(4), day(7))
    assert faults(home, five_days(home)) == []


@pytest.mark.parametrize(("jars", "came_out"), [(0, ["Chops"]), (1, [])])
def test_tomorrows_supper_comes_out_where_nothing_else_could_be_cooked(jars: int, came_out: list[str]) -> None:
    """For Saturday, of which nothing is asked, there are chops in the freezer alone, or a jar of stew as well."""
    home = house(
        products=[jar("Stew"), jar("Pork", sizes=["pack=2 lb"], kind="freezer", thaw_days=1, opened_days=2)],
        lots=[lot("Stew", jars, "qt"), lot("Pork", 9, "pack")],
        dishes=[dish("Chops", ["2 lb Pork"], days_between=1), dish("Stew", ["1 qt Stew"], liking=-2)],
        rules=rules(),
    )
    plan = make_menu(home, MenuAsked(days=5, seed=1, seconds=2, bans=("Stew",)))
    assert [x.dish for x in plan.for_later] == came_out
    assert all((x.lifted, x.night) == (day(4), day(5)) for x in plan.for_later)
    assert broken_rules(home, plan) == []
    next_week = make_menu(household_after(home, plan), MenuAsked(days=2, seed=1, seconds=2))
    assert next_week.open_roles == 0


@pytest.mark.parametrize(("lunch_on", "came_out"), [("Sat", ["Chops"]), ("Sun", ["Chops"]), ("Tue", [])])
def test_tomorrows_supper_comes_out_where_its_one_jar_is_a_lunch_of_these_days(
    lunch_on: str, came_out: list[str]
) -> None:
    """For Saturday's supper there is a jar of stew, and so it is not bare; but the flask has nothing else."""
    flask = MealRoles("lunch", {lunch_on: ("lunch",)}, {lunch_on: "all"})
    home = house(
        products=[jar("Stew"), jar("Pork", sizes=["pack=2 lb"], kind="freezer", thaw_days=1, opened_days=2)],
        lots=[lot("Stew", 1, "qt"), lot("Pork", 9, "pack")],
        dishes=[
            dish("Chops", ["2 lb Pork"], days_between=1),
            dish("Stew", ["1 qt Stew"], liking=2),
            dish("Flask", ["1 qt Stew"], role="lunch", weekdays=[lunch_on]),
        ],
        meals=[flask, meal_roles()],
        rules=rules(),
    )
    plan = make_menu(home, MenuAsked(days=5, seed=1, seconds=2, bans=("Stew", "Flask")))
    assert [x.dish for x in plan.for_later] == came_out
    assert all((x.lifted, x.night) == (day(4), day(5)) for x in plan.for_later)
    assert broken_rules(home, plan) == []
    next_days = make_menu(household_after(home, plan), MenuAsked(days=2, seed=1, seconds=2))
    assert next_days.open_roles == 0


def test_tomorrows_breakfast_comes_out_where_it_would_stand_empty() -> None:
    home = house(
        products=[loose("Potatoes"), jar("Berries", sizes=["bag=1 lb"], kind="freezer", thaw_days=1, opened_days=3)],
        lots=[lot("Potatoes", 50, "lb"), lot("Berries", 9, "bag")],
        dishes=[
            dish("Plain", ["1 lb Potatoes"], days_between=1),
            dish("Berry oats", ["1 lb Berries"], role="breakfast", days_between=1),
        ],
        meals=[MealRoles("breakfast", {"Sat": ("breakfast",)}, {"Sat": "all"}), meal_roles()],
        rules=rules(),
    )
    plan = five_days(home)
    assert [(x.dish, x.lifted, x.night, x.count) for x in plan.for_later] == [("Berry oats", day(4), day(5), 1)]
    assert broken_rules(home, plan) == []
    for change, said in (({"count": 2}, "takes less of it"), ({"night": day(6), "lifted": day(5)}, "no day of the")):
        wrong = replace(plan, for_later=(replace(plan.for_later[0], **change),))
        assert any(said in fault for fault in faults(home, wrong))


@pytest.mark.parametrize(("whom", "packs"), [("Ann", 1), ("Nobody", 0)])
def test_what_a_noted_alternative_takes_comes_out_too(whom: str, packs: int) -> None:
    home = house()
    eggs = jar("Eggs", sizes=["tub=2 each"], kind="freezer", thaw_days=1, opened_days=2)
    other = Instead(whom, "two eggs", (Use((Option("Eggs", Fraction(2), "2 Eggs"),)),))
    roasts = {n: replace(d, instead=(other,)) for n, d in home.dishes.items() if n == "Lamb roast"}
    lots = (*home.lots, lot("Eggs", 3, "tub"))
    home = replace(
        home, products={**home.products, "Eggs": eggs}, dishes={**home.dishes, **roasts}, lots=lots,
        people=tuple(replace(p, name="Ann") for p in home.people[:1]),
    )  # fmt: skip
    plan = five_days(home, 6)
    assert {x.product: x.count for x in plan.for_later}.get("Eggs", 0) == packs
    assert broken_rules(home, plan) == []
    more = replace(plan, for_later=tuple(replace(x, count=x.count + 1) for x in plan.for_later if x.product == "Eggs"))
    assert any("takes less of it" in said for said in faults(home, more)) is (packs > 0)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"lifted": day(4)}, "it thaws 3 days"),
        ({"lifted": day(5), "night": day(8)}, "that is no day of the menu"),
        ({"lifted": day(2), "night": day(5)}, "may not stand there"),
        ({"eat_by": day(9)}, "it is eaten up to"),
        ({"dish": "Plain"}, "is not what that supper asks for"),
        ({"dish": "Ham roast"}, "takes less of it"),
        ({"count": 2}, "takes less of it"),
        ({"count": 3}, "3 piece Lamb is lifted out for the days after, 2 piece Lamb is left"),
    ],
)
def test_the_checker_names_what_is_wrong(change: dict[str, Any], said: str) -> None:
    home = house()
    plan = five_days(home)
    wrong = replace(plan, for_later=(replace(plan.for_later[0], **change),))
    assert any(said in fault for fault in faults(home, wrong)), faults(home, wrong)


def test_the_checker_asks_when_the_dish_was_eaten_and_whom_it_is_for() -> None:
    home = house()
    plan = five_days(home)
    assert faults(home, plan) == []
    lately = replace(home, recent=((day(-3), "Lamb roast"),))
    assert faults(lately, plan) == []
    lately = replace(home, recent=((day(-2), "Lamb roast"),))
    assert any("was eaten too lately" in fault for fault in faults(lately, plan))
    barred = replace(home.people[0], must_not=frozenset({"mutton"}))
    marked = replace(home.dishes["Lamb roast"], contents=frozenset({"mutton"}))
    with_it = replace(home, people=(barred,), dishes={**home.dishes, "Lamb roast": marked})
    assert any("may not stand there" in fault for fault in faults(with_it, plan))


def test_the_demos_joint_is_pulled_once(demo_folder: Path, tmp_path: Path) -> None:
    folder, first = tmp_path / "demo", date(2026, 1, 17)
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    (later,) = plan_in(read_menu_file(WEEK.read_text(encoding="utf-8"))).for_later

    def there() -> tuple[Fraction, int]:
        home = load_larder(folder, first, first)
        lifted = [p for p in home.part_jars if (p.product, p.opened) == (later.product, later.lifted)]
        return sum((x.count for x in home.lots if x.product == later.product), Fraction(0)), len(lifted)

    def pull(*more: str) -> str:
        done = CliRunner().invoke(app, ["pull", str(WEEK), "--larder", str(folder), "--day", str(first), *more])
        assert done.exit_code == 0, done.output
        return done.output

    count, _ = there()
    pull("--on", str(later.lifted - timedelta(days=1)))
    assert there() == (count, 0)
    pull("--on", str(later.lifted))
    assert there() == (count - 1, 1)
    pull()
    assert there() == (count - 1, 1)
