"""What a cook may type about a menu, and what is said when it makes no sense."""

from __future__ import annotations

from datetime import date

import pytest

from pantrymeals.actions.asking import (
    NotUnderstood,
    bans_meant,
    day_meant,
    dish_meant,
    pin_meant,
    plate_meant,
    product_meant,
    taken_for,
)
from pantrymeals.menu.request import Pin
from pantrymeals.records import Household
from tests.kitchens.tiny import dish, jar, kitchen

SATURDAY = date(2026, 1, 17)


@pytest.fixture
def household() -> Household:
    return kitchen(
        dishes=[
            dish("Sunday roast chicken", ["1 qt Beans"]),
            dish("Sunday beef roast", ["1 qt Beans"]),
            dish("Lunch tin: bread, cheese", ["1 qt Beans"], role="lunch"),
        ]
    )


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Sat", date(2026, 1, 17)),
        ("sun", date(2026, 1, 18)),
        ("Friday", date(2026, 1, 23)),
        ("2026-01-20", date(2026, 1, 20)),
        (" Tues ", date(2026, 1, 20)),
    ],
)
def test_a_weekday_or_a_date_is_a_day_of_the_menu(text: str, day: date) -> None:
    assert day_meant(text, SATURDAY, 7) == day


@pytest.mark.parametrize("text", ["Sun", "2026-01-16", "2026-01-18"])
def test_a_day_outside_the_menu_is_said_with_its_days(text: str) -> None:
    with pytest.raises(NotUnderstood, match="runs from 2026-01-17 to 2026-01-17"):
        day_meant(text, SATURDAY, 1)


@pytest.mark.parametrize("text", ["", "S", "Sunny", "Satan", "2026-02-30", "tomorrow"])
def test_no_day_is_said_with_what_would_be_right(text: str) -> None:
    with pytest.raises(NotUnderstood, match="is not a day; write a weekday such as Sun"):
        day_meant(text, SATURDAY, 7)


def test_a_dish_is_known_without_regard_to_case_spaces_or_by_one_part(household: Household) -> None:
    assert dish_meant(household, "  sunday  ROAST chicken ") == "Sunday roast chicken"
    assert dish_meant(household, "beef roast") == "Sunday beef roast"


def test_two_dishes_that_fit_are_both_named(household: Household) -> None:
    for said in ("roast", "Sunday", "sun r"):
        with pytest.raises(NotUnderstood, match="one dish; did you mean Sunday beef roast or Sunday roast chicken"):
            dish_meant(household, said)


@pytest.mark.parametrize("said", ["lunch", "Chicken", "roast chick", "chicken, sunday"])
def test_words_that_begin_those_of_one_dish_are_sure(household: Household, said: str) -> None:
    name = "Lunch tin: bread, cheese" if said == "lunch" else "Sunday roast chicken"
    assert dish_meant(household, said) == name
    assert taken_for(household, [said, "sunday beef ROAST"]) == (f"'{said}' is taken as {name}",)


@pytest.mark.parametrize(
    "said", ["hicken", "unch tin", "be", "roast roast chicken", "lnch tin", "Sunday roast chickns"]
)
def test_what_is_not_sure_is_asked_about_and_never_guessed(household: Household, said: str) -> None:
    with pytest.raises(NotUnderstood, match=r"did you mean|a name like it"):
        dish_meant(household, said)


def test_a_misspelt_dish_gets_the_nearest_name(household: Household) -> None:
    with pytest.raises(NotUnderstood, match="no dish called 'Sunday rost chiken'; did you mean Sunday roast"):
        dish_meant(household, "Sunday rost chiken")


@pytest.mark.parametrize("text", ["", "   ", "zzzz"])
def test_a_dish_like_none_is_said(household: Household, text: str) -> None:
    with pytest.raises(NotUnderstood, match="there is no dish called"):
        dish_meant(household, text)


def test_pins_take_a_day_a_meal_and_a_dish_with_colons(household: Household) -> None:
    assert pin_meant(household, "Sun: sunday roast chicken", SATURDAY, 7) == Pin(
        date(2026, 1, 18), "Sunday roast chicken"
    )
    assert pin_meant(household, "2026-01-19 lunch: Lunch tin: bread, cheese", SATURDAY, 7) == Pin(
        date(2026, 1, 19), "Lunch tin: bread, cheese", "lunch"
    )


@pytest.mark.parametrize("text", ["Sunday roast chicken", ": Sunday roast chicken", "Sun supper late: x"])
def test_a_pin_without_its_day_is_said(household: Household, text: str) -> None:
    with pytest.raises(NotUnderstood, match="is not a pin; write 'Sun: dish'"):
        pin_meant(household, text, SATURDAY, 7)


def test_a_pin_with_an_unknown_meal_is_said(household: Household) -> None:
    with pytest.raises(NotUnderstood, match="'tea' is not a meal; write breakfast, lunch or supper"):
        pin_meant(household, "Sun tea: Sunday roast chicken", SATURDAY, 7)


def test_bans_become_the_dishes_own_names(household: Household) -> None:
    assert bans_meant(household, ["BEEF ROAST"]) == {"Sunday beef roast"}


@pytest.mark.parametrize(
    ("text", "plate"),
    [
        ("Tue supper main", (date(2026, 1, 20), "supper", "main")),
        ("Tue main", (date(2026, 1, 20), "supper", "main")),
        ("Tue side", (date(2026, 1, 20), "supper", "side")),
        ("Tue lunch", (date(2026, 1, 20), "lunch", "lunch")),
        ("Tue breakfast", (date(2026, 1, 20), "breakfast", "breakfast")),
        ("2026-01-17 Supper Sweet", (date(2026, 1, 17), "supper", "sweet")),
        ("Tue supper", (date(2026, 1, 20), "supper", "main")),
    ],
)
def test_a_plate_of_the_menu_is_a_day_meal_and_role(text: str, plate: tuple[date, str, str]) -> None:
    assert plate_meant(text, SATURDAY, 7) == plate


@pytest.mark.parametrize("text", ["Tue", "Tue supper main course", "Tue tea"])
def test_no_plate_is_said(text: str) -> None:
    with pytest.raises(NotUnderstood):
        plate_meant(text, SATURDAY, 7)


def test_a_product_is_known_by_a_few_words_of_it_or_its_second_name() -> None:
    home = kitchen(products=[jar("Tomatoes, crushed"), jar("Tomato sauce", also_called=("passata",)), jar("Beets")])
    assert product_meant(home, "crushed tom") == product_meant(home, " tomatoes,  CRUSHED") == "Tomatoes, crushed"
    assert product_meant(home, "Passata") == "Tomato sauce"
    with pytest.raises(NotUnderstood, match="'tom' can be more than one product; did you mean Tomatoes, crushed or"):
        product_meant(home, "tom")
    with pytest.raises(NotUnderstood, match="there is no product called 'beats'; did you mean Beets"):
        product_meant(home, "beats")
