"""Part jars, thawing packs and what will not wait: what the solver counts on is what the checker finds."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.larder.opened_life import life_of
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.plans.menu import ChosenUse, MenuPlan
from pantrymeals.pull.pull import pull_list
from pantrymeals.records import Ahead, Household
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    day,
    dish,
    instead,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    part_jar,
    person,
    qty,
    rules,
)


def planned(home: Household, days: int, **changes: object) -> MenuPlan:
    return plan_menu(home, MenuRequest(home.today, days, gap=0.0, seconds=20, **changes))  # type: ignore[arg-type]


def dishes_of(plan: MenuPlan) -> list[tuple[int, str]]:
    return [((m.day - plan.first).days, d.dish) for m in plan.meals for d in m.dishes]


def test_an_alternative_is_never_something_that_its_person_must_not_have() -> None:
    salty = jar("Kraut", contents=frozenset({"salty"}))
    book = [dish("Ham", ["1 lb Carrots"], instead=(instead("Ben", "kraut", ["1/2 qt Kraut"]),))]
    for marks, cooked in (((), [(0, "Ham")]), (("salty",), [])):
        home = kitchen(
            products=[salty, loose("Carrots")],
            lots=[lot("Kraut", 4), lot("Carrots", 9, "lb")],
            dishes=book,
            people=[person("Ann"), person("Ben", must_not=marks)],
        )
        plan = planned(home, 1)
        assert dishes_of(plan) == cooked
        assert broken_rules(home, plan) == []


@pytest.mark.parametrize(("opened_days_ago", "both"), [(29, False), (26, True)])
def test_a_part_jar_past_its_time_is_not_counted_on_though_new_jars_outlast_the_menu(
    opened_days_ago: int, both: bool
) -> None:
    jelly = jar("Jelly", opened_days=30)
    home = kitchen(
        products=[jelly],
        lots=[lot("Jelly", 1)],
        part_jars=(part_jar("Jelly", "1/2 qt", MONDAY - timedelta(days=opened_days_ago)),),
        dishes=[dish("Roll", ["1 qt Jelly"], days_between=2), dish("Tarts", ["1/2 qt Jelly"], days_between=9)],
        recent=((MONDAY - timedelta(days=1), "Roll"),),
    )
    plan = planned(home, 3, pinned=(Pin(day(2), "Tarts"),))
    assert broken_rules(home, plan) == []
    assert ("Roll" in {name for _, name in dishes_of(plan)}) is both


def test_a_pack_begun_keeps_its_days_from_when_it_had_thawed() -> None:
    chops = jar("Chops", thaw_days=2, opened_days=3)
    whole, begun = (life_of(chops, part_jar("Chops", left, day(0))) for left in ("1 qt", "1/2 qt"))
    assert (whole.ready, whole.last) == (day(2), day(4))
    assert (begun.ready, begun.last) == (day(0), day(4))


def test_no_pack_is_counted_on_before_it_can_have_thawed_even_beside_one_begun() -> None:
    home = kitchen(
        products=[jar("Bacon", thaw_days=1)],
        lots=[lot("Bacon", 3)],
        part_jars=(part_jar("Bacon", "1/2 qt", day(-2)),),
        dishes=[dish("Eggs", ["1/2 qt Bacon"]), dish("Peas", ["1/2 qt Bacon"], role="side")],
        meals=[meal_roles(roles=("main", "side"))],
        rules=rules(days_between={"main": 1, "side": 1}),
    )
    plan = planned(home, 2)
    assert broken_rules(home, plan) == []
    assert sorted(dishes_of(plan)) == [(0, "Eggs"), (1, "Eggs"), (1, "Peas")]


def test_what_will_not_wait_is_eaten_first_though_a_new_crop_comes_next_season() -> None:
    beets = loose("Beets", must_last_to=day(2), deadline_kind="keeps to")
    for when, last in ((day(200), 2), (day(1), 2), (day(2), None)):
        home = kitchen(
            products=[beets], lots=[lot("Beets", 9, "lb")], dishes=[dish("Soup", ["1 lb Beets"])],
            arrivals=(arrival("Beets", "20 lb", when),),
        )  # fmt: skip
        (stock,) = menu_problem(home, MenuRequest(MONDAY, 4)).stocks
        assert stock.last == last, when


def test_what_comes_in_on_the_last_day_may_be_eaten_after_it() -> None:
    beets = loose("Beets", must_last_to=day(1), deadline_kind="keeps to")
    home = kitchen(
        products=[beets], lots=[], dishes=[dish("Soup", ["1 lb Beets"])],
        arrivals=(arrival("Beets", "2 lb", day(1)),), rules=rules(days_between={"main": 1}),
    )  # fmt: skip
    plan = planned(home, 3)
    assert dishes_of(plan) == [(1, "Soup"), (2, "Soup")]
    assert broken_rules(home, plan) == []


def test_the_checker_agrees_about_a_pack_lifted_out_yesterday() -> None:
    bird = jar("Bird", sizes=("bird=1 each",), thaw_days=2, opened_days=2)
    home = kitchen(
        products=[bird], lots=[], dishes=[dish("Roast", ["1 each Bird"])],
        part_jars=(part_jar("Bird", "1 each", date(2026, 1, 4), "bird"),),
    )  # fmt: skip
    plan = planned(home, 3)
    assert len(dishes_of(plan)) == 1
    assert dishes_of(plan)[0][0] in (1, 2)
    assert broken_rules(home, plan) == []


@pytest.mark.parametrize(("begins", "first_roast"), [(0, 2), (1, 1), (2, 0), (9, 0)])
def test_nights_of_thawing_are_counted_from_today_when_the_menu_begins_later(begins: int, first_roast: int) -> None:
    home = kitchen(
        products=[jar("Bird", sizes=("bird=1 each",), kind="freezer", thaw_days=2, opened_days=2)],
        lots=[lot("Bird", 9, "bird", where="F")],
        dishes=[dish("Roast", ["1 each Bird"], days_between=1, ahead=(Ahead(2, "salt it"),))],
    )
    plan = plan_menu(home, MenuRequest(day(begins), 3, gap=0.0, seconds=20))
    assert dishes_of(plan) == [(n, "Roast") for n in range(first_roast, 3)]
    assert broken_rules(home, plan) == []
    pull = pull_list(home, plan)
    assert [x.fetch for x in pull.lines] == [day(begins + n - 2) for n in range(first_roast, 3)]
    assert [(x.day, x.what) for x in pull.ahead] == [(x.fetch, "salt it") for x in pull.lines]


def test_a_pack_that_would_have_been_lifted_out_yesterday_is_found_by_the_checker() -> None:
    home = kitchen(
        products=[jar("Bird", sizes=("bird=1 each",), kind="freezer", thaw_days=2, opened_days=2)],
        lots=[lot("Bird", 9, "bird", where="F")],
        dishes=[dish("Roast", ["1 each Bird"])],
    )
    plan = plan_menu(home, MenuRequest(day(2), 1, gap=0.0, seconds=20))
    assert broken_rules(replace(home, today=day(0)), plan) == []
    assert broken_rules(replace(home, today=day(1)), plan) == [
        "Wed 7 January: bird Bird takes 2 days to thaw; lifted out on Tue 6 January it is ready on Thu 8 January"
    ]


@pytest.mark.parametrize(("opened_days", "taken"), [(2, "2 lb"), (None, "3/2 lb")])
def test_of_a_range_the_second_pack_goes_in_rather_than_half_of_it_over(opened_days: int | None, taken: str) -> None:
    """Half a pound over costs 30 points, the most of the range 3; where nothing goes over its least is enough."""
    home = kitchen(
        products=[jar("Mince", sizes=["lb"], opened_days=opened_days), loose("Roots")],
        lots=[lot("Mince", 2, "lb"), lot("Roots", 60, "lb")],
        dishes=[
            dish("Pan", ["3/2 lb Mince or 2 lb Mince"], days_between=30, liking=2),
            dish("Roots", ["1 lb Roots"], days_between=1),
        ],
    )
    plan = planned(home, 4, pinned=(Pin(day(1), "Pan"),))
    assert broken_rules(home, plan) == []
    uses = [u for m in plan.meals for d in m.dishes for u in d.uses if u.product == "Mince"]
    assert [u.amount for u in uses] == [qty(taken)]
    assert dict(plan.parts).get("waste", 0) == 0
    between = replace(uses[0], amount=qty("7/4 lb"))
    assert any("is what it should take" in fault for fault in broken_rules(home, _taking(plan, between)))


def _taking(plan: MenuPlan, use: ChosenUse) -> MenuPlan:
    """The plan with another amount of that product where it is used."""
    meals = tuple(
        replace(
            m,
            dishes=tuple(
                replace(d, uses=tuple(use if u.product == use.product else u for u in d.uses)) for d in m.dishes
            ),
        )
        for m in plan.meals
    )
    return replace(plan, meals=meals)
