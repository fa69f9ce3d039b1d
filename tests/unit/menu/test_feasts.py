"""A feast has its dish, its side and its sweet, and no everyday supper; what it leaves is said."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, Leaving, MealRoles, Occasion, Role
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, lot, meal_roles, rules

SUPPER: dict[str, tuple[Role, ...]] = {"Mon": ("main", "bread"), "Tue": ("main", "side"), "Wed": ("main", "sweet")}


def book() -> list[Dish]:
    return [
        dish("Must-go soup", ["1/2 qt Beans"], tags=["soup"], days_between=1, liking=1, not_for=["feast"]),
        dish("Bean pie", ["1/2 qt Beans"], days_between=1),
        dish("Goose", ["1/2 qt Beans"], only_for="feast", days_between=1, liking=-1,
             leaves=Leaving("cold goose", Fraction(4), 1)),
        dish("Goose hash", ["1/2 qt Beans"], needs_left="cold goose", days_between=1, liking=2),
        dish("Threshers' pot", ["1/2 qt Beans"], only_for="crew", days_between=1, liking=-1),
        dish("Loaf", ["1/4 qt Beans"], role="bread", days_between=1),
        dish("Slaw", ["1/4 qt Beans"], role="side", days_between=1),
        dish("Tart", ["1/4 qt Beans"], role="sweet", days_between=1),
    ]  # fmt: skip


def house(kind: str, on: int = 0, **changes: Any) -> Household:
    supper = meal_roles("supper")
    roles = {name: SUPPER.get(name, ("main",)) for name in supper.roles}
    occasion = Occasion(day(on), day(on), "Harvest home", kind=kind)  # type: ignore[arg-type]
    fields: dict[str, Any] = {
        "products": [jar("Beans", opened_days=4)],
        "lots": [lot("Beans", 60)],
        "dishes": book(),
        "meals": [replace(supper, roles=roles)],
        "occasions": (occasion,),
        "rules": rules(fixed={"Mon": "soup"}),
    }
    return kitchen(**(fields | changes))


def planned(home: Household, days: int = 3) -> MenuPlan:
    plan = plan_menu(home, MenuRequest(MONDAY, days, seconds=3, gap=0.0))
    assert broken_rules(home, plan) == []
    return plan


def dishes(plan: MenuPlan, number: int = 0) -> list[str]:
    return [d.dish for d in plan.meals[number].dishes]


def test_a_feast_has_its_own_roles_and_dishes_and_no_fixed_night() -> None:
    assert dishes(planned(house(""))) == ["Must-go soup", "Loaf"]
    plan = planned(house("feast"))
    assert dishes(plan) == ["Goose", "Slaw", "Tart"]
    assert dishes(plan, 1)[0] == "Goose hash"
    assert "Cold goose for 4 is left of Harvest home, good to Tue 6 Jan: Goose hash on Tue 6 Jan." in plan.notes


def test_what_nothing_is_made_of_is_named_all_the_same() -> None:
    alone = house("feast", dishes=[d for d in book() if d.name != "Goose hash"])
    assert any(n.endswith("Tue 6 Jan: no dish here is made of it.") for n in planned(alone).notes)
    last = planned(house("feast"), 1)
    assert any(n.endswith("Tue 6 Jan: Goose hash can be made of it.") for n in last.notes)


@pytest.mark.parametrize(("thaw_days", "said"), [(0, False), (1, True)])
def test_a_feasts_own_dish_that_cannot_be_ready_is_said(thaw_days: int, said: bool) -> None:
    """A goose from the freezer for a feast on the menu's first day, which nobody lifted out."""
    home = house("feast", products=[jar("Beans", opened_days=4), jar("Bird", thaw_days=thaw_days, opened_days=2)],
                 lots=[lot("Beans", 60), lot("Bird", 3)],
                 dishes=[*book(), dish("Roast goose", ["1 qt Bird"], only_for="feast")])  # fmt: skip
    home = replace(home, occasions=(replace(home.occasions[0], dish="Roast goose"),))
    plan = planned(home)
    note = "No Roast goose for Harvest home can be ready by Monday 5 January: planned without."
    assert (note in plan.notes, dishes(plan)[0] == "Roast goose") == (said, not said)


def test_a_house_without_sweets_has_none_at_a_feast() -> None:
    bare = house("feast", meals=[MealRoles("supper", meal_roles().roles, meal_roles().eaters)])
    assert dishes(planned(bare)) == ["Goose"]


def test_a_crew_has_the_dish_that_is_kept_for_crews_though_another_is_liked_better() -> None:
    assert dishes(planned(house("crew", 1)), 1) == ["Threshers' pot", "Slaw"]
    elsewhere = replace(house("crew", 1), occasions=(Occasion(day(1), day(1), "hay", meals=("lunch",), kind="crew"),))
    assert dishes(planned(elsewhere), 1)[0] == "Must-go soup"


@pytest.mark.parametrize("wrong", ["Must-go soup", "Loaf"])
def test_the_checker_knows_what_is_no_feast(wrong: str) -> None:
    home = house("feast")
    plan, other = planned(home), planned(house(""))
    (bad,) = [d for d in other.meals[0].dishes if d.dish == wrong]
    kept = [d for d in plan.meals[0].dishes if d.role != bad.role]
    meal = replace(plan.meals[0], dishes=(bad, *kept))
    found = broken_rules(home, replace(plan, meals=(meal, *plan.meals[1:])))
    assert any("no dish for a feast" in x or "has no bread to fill" in x for x in found), found
