"""Enough on the plate: points worked out by hand, and a planner that passes over what is thin."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.cost import enough
from pantrymeals.checking.menu import broken_rules
from pantrymeals.larder.plate import portion_kcal
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.records import Enough, Leaving
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, lot, qty, standing

QUART = qty("1 qt")


def home(**changes):
    """One eater who needs 2,000 kcal a day and has supper here, 900 of them; a quart has 200 or 800."""
    one = kitchen(
        products=[jar("Broth"), jar("Beans")],
        lots=[lot("Broth", 20), lot("Beans", 20)],
        dishes=[dish("Thin soup", ["1 qt Broth"], serves=1, liking=2), dish("Bean pot", ["1 qt Beans"], serves=1)],
    )
    eater = replace(one.people[0], portion=Fraction(1))
    known = {"Broth": Fraction(200) / QUART, "Beans": Fraction(800) / QUART}
    return replace(one, people=(eater,), kcal=known, needs_kcal={eater.name: 2000}, **changes)


def points(household, *pins: str) -> Fraction:
    asked = MenuRequest(MONDAY, 1, seconds=5, gap=0.0, pinned=tuple(Pin(MONDAY, name, "supper") for name in pins))
    plan = plan_menu(household, asked)
    assert broken_rules(household, plan) == []
    assert dict(plan.parts).get("enough", 0.0) == pytest.approx(float(enough(household, plan)))
    return Fraction(dict(plan.parts).get("enough", 0.0)).limit_denominator(10**6)


def test_a_thin_meal_costs_what_it_lacks_of_its_least_and_of_the_day() -> None:
    # 900 asked, at least 450, the day from 765 on: 250 of 450 missing, and 565 of 900.
    assert points(home(), "Thin soup") == pytest.approx(4000 * Fraction(250, 450) + 20000 * Fraction(565, 900))
    assert points(home(), "Bean pot") == 0  # 800: over 765 and under 1,080


def test_what_always_stands_on_the_table_counts_towards_the_day_and_not_the_meal() -> None:
    # A quart of beans a week: 800 / 7 a day, of which supper's part is 900 / 2000: 51.
    fed = home(standing=(standing("Beans", "1 qt"),))
    assert points(fed, "Thin soup") == pytest.approx(4000 * Fraction(250, 450) + 20000 * Fraction(765 - 51 - 200, 900))


def test_the_households_own_figures_count() -> None:
    easy = home()
    easy = replace(easy, rules=replace(easy.rules, enough=Enough(least=Fraction(1, 5), day_low=Fraction(1, 5))))
    assert points(easy, "Thin soup") == 0


def test_the_better_liked_soup_gives_way_to_what_fills() -> None:
    plan = plan_menu(home(), MenuRequest(MONDAY, 1, seconds=5, gap=0.0))
    assert [d.dish for m in plan.meals for d in m.dishes] == ["Bean pot"]


def test_without_a_figure_nothing_is_said() -> None:
    assert points(replace(home(), kcal={}), "Thin soup") == 0
    unknown = home()
    assert points(replace(unknown, kcal={"Broth": unknown.kcal["Broth"]}), "Bean pot") == 0


@pytest.mark.parametrize(("leaving", "each"), [(None, 400), ("cold beans", 200), ("ham bone", 400)])
def test_what_is_left_for_later_is_taken_off_the_plate_but_for_bones(leaving: str | None, each: int) -> None:
    household = home()
    pot = replace(household.dishes["Bean pot"], serves=Fraction(2))
    if leaving:
        pot = replace(pot, leaves=Leaving(leaving, Fraction(2), 2))
    assert portion_kcal(household, pot, 1, Fraction(1)) == each
    assert portion_kcal(household, replace(pot, leaves=None), 1, Fraction(5, 2)) == 320  # stretched: shared by all
