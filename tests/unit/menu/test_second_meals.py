"""What is over of a dish that keeps is another meal for two: planned by rule 13, judged, named, and counted by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.checking.limits import leavings_are_there
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import PantryError
from pantrymeals.files.household import read_household
from pantrymeals.files.second_meals import with_second_meals
from pantrymeals.larder.left_over import left_over
from pantrymeals.larder.table import portions_left
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.records import Household, Leaving
from tests.kitchens.tiny import cooked, day, dish, jar, kitchen, loose, lot, meal_roles, menu, person, supper
from tests.property.every_menu import cost_as_planned, question_of

POT = "Pot, warmed up"


def couple(*more: str, serves: int = 6, days: int = 3) -> Household:
    """Two who eat a pot of beans for six; at noon bread, or what is over."""
    pot = dish(
        "Pot", ["3 qt Beans"], serves=serves, days_between=9, leaves=Leaving("Pot", Fraction(0), days, over=True)
    )
    bread = dish("Bread", ["1 lb Flour"], role="lunch", serves=2, liking=-2, days_between=1)
    plain = dish("Plain", ["1 lb Flour"], serves=2, days_between=1)
    home = kitchen(
        products=[jar("Beans"), loose("Flour")],
        lots=[lot("Beans", 30), lot("Flour", 90, "lb")],
        dishes=[pot, bread, plain],
        people=[person(name) for name in ("Ann", "Ben", *more)],
        meals=[meal_roles("lunch", ["lunch"]), meal_roles("supper")],
    )
    return replace(home, dishes=with_second_meals(home.dishes, home.people, home.meals))


def test_a_dish_that_feeds_everybody_twice_has_its_second_meal_beside_it() -> None:
    again = couple().dishes[POT]
    assert (again.role, again.needs_left, again.uses, again.minutes) == ("lunch", "Pot", (), 15)
    assert POT in couple("Cid").dishes  # six for three: twice
    assert POT not in couple("Cid", "Dot").dishes
    assert POT not in couple(serves=3).dishes


def test_the_pot_of_monday_is_the_lunch_of_tuesday() -> None:
    home = couple()
    plan = plan_menu(home, MenuRequest(home.today, 3, gap=0.0, seconds=10, pinned=(Pin(day(0), "Pot"),)))
    assert broken_rules(home, plan) == []
    stands = [(m.day, d.dish) for m in plan.meals for d in m.dishes]
    assert (day(0), "Pot") in stands
    (warmed,) = [when for when, name in stands if name == POT]
    assert warmed > day(0)
    assert [(one.portions, one.becomes, one.keeps_to) for one in left_over(home, plan)] == [
        (2, (POT, warmed), day(3)), (2, None, day(3)),
    ]  # fmt: skip
    question = question_of(home, plan, (Pin(day(0), "Pot"),))
    cost = cost_as_planned(question, plan)
    assert cost is not None
    assert float(cost) == pytest.approx(plan.cost)


@pytest.mark.parametrize(
    ("when", "eat", "said"),
    [
        (1, 2, ""), (3, 2, ""), (4, 2, "no Pot is left"), (0, 2, "no Pot is left"),
        (1, 6, "Pot is left for 0"), (1, 4, "Pot is left for 2 1/2"), (1, 3, ""),
    ],
)  # fmt: skip
def test_what_is_over_is_what_the_batches_serve_beyond_the_table(when: int, eat: int, said: str) -> None:
    """Six served: four sit down leave two, which stretch to two and a half."""
    home = couple()
    home = replace(home, people=tuple(person(f"P{n}") for n in range(eat)))
    pot = supper(day(0), cooked(home, "Pot"), portions=eat)
    later = supper(day(when), cooked(home, POT), portions=eat, meal="lunch")
    found = list(leavings_are_there(home, menu(home, sorted([pot, later], key=lambda m: (m.day, m.meal)))))
    assert (found == []) == (said == "")
    assert not said or said in found[0]
    assert portions_left(home.dishes["Pot"], Fraction(1), Fraction(eat)) == 6 - eat


def test_one_cooking_is_warmed_up_once() -> None:
    home = couple()
    twice = menu(home, [
        supper(day(0), cooked(home, "Pot")), supper(day(1), cooked(home, POT), meal="lunch"),
        supper(day(2), cooked(home, POT), meal="lunch"),
    ])  # fmt: skip
    assert any("is used already" in fault for fault in leavings_are_there(home, twice))


def test_the_word_in_the_recipe(tmp_path: Path) -> None:
    folder = _larder(tmp_path, "keeps: 3")
    home = read_household(folder)
    assert home.dishes["Bean pot"].leaves == Leaving("Bean pot", Fraction(0), 3, over=True)
    assert home.dishes["Bean pot, warmed up"].needs_left == "Bean pot"
    for wrong, said in (
        ("keeps: 9", "from 1 to 4"),
        ("keeps: 3\nleaves: {name: cold pot, portions: 2, days: 2}", "one of"),
    ):
        with pytest.raises(PantryError) as caught:
            read_household(_larder(tmp_path, wrong))
        assert said in str(caught.value)


def _larder(folder: Path, line: str) -> Path:
    (folder / "recipes").mkdir(exist_ok=True)
    (folder / "household.yaml").write_text(
        "household: Two\ntoday: 2026-01-05\npeople:\n  - {name: Ann, portion: 1, born: 1980-01-01}\n"
        "  - {name: Ben, portion: 1, born: 1980-01-01}\nmeals:\n  lunch: {roles: [lunch]}\n  supper: {roles: [main]}\n"
    )
    (folder / "products.csv").write_text("product,family,kind,sizes\nBeans,beans,jar,qt\n")
    (folder / "stock.csv").write_text("product,size,count,put_up,place\nBeans,qt,9,2025-09-01,\n")
    (folder / "recipes" / "pot.yaml").write_text(
        f"name: Bean pot\nrole: main\nserves: 6\n{line}\nuses: [3 qt Beans]\nmethod: [Heat it.]\n"
    )
    return folder
