"""Rules 1 and 6 on both sides of their edges."""

from datetime import date
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.records import Occasion
from tests.kitchens.tiny import cooked, day, dish, jar, kitchen, lot, meal_roles, person, rules, supper
from tests.unit.checking.sound import opens, told


def test_a_good_menu_breaks_nothing() -> None:
    home = kitchen()
    assert told(home, [supper(day(0), cooked(home, "Bean soup"))], [opens(0, "Beans")]) == []


def test_strangers_are_told_and_nothing_else_is_judged() -> None:
    home = kitchen()
    ghost = replace(cooked(home, "Bean soup"), dish="Ghost stew")
    assert told(home, [supper(day(0), cooked(home, "Bean soup"), portions=9)], [opens(0, "Beans", 1, "pt")]) == [
        "Mon 5 January: opens pt Beans, which is not kept here"
    ]
    assert told(home, [supper(day(0), ghost)]) == ["Mon 5 January, supper, Ghost stew: no such dish in the recipes"]


def test_portions_must_be_those_who_sit_down() -> None:
    home = kitchen()
    assert told(home, [supper(day(0), cooked(home, "Bean soup"), portions=3)], [opens(0, "Beans")]) == [
        "Mon 5 January, supper: planned for 3 portions, 2 sit down"
    ]


def test_guests_come_to_the_meals_named_and_the_away_are_not_fed() -> None:
    guests = Occasion(day(0), day(0), "aunts", guests=Fraction(2))
    away = Occasion(day(0), day(0), "mill", away=frozenset({"Ben"}))
    at_lunch = replace(guests, meals=("lunch",))
    for occasions, portions in (((guests,), 4), ((away,), 1), ((at_lunch,), 2), ((guests, away), 3)):
        home = kitchen(occasions=occasions)
        meals = [supper(day(0), cooked(home, "Bean soup"), portions=portions)]
        assert told(home, meals, [opens(0, "Beans")]) == []
        assert len(told(home, [replace(meals[0], portions=Fraction(9))], [opens(0, "Beans")])) == 1


def test_tins_and_those_at_home_are_counted_apart() -> None:
    people = [person("Ann"), person("Joss", lunch_tin_days=frozenset({"Mon"}))]
    dishes = [dish("Cold beans", ["1 qt Beans"], role="lunch")]
    for eaters, portions in (("tins", 1), ("home", 1), ("all", 2)):
        home = kitchen(people=people, dishes=dishes, meals=[meal_roles("lunch", ["lunch"], eaters)])
        lunch = supper(day(0), cooked(home, "Cold beans"), portions=portions, meal="lunch")
        assert told(home, [lunch], [opens(0, "Beans")]) == []


@pytest.mark.parametrize(("portions", "right"), [(5, 1), (Fraction(51, 10), 2), (10, 2), (11, 3)])
def test_a_batch_stretches_by_a_quarter_and_no_further(portions: Fraction, right: int) -> None:
    home = kitchen(people=[person("Crowd", str(portions))], lots=[lot("Beans", 9)])
    for batches in (1, 2, 3):
        meals = [supper(day(0), cooked(home, "Bean soup", batches), portions=str(portions))]
        said = told(home, meals, [opens(0, "Beans", batches)])
        assert (said == []) == (batches == right)
        if batches != right:
            assert f"cooked {batches} times" in said[0]
            assert f"need {right} (it serves 4)" in said[0]


def test_a_meal_with_nobody_at_it_is_no_meal() -> None:
    home = kitchen(occasions=(Occasion(day(0), day(0), "away", away=frozenset({"Ann", "Ben"})),))
    assert told(home, [supper(day(0), portions=0)], days=1) == []
    said = told(home, [supper(day(0), cooked(home, "Bean soup"), portions=0)], [opens(0, "Beans")])
    assert said == ["Mon 5 January, supper, Bean soup: this meal has no main to fill"]


def test_every_day_has_its_supper_and_only_one() -> None:
    home = kitchen(rules=rules())
    soup = cooked(home, "Bean soup")
    openings = [opens(0, "Beans"), opens(2, "Beans")]
    assert told(home, [supper(day(0), soup), supper(day(2), soup)], openings) == ["Tue 6 January, supper: not planned"]
    twice = [supper(day(0), soup), supper(day(0), soup)]
    assert told(home, twice, [opens(0, "Beans", 2)]) == ["Mon 5 January, supper: planned 2 times"]
    outside = [supper(date(2026, 1, 4), soup), supper(day(0), soup)]
    assert told(home, outside, [opens(0, "Beans")]) == [
        "Sun 4 January, supper: lies outside the menu's days, Mon 5 January to Mon 5 January"
    ]


def _two_roles(**stew: object) -> object:
    return kitchen(
        products=[jar("Beans")],
        lots=[lot("Beans", 8)],
        dishes=[dish("Stew", ["1 qt Beans"], **stew), dish("Beans by themselves", ["1 qt Beans"], role="side")],
        meals=[meal_roles(roles=["main", "side"])],
    )


def test_each_role_is_filled_covered_or_open_exactly_once() -> None:
    plain, covering = _two_roles(), _two_roles(covers=["side"])
    stew, side = cooked(plain, "Stew"), cooked(plain, "Beans by themselves")
    one, two = [opens(0, "Beans")], [opens(0, "Beans", 2)]
    where = "Mon 5 January, supper: the side "
    assert told(plain, [supper(day(0), stew, side)], two) == []
    assert told(plain, [supper(day(0), stew, open_roles=("side",))], one) == []
    assert told(covering, [supper(day(0), stew, covered_roles=("side",))], one) == []
    for home, meal, openings, message in (
        (plain, supper(day(0), stew), one, "has no dishes, not 1"),
        (plain, supper(day(0), stew, side, open_roles=("side",)), two, "is called open, yet a dish stands in it"),
        (plain, supper(day(0), stew, covered_roles=("side",)), one, "is called covered, but no dish there covers it"),
        (covering, supper(day(0), stew, side), two, "is covered by another dish, yet one stands in it"),
        (covering, supper(day(0), stew, open_roles=("side",)), one, "is covered by another dish, yet called open"),
        (covering, supper(day(0), stew), one, "is covered by another dish, yet not listed so"),
    ):
        assert told(home, [meal], openings) == [where + message]


def test_a_dish_stands_in_its_own_role_once_a_meal() -> None:
    home = _two_roles()
    stew, side = cooked(home, "Stew"), cooked(home, "Beans by themselves")
    as_side = replace(stew, role="side")
    assert told(home, [supper(day(0), stew, as_side)], [opens(0, "Beans", 2)]) == [
        "Mon 5 January, supper, Stew: stands as side, but is a main",
        "Mon 5 January, supper: Stew stands 2 times",
    ]
    sweet = replace(side, role="sweet")
    assert "this meal has no sweet to fill" in " ".join(
        told(home, [supper(day(0), stew, sweet, open_roles=("side",))], [opens(0, "Beans", 2)])
    )


def test_open_roles_are_counted() -> None:
    home = _two_roles()
    meals = [supper(day(0), cooked(home, "Stew"), open_roles=("side",))]
    assert told(home, meals, [opens(0, "Beans")], open_roles=0) == ["the plan states 0 open roles, its meals list 1"]
