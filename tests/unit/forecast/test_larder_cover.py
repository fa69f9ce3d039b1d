"""How long the whole larder feeds the household: sums that can be done on the fingers."""

from __future__ import annotations

from datetime import timedelta

import pytest

from pantrymeals.actions.food_tables import foods, needs
from pantrymeals.actions.menu import menu_answer, with_cover
from pantrymeals.actions.run_out import Chance, run_out_answer
from pantrymeals.actions.with_book import Larder
from pantrymeals.forecast.cover import larder_cover, meal_days
from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.larder.nutrition import household_need
from pantrymeals.plans.menu import PullList
from pantrymeals.plans.outlook import LarderCover
from pantrymeals.records import MEALS, Household, Occasion
from pantrymeals.reports.lasts_words import lasts_in_short, lasts_words
from pantrymeals.reports.sheet import MenuSheet
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    cooked,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    menu,
    person,
    qty,
    standing,
    supper,
)  # fmt: skip


def cover(household: Household) -> LarderCover:
    return larder_cover(household, foods(), needs())


def test_eight_jars_that_serve_four_feed_two_for_sixteen_suppers() -> None:
    home = kitchen(dishes=[dish("Beans", ["1 qt Beans"], serves=4)])
    days, limiting = meal_days(home)
    assert days == 16
    assert [x.product for x in limiting] == ["Beans"]
    assert limiting[0].days_a_container == pytest.approx(2, rel=0.1)


def test_every_role_must_be_filled_and_a_covered_one_is() -> None:
    meals = [meal_roles("supper", ["main", "side"])]
    plain = [dish("Beans", ["1 qt Beans"]), dish("Carrots", ["1 lb Carrots"], role="side")]
    assert meal_days(kitchen(dishes=plain, meals=meals))[0] == 8
    stew = dish("Stew", ["1 qt Beans"], covers=["side"])
    assert meal_days(kitchen(dishes=[stew], meals=meals))[0] == 16


def test_standing_use_comes_first_and_what_comes_in_counts() -> None:
    beans = [dish("Beans", ["1 qt Beans"])]
    # Eight jars, one every other day for two people, and half a jar a day standing: eight days.
    assert meal_days(kitchen(dishes=beans, standing=(standing("Beans", "3 1/2 qt"),)))[0] == 8
    more = tuple(arrival("Beans", "1 qt", MONDAY + timedelta(days=7 * n)) for n in (1, 2))
    assert meal_days(kitchen(dishes=beans, arrivals=more))[0] == 20


def test_reserve_and_banned_dishes_are_left_out() -> None:
    home = kitchen(
        products=[jar("Beans", reserve=qty("4 qt"))], lots=[lot("Beans", 8)], dishes=[dish("Beans", ["1 qt Beans"])]
    )
    assert meal_days(home)[0] == 8
    assert meal_days(home, {"Beans"})[0] is None


def test_a_dish_that_someone_must_not_eat_does_not_count() -> None:
    home = kitchen(
        products=[jar("Beans", contents=frozenset({"salty"}))],
        lots=[lot("Beans", 8)],
        dishes=[dish("Beans", ["1 qt Beans"])],
        people=(person("Ann"), person("Edda", must_not=["salty"])),
    )
    assert meal_days(home)[0] is None


def test_energy_days_are_stored_energy_over_need() -> None:
    potatoes = loose("Potatoes", food="11352")
    home = kitchen(products=[potatoes], lots=[lot("Potatoes", 100, "lb")], dishes=[])
    found = cover(home)
    # 100 lb, a quarter peel, 77 kcal in 100 g (USDA SR27).
    stored = 100 * 453.59237 * 0.75 * 0.77
    need = household_need(home, home.today, needs()).kcal
    assert found.stored_kcal == pytest.approx(stored)
    assert found.energy_days == pytest.approx(stored / need)
    assert found.meal_days is None


def test_guests_eat_their_share() -> None:
    potatoes = loose("Potatoes", food="11352")
    home = kitchen(products=[potatoes], lots=[lot("Potatoes", 100, "lb")], dishes=[])
    visit = Occasion(MONDAY, MONDAY + timedelta(days=400), "two guests", qty("2 each"), MEALS)
    crowded = kitchen(products=[potatoes], lots=[lot("Potatoes", 100, "lb")], dishes=[], occasions=(visit,))
    assert cover(crowded).energy_days == pytest.approx(cover(home).energy_days / 2, abs=0.5)


def test_what_has_no_food_figures_is_named() -> None:
    assert cover(kitchen()).unknown == ("Beans", "Carrots")


def test_what_nobody_knows_is_not_said_to_be_nothing() -> None:
    found = cover(kitchen(dishes=[dish("Beans", ["1 qt Beans"])]))
    assert (found.energy_days, found.protein_days) == (None, None)
    assert lasts_words(found) == (
        "How long the food lasts: full meals at most 16 days, to 20 Jan; energy and protein not known, "
        "for nothing on the shelf has food figures."
    )


def test_an_empty_shelf_lasts_less_than_a_day_and_that_is_known() -> None:
    found = cover(kitchen(lots=[], dishes=[dish("Beans", ["1 qt Beans"])]))
    assert found.energy_days == 0
    assert lasts_in_short(found) == (
        "The food lasts: full meals less than a day, energy less than a day, protein less than a day."
    )
    assert lasts_words(found) == (
        "How long the food lasts: full meals less than a day; energy less than a day; protein less than a day."
    )


def test_a_meal_that_no_dish_fills_is_named_and_no_days_are_made_up() -> None:
    beans = [dish("Beans", ["1 qt Beans"])]
    found = cover(kitchen(dishes=beans, meals=[meal_roles("supper", ["main", "sweet"])]))
    assert found.meal_days is None
    assert "full meals not known, for no dish fills sweet;" in lasts_words(found)


def test_what_is_known_is_counted_and_how_much_is_not_is_said() -> None:
    potatoes = loose("Potatoes", food="11352")
    home = kitchen(products=[potatoes, jar("Beans")], lots=[lot("Potatoes", 100, "lb"), lot("Beans", 8)], dishes=[])
    alone = kitchen(products=[potatoes], lots=[lot("Potatoes", 100, "lb")], dishes=[])
    assert cover(home).energy_days == cover(alone).energy_days
    assert lasts_words(cover(home)).endswith(" 1 of 2 products has no food figures, and counts as nothing.")


def test_the_same_figure_heads_run_out_and_menu() -> None:
    home = kitchen(dishes=[dish("Beans", ["1 qt Beans"])])
    found = cover(home)
    sheet = with_cover(
        MenuSheet(
            home,
            menu(home, [supper(MONDAY, cooked(home, "Beans"))]),
            (),
            PullList((), (), (), ()),
            foresee(home, learn_paces(home, ())),
        )
    )
    answers = (run_out_answer(Larder(home, ()), Chance(paths=50)), menu_answer(sheet), menu_answer(sheet, full=True))
    for answer in answers:
        said = " ".join(answer.text(colour=False).split())
        assert "ull meals at most 16 days" in said
        assert lasts_words(found) in said or lasts_in_short(found) in said
