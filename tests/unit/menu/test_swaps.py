"""Swaps in tiny kitchens: what may stand there, and what it would do."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.changes import plan_keeping
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.swaps import NothingThere, swap_offers
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, loose, lot, meal_roles, qty, rules


def soups() -> Household:
    return kitchen(
        products=[loose("Carrots"), loose("Leeks"), jar("Beans", opened_days=2)],
        lots=[lot("Carrots", 30, "lb"), lot("Leeks", 30, "lb"), lot("Beans", 6)],
        dishes=[
            dish("Carrot soup", ["1 lb Carrots"], tags=["soup"], minutes=30, hands_on_minutes=10),
            dish("Leek soup", ["1 lb Leeks"], tags=["soup"], minutes=40, hands_on_minutes=25),
            dish("Half a jar", ["1/2 qt Beans"], minutes=20, hands_on_minutes=5),
            dish("Too much", ["40 lb Leeks"]),
        ],
        rules=rules(at_most={"soup": 1}),
    )


def planned(household: Household, *pins: Pin, days: int = 2) -> MenuPlan:
    return plan_keeping(household, MenuRequest(MONDAY, days, pinned=pins, seconds=5)).plan


def as_if_by_itself(plan: MenuPlan) -> MenuPlan:
    """The same menu with nobody having asked for its dishes."""
    meals = tuple(replace(m, dishes=tuple(replace(d, pinned=False) for d in m.dishes)) for m in plan.meals)
    return replace(plan, meals=meals)


def test_offers_keep_every_rule_and_say_the_minutes() -> None:
    household = soups()
    plan = as_if_by_itself(planned(household, Pin(MONDAY, "Carrot soup"), Pin(day(1), "Half a jar")))
    offers = {o.dish: o for o in swap_offers(household, plan, MONDAY, "supper", "main")}
    assert set(offers) == {"Leek soup", "Half a jar"}
    assert offers["Leek soup"].minutes == 10
    assert offers["Leek soup"].hands_on_minutes == 15
    tuesday = {o.dish for o in swap_offers(household, plan, day(1), "supper", "main")}
    assert tuesday == set(), "one soup in seven days is enough"


def test_an_offer_says_what_it_wastes_and_what_it_saves() -> None:
    household = soups()
    both = (Pin(MONDAY, "Half a jar"), Pin(day(1), "Half a jar"))
    whole = as_if_by_itself(planned(household, *both, Pin(day(2), "Carrot soup"), days=3))
    assert whole.waste == ()
    (tuesday,) = (o for o in swap_offers(with_greens(household), whole, day(1), "supper", "main") if o.dish == "Greens")
    assert tuesday.waste == (("Beans", qty("1/2 qt")),), "Monday's other half keeps only to Tuesday"
    half = as_if_by_itself(
        planned(with_greens(household), both[0], Pin(day(1), "Greens"), Pin(day(2), "Carrot soup"), days=3)
    )
    (back,) = (o for o in swap_offers(with_greens(household), half, day(1), "supper", "main") if o.dish == "Half a jar")
    assert back.waste == (("Beans", -qty("1/2 qt")),)


def with_greens(household: Household) -> Household:
    greens = dish("Greens", ["1 lb Leeks"])
    return replace(household, dishes={**household.dishes, "Greens": greens})


def test_evenness_moves_are_named() -> None:
    household = kitchen(
        products=[loose("Carrots", must_last_to=day(4)), loose("Leeks", must_last_to=day(2))],
        lots=[lot("Carrots", 4, "lb"), lot("Leeks", 4, "lb")],
        dishes=[dish("Carrots", ["2 lb Carrots"]), dish("Leeks", ["2 lb Leeks"])],
        rules=rules(days_between={"main": 1}),
    )
    uneven = as_if_by_itself(planned(household, Pin(MONDAY, "Carrots"), Pin(day(1), "Carrots")))
    pace_one = replace(uneven, pace=Fraction(1))
    (offer,) = swap_offers(household, pace_one, day(1), "supper", "main")
    assert offer.dish == "Leeks"
    assert "Leeks" in offer.nearer
    assert "Carrots" in offer.nearer
    assert offer.further == ()
    assert offer.points < 0


def test_a_dish_that_covers_the_side_leaves_the_side_out_and_back_again() -> None:
    household = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 30, "lb")],
        meals=[meal_roles("supper", ("main", "side"))],
        dishes=[
            dish("Stew", ["1 lb Carrots"], covers=["side"]),
            dish("Cutlet", ["1 lb Carrots"]),
            dish("Raw carrots", ["1/2 lb Carrots"], role="side"),
        ],
    )
    plan = as_if_by_itself(planned(household, Pin(MONDAY, "Stew"), days=1))
    (offer,) = swap_offers(household, plan, MONDAY, "supper", "main")
    assert (offer.dish, offer.besides) == ("Cutlet", ("with Raw carrots as side",))
    other = as_if_by_itself(planned(household, Pin(MONDAY, "Cutlet"), days=1))
    (back,) = swap_offers(household, other, MONDAY, "supper", "main")
    assert (back.dish, back.besides) == ("Stew", ("no side of its own is needed",))


def test_every_offer_carried_out_passes_the_checker() -> None:
    household = soups()
    plan = as_if_by_itself(planned(household, Pin(MONDAY, "Carrot soup"), Pin(day(1), "Half a jar")))
    for offer in swap_offers(household, plan, MONDAY, "supper", "main"):
        swapped = planned(household, Pin(MONDAY, offer.dish), Pin(day(1), "Half a jar"))
        assert broken_rules(household, swapped) == []


def test_a_place_without_a_dish_is_said() -> None:
    household = soups()
    plan = planned(household)
    with pytest.raises(NothingThere, match="no sweet at supper on Monday 5 January"):
        swap_offers(household, plan, MONDAY, "supper", "sweet")


def test_a_menu_that_the_larder_no_longer_holds_is_said() -> None:
    household = soups()
    plan = planned(household, Pin(MONDAY, "Half a jar"))
    emptied = replace(household, lots=tuple(x for x in household.lots if x.product != "Beans"))
    with pytest.raises(NothingThere, match="cannot be cooked from this larder any more"):
        swap_offers(emptied, plan, MONDAY, "supper", "main")
