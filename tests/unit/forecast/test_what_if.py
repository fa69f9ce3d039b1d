"""What-ifs, one by one and together."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.forecast.compare import compare, fallen_dishes, fallen_meals, gaps
from pantrymeals.forecast.cover import larder_cover
from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.forecast.what_if import FORMS, Changed, apply_all
from pantrymeals.records import Household, StorePlace
from tests.kitchens.tiny import (
    arrival,
    cooked,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    menu,
    part_jar,
    person,
    standing,
    supper,
)  # fmt: skip

TODAY = date(2026, 1, 17)
DUE = date(2026, 8, 1)
PLACES = (
    StorePlace("K", "kitchen press", "fridge"),
    StorePlace("P", "pantry", "pantry"),
    StorePlace("C-bin 1", "potato bin", "cellar"),
    StorePlace("C-bin 2", "root bin", "cellar"),
    StorePlace("F1", "upright", "freezer"),
    StorePlace("F2", "chest freezer", "freezer"),
)


def home() -> Household:
    crop = {"must_last_to": DUE, "deadline_kind": "new crop"}
    return kitchen(
        today=TODAY,
        places=PLACES,
        products=[
            jar("Green beans", family="bean", **crop),
            loose("Potatoes", family="potato", **crop),
            jar("Walnuts", contents=frozenset({"tree nut"})),
            jar("Beef", kind="freezer", family="beef", sizes=["pack=2 each"]),
        ],
        lots=[
            lot("Green beans", 30),
            lot("Potatoes", 60, "lb", where="C-bin 1"),
            lot("Potatoes", 40, "lb", where="C-bin 2"),
            lot("Walnuts", 3),
            lot("Beef", 10, "pack", where="F2 top"),
        ],
        part_jars=(part_jar("Beef", "1 each", TODAY, "pack", where="F2"),),
        standing=(standing("Green beans", "1 qt"), standing("Potatoes", "3 lb")),
        arrivals=(arrival("Green beans", "40 qt", DUE), arrival("Green beans", "1 qt", TODAY + timedelta(days=9))),
        dishes=[
            dish("Bean pot", ["1 qt Green beans"]),
            dish("Beef pot", ["2 each Beef", "1 lb Potatoes"]),
            dish("Nut loaf", ["1 qt Walnuts"]),
        ],
        people=(person("Ann"), person("Ben")),
    )


def after(*wishes: str) -> Changed:
    return apply_all(home(), wishes)


def left(changed: Changed, product: str) -> float:
    return float(sum(x.count for x in changed.household.lots if x.product == product))


@pytest.mark.parametrize("form", FORMS)
def test_every_form_we_name_is_understood(form: str) -> None:
    assert after(form).said


def test_a_freezer_lost_takes_all_its_shelves_and_part_packs() -> None:
    changed = after("freezer F2 lost")
    assert left(changed, "Beef") == 0
    assert changed.household.part_jars == ()
    assert left(changed, "Green beans") == 30
    assert left(after("freezer chest freezer lost"), "Beef") == 0


def test_a_place_flooded_takes_every_bin_of_that_name() -> None:
    assert left(after("place C-bins flooded"), "Potatoes") == 0
    assert left(after("place C-bin 1 frosted"), "Potatoes") == 40


def test_a_crop_lost_moves_the_day_by_a_year_and_brings_nothing() -> None:
    changed = after("crop Green beans lost").household
    assert changed.products["Green beans"].must_last_to == DUE + timedelta(days=365)
    # What comes in before the crop still comes.
    assert [a.day for a in changed.arrivals] == [TODAY + timedelta(days=9)]
    assert after("crop bean lost").household.products["Green beans"].must_last_to != DUE


def test_a_late_crop_moves_its_day_and_its_arrival() -> None:
    changed = after("new crop 3 weeks late").household
    assert changed.products["Potatoes"].must_last_to == DUE + timedelta(weeks=3)
    assert max(a.day for a in changed.arrivals) == DUE + timedelta(weeks=3)
    one = after("new crop of Potatoes two weeks late").household
    assert one.products["Green beans"].must_last_to == DUE


def test_more_at_table_raise_every_pace_and_the_need() -> None:
    changed = after("two more at table")
    assert changed.factor[0] == pytest.approx(2.0)
    assert len(changed.household.people) == 4


def test_a_guest_month_lasts_four_weeks() -> None:
    changed = after("guest month of 6 from March")
    assert changed.factor[5] == 1
    week = (date(2026, 3, 1) - TODAY).days // 7
    assert list(changed.factor[week : week + 5]) == [4, 4, 4, 4, 1]
    visit = changed.household.occasions[0]
    assert (visit.first, visit.last, visit.guests) == (date(2026, 3, 1), date(2026, 3, 28), 6)


def test_banned_by_product_dish_or_mark() -> None:
    assert after("banned Walnuts").banned == {"Walnuts"}
    assert after("ban nut loaf").banned == {"Nut loaf"}
    assert after("tree nut banned").banned == {"Walnuts"}


def test_several_together() -> None:
    changed = after("freezer F2 lost", "two more at table", "guest month", "banned Walnuts")
    assert left(changed, "Beef") == 0
    # The two more are at table before the four guests come: (2 + 2) / 2, then (4 + 4) / 4.
    assert changed.factor[0] == pytest.approx(4.0)
    assert len(changed.said) == 4


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ("the moon falls", "say it as one of"),
        ("freezer F9 lost", "is no freezer"),
        ("place Attic flooded", "is no place"),
        ("crop Melons lost", "is no product"),
    ],
)
def test_what_is_not_understood_is_said_back(wish: str, words: str) -> None:
    with pytest.raises(PantryError, match=words):
        after(wish)


def test_dishes_fall_with_what_they_need() -> None:
    before = home()
    assert fallen_dishes(before, after("freezer F2 lost").household, ()) == ("Beef pot",)
    assert fallen_dishes(before, before, {"Walnuts"}) == ("Nut loaf",)
    assert fallen_dishes(before, before, ()) == ()


def test_planned_meals_fall_once_what_is_left_is_used_up() -> None:
    kept = home()
    plan = menu(kept, [supper(TODAY + timedelta(days=n), cooked(kept, "Bean pot")) for n in range(4)])
    assert fallen_meals(kept, plan, ()) == ()
    scarce = replace(kept, lots=(lot("Green beans", 2),), arrivals=())
    assert fallen_meals(scarce, plan, ()) == ("Mon 19 supper: Bean pot", "Tue 20 supper: Bean pot")


def test_what_changes_is_shown(foods_and_needs: tuple) -> None:  # type: ignore[type-arg]
    kept, changed = home(), after("freezer F2 lost", "two more at table")
    before, now = (
        foresee(kept, learn_paces(kept, ()), paths=400),
        foresee(changed.household, learn_paces(kept, ()), paths=400, factor=changed.factor, also=kept.products),
    )
    foods, needs = foods_and_needs
    was, then = larder_cover(kept, foods, needs), larder_cover(changed.household, foods, needs)
    shown = compare(changed, (kept, before, was), (now, then))
    assert "Beef" in {gap.product for gap in shown.first_gaps}
    assert shown.first_gaps[0].out_after == TODAY
    assert shown.meal_days_after is not None
    assert shown.meal_days_before is not None
    assert shown.meal_days_after < shown.meal_days_before
    assert gaps(before, before) == ()


@pytest.fixture
def foods_and_needs() -> tuple:  # type: ignore[type-arg]
    from pantrymeals.actions import food_tables

    return food_tables.foods(), food_tables.needs()


@pytest.mark.parametrize("text", ["100000 more at table", "1000 more at table", "9" * 5000 + " more at table"])
def test_more_than_any_table_seats_is_refused_at_once(text: str) -> None:
    with pytest.raises(PantryError, match="digits is more than this can reckon with; write one up to 999"):
        apply_all(kitchen(), [text])
