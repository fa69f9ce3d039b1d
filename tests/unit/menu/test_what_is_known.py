"""Menus that keep to what is known: sizes by their day, part jars together, leavings by their meal, days to come."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household, Leaving, Occasion
from tests.kitchens.tiny import MONDAY, arrival, cooked, day, dish, jar, kitchen, loose, lot, part_jar, rules, standing


def planned(home: Household, days: int, **changes: object) -> MenuPlan:
    plan = plan_menu(home, MenuRequest(MONDAY, days, gap=0.0, seconds=30, **changes))  # type: ignore[arg-type]
    assert broken_rules(home, plan) == []
    return plan


def mains(plan: MenuPlan) -> list[str]:
    return [next((d.dish for d in m.dishes), "") for m in plan.meals]


@pytest.mark.parametrize("days", [7, 14])
def test_a_size_that_has_not_come_in_yet_is_not_opened(days: int) -> None:
    home = kitchen(
        products=[jar("Plums", sizes=("pt", "qt"), opened_days=2)],
        lots=[lot("Plums", 1, "pt"), lot("Plums", 5, "qt")],
        dishes=[dish("Plum pot", ["1 pt Plums"], days_between=1)],
        arrivals=(arrival("Plums", "6 pt", day(6)),),
    )
    plan = planned(home, days)
    pints = sum(o.count for o in plan.openings if o.size == "pt" and o.day < day(6))
    assert pints <= 1
    assert all(mains(plan)[:7])


def test_two_open_half_quarts_make_the_quart_that_a_better_liked_dish_takes() -> None:
    home = kitchen(
        products=[jar("Stock", opened_days=9), loose("Oats")],
        lots=[lot("Oats", 9, "lb")],
        part_jars=(part_jar("Stock", "1/2 qt", day(-1)), part_jar("Stock", "1/2 qt", day(-2))),
        dishes=[dish("Broth", ["1 qt Stock"], liking=2), dish("Porridge", ["1 lb Oats"], liking=-2)],
    )
    assert mains(planned(home, 1)) == ["Broth"]


def test_thirds_and_sevenths_are_not_rounded() -> None:
    home = kitchen(
        products=[loose("Flour")],
        lots=[lot("Flour", 1, "lb")],
        dishes=[dish("Thirds", ["1/3 lb Flour"], days_between=1)],
        standing=(standing("Flour", "0 lb"),),
    )
    assert mains(planned(home, 3)) == ["Thirds"] * 3
    sevenths = replace(home, standing=(standing("Flour", "7/9 lb"),))  # by Wednesday 1/3 lb is gone
    assert mains(planned(sevenths, 3)).count("Thirds") == 2


def _with_leavings(**changes: object) -> Household:
    return kitchen(
        dishes=[
            dish("Roast", ["1 qt Beans"], leaves=Leaving("cold cuts", Fraction(2), 3), days_between=9, liking=2),
            dish("Cold plate", ["1/2 lb Carrots"], needs_left="cold cuts", days_between=9, liking=2),
            dish("Bean soup", ["1/2 qt Beans"], days_between=1, liking=-2),
        ],
        **changes,  # type: ignore[arg-type]
    )


def test_a_guest_on_thursday_does_not_kill_the_leavings_of_saturday() -> None:
    company = Occasion(day(3), day(3), "company", guests=Fraction(2))
    pins = (Pin(day(4), "Roast"), Pin(day(5), "Cold plate"))
    plan = planned(_with_leavings(occasions=(company,)), 7, pinned=pins)
    assert mains(plan)[4:6] == ["Roast", "Cold plate"]


def test_yesterdays_leavings_are_eaten_up_once() -> None:
    home = _with_leavings(recent=((day(-1), "Roast"),))
    assert mains(planned(home, 2)).count("Cold plate") == 1
    eaten = _with_leavings(recent=((day(-2), "Roast"), (day(-1), "Cold plate")))
    assert "Cold plate" not in mains(planned(eaten, 2))


def _two_roasts(**changes: object) -> Household:
    return kitchen(
        dishes=[
            dish("Ham", ["1/2 qt Beans"], tags=["roast"], days_between=10, liking=2),
            dish("Beef", ["1/2 qt Beans"], tags=["roast"], days_between=10, liking=2),
            dish("Bean soup", ["1/2 qt Beans"], days_between=1, liking=-2),
        ],
        **changes,  # type: ignore[arg-type]
    )


def test_the_feasts_own_dish_is_not_eaten_within_its_days_before_the_feast() -> None:
    feast = Occasion(day(5), day(5), "feast", dish="Ham")
    assert "Ham" in mains(planned(_two_roasts(), 3))
    assert "Ham" not in mains(planned(_two_roasts(occasions=(feast,)), 3))
    far = replace(feast, first=day(12), last=day(12))
    assert "Ham" in mains(planned(_two_roasts(occasions=(far,)), 2))
    pinned = planned(_two_roasts(occasions=(feast,)), 3, pinned=(Pin(day(1), "Ham"),))
    assert "Ham" in mains(pinned)


def test_the_checker_tells_a_feasts_dish_eaten_before() -> None:
    feast = Occasion(day(5), day(5), "feast", dish="Ham")
    free = planned(_two_roasts(), 1)
    assert mains(free)[0] in ("Ham", "Beef")
    ham = replace(free, meals=(replace(free.meals[0], dishes=(cooked(_two_roasts(), "Ham"),)),))
    said = [s for s in broken_rules(_two_roasts(occasions=(feast,)), ham) if "too soon after" in s]
    assert len(said) == 1
    assert "Sat 10 January" in said[0]


def test_a_fixed_night_after_the_last_day_is_left_a_dish() -> None:
    free = mains(planned(_two_roasts(), 3))
    assert {"Ham", "Beef"} <= set(free)
    house = rules(fixed={"Sat": "roast"})
    assert len({"Ham", "Beef"} & set(mains(planned(_two_roasts(rules=house), 3)))) == 1
    both = planned(_two_roasts(), 3)
    assert any(
        "no dish is left for 'roast' on Sat 10 January" in s for s in broken_rules(_two_roasts(rules=house), both)
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"cost": 1.0}, "points, the plan states 1"),
        ({"parts": ()}, "liking and effort: costs"),
        ({"pace": Fraction(1, 5)}, "the common pace is stated as 0.2"),
    ],
)
def test_a_cost_or_pace_that_is_not_so_is_a_broken_rule(change: dict, said: str) -> None:
    home = kitchen()
    plan = replace(planned(home, 2), **change)
    assert any(said in told for told in broken_rules(home, plan))


@pytest.mark.parametrize(("later", "told"), [(14, False), (15, True), (180, True)])
def test_a_menu_far_from_its_count_says_so(later: int, told: bool) -> None:
    home = kitchen()
    plan = plan_menu(home, MenuRequest(day(later), 1, gap=0.0, seconds=30))
    said = f"from the shelf of Monday 5 January, {later} days before it begins"
    assert any(said in note and "Take a count" in note for note in plan.notes) is told


def test_what_no_grain_divides_is_told() -> None:
    home = kitchen(
        products=[jar("Beans", sizes=("jar=500 ml",))], lots=[lot("Beans", 4, "jar")],
        dishes=[dish("Pot", ["1 cup Beans"])],
    )  # fmt: skip
    assert any(note.startswith("Beans: counted in thousandths") for note in planned(home, 1).notes)
    assert not planned(kitchen(), 1).notes
