"""House rules that are otherwise in some days of the year, and days without lunch tins: planner and checker."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.actions.menu import MenuAsked, make_menu
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import PantryError
from pantrymeals.forecast.ready_dishes import why_not_now
from pantrymeals.larder.table import hands_on_limit, longest_dish, night_of, table_for
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.plans.menu import MenuPlan, PlannedDish
from pantrymeals.records import Household, MealRoles, Occasion, RulesDuring
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, lot, meal_roles, person, rules

CANNING = RulesDuring("canning", (1, 6), (1, 7), {"Wed": "salad"}, {"Tue": 20}, {"Wed": 25})


def house(*during: RulesDuring, **changes: Any) -> Household:
    """Soup is fixed for Wednesday and takes 40 minutes; salad takes 10."""
    return kitchen(
        products=[jar("Beans", opened_days=4)],
        lots=[lot("Beans", 30)],
        dishes=[
            dish("Soup", ["1 qt Beans"], tags=["soup"], days_between=1, minutes=40, hands_on_minutes=30, liking=2),
            dish("Salad", ["1 qt Beans"], tags=["salad"], days_between=1, minutes=15, hands_on_minutes=10),
        ],
        rules=rules(fixed={"Wed": "soup"}, hands_on_minutes={"Tue": 60}, during=during),
        **changes,
    )


def planned(home: Household) -> MenuPlan:
    plan = plan_menu(home, MenuRequest(MONDAY, 4, seconds=3, gap=0.0))
    assert broken_rules(home, plan) == []
    return plan


def mains(plan: MenuPlan) -> list[str]:
    return [d.dish for m in plan.meals for d in m.dishes]


def test_rules_of_some_days_hold_in_these_alone_and_are_said() -> None:
    assert mains(planned(house())) == ["Soup"] * 4
    plan = planned(house(CANNING))
    assert mains(plan) == ["Soup", "Salad", "Salad", "Soup"]
    assert "Canning: at most 20 minutes of hands-on work on Tue 6 Jan." in plan.notes


@pytest.mark.parametrize(("number", "said"), [(1, "20 are there"), (2, "25"), (2, "night for 'salad'")])
def test_the_checker_says_what_breaks_them(number: int, said: str) -> None:
    home = house(CANNING)
    plan = planned(home)
    soup = plan.meals[0].dishes
    broken = replace(plan, meals=tuple(replace(m, dishes=soup) if i == number else m for i, m in enumerate(plan.meals)))
    assert any(said in line for line in broken_rules(home, broken)), broken_rules(home, broken)


FORTNIGHT = RulesDuring("fortnight", (12, 30), (1, 6), without=frozenset({"soup"}))


def test_a_tag_is_left_out_on_its_days_alone_and_the_checker_finds_it_there() -> None:
    home = house(replace(FORTNIGHT, last=(1, 7)))
    plan = planned(house(FORTNIGHT))
    assert mains(plan) == ["Salad", "Salad", "Soup", "Soup"]
    assert mains(planned(home)) == ["Salad", "Salad", "Salad", "Soup"]
    assert broken_rules(home, plan) == ["Wed 7 January, supper, Soup: has a tag that the house does without then"]


def test_what_waits_is_not_offered_tonight_and_a_pin_says_why() -> None:
    home = replace(house(FORTNIGHT), today=MONDAY)
    soup = home.dishes["Soup"]
    assert why_not_now(home, soup, {"Beans": Fraction(10**6)}) == "not in these days: fortnight"
    assert why_not_now(replace(home, today=day(3)), soup, {"Beans": Fraction(10**6)}) == ""
    with pytest.raises(PantryError, match="'without' of fortnight"):
        make_menu(home, MenuAsked(days=2, seconds=3, pins=("Mon: Soup",)))


def test_the_later_row_counts_none_takes_a_night_away_and_days_go_over_the_new_year() -> None:
    winter = RulesDuring("winter", (12, 20), (1, 6), {"Tue": "stew", "Wed": ""}, {"Tue": 10})
    ours = rules(fixed={"Wed": "soup"}, hands_on_minutes={"Tue": 60}, during=(CANNING, winter))
    assert hands_on_limit(ours, date(2026, 1, 6)) == 10
    assert hands_on_limit(ours, date(2026, 1, 13)) == 60
    assert night_of(ours, date(2026, 1, 6)) == "stew"
    assert night_of(ours, date(2025, 12, 24)) is None
    assert night_of(ours, date(2025, 12, 17)) == "soup"
    assert night_of(ours, date(2026, 1, 7)) == "salad"
    assert longest_dish(ours, date(2026, 1, 7)) == 25
    assert longest_dish(ours, date(2026, 1, 6)) is None


def lunches(*names: str) -> tuple[Household, MealRoles]:
    """Ann and Ben carry tins on weekdays, Cis none; a day without tins for the named."""
    tins = frozenset({"Mon", "Tue", "Wed", "Thu", "Fri"})
    lunch = meal_roles("lunch", ("lunch",), "tins")
    people = [person("Ann", lunch_tin_days=tins), person("Ben", "1/2", lunch_tin_days=tins), person("Cis", 2)]
    holiday = Occasion(day(1), day(1), "holiday", no_tins=frozenset(names))
    return kitchen(people=people, meals=[lunch], occasions=(holiday,)), lunch


@pytest.mark.parametrize(
    ("names", "portions", "tins"),
    [((), "3/2", True), (("Ben",), 1, True), (("Ann", "Ben"), "7/2", False), (("Cis",), "3/2", True)],
)
def test_who_eats_a_lunch_on_a_day_without_tins(names: tuple[str, ...], portions: Any, tins: bool) -> None:
    home, lunch = lunches(*names)
    table = table_for(home, lunch, day(1))
    assert table is not None
    assert (table.portions, table.tins) == (Fraction(portions), tins)
    usual = table_for(home, lunch, day(2))
    assert usual is not None
    assert (usual.portions, usual.tins) == (Fraction(3, 2), True)


def test_planner_and_checker_agree_on_a_day_without_tins() -> None:
    home, _ = lunches("Ann", "Ben")
    flask = dish("Flask", ["1/2 qt Beans"], role="lunch", not_for=["tins"], days_between=1, liking=2)
    bread = dish("Bread", ["1/2 lb Carrots"], role="lunch", days_between=1)
    home = replace(home, dishes={d.name: d for d in (flask, bread)})
    plan = planned(home)
    assert [m.dishes[0].dish for m in plan.meals] == ["Bread", "Flask", "Bread", "Bread"]
    wrong = PlannedDish("lunch", "Flask", 1, plan.meals[1].dishes[0].uses)
    broken = replace(plan, meals=(replace(plan.meals[0], dishes=(wrong,)), *plan.meals[1:]))
    assert any("cannot be carried" in line for line in broken_rules(home, broken))
    assert MONDAY + timedelta(days=1) == plan.meals[1].day
