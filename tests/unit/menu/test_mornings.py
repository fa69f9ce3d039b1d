"""Mornings that are not all alike: three of a base in seven days cost nothing, each one more 300 points."""

from collections import Counter

from msgspec.structs import replace

from pantrymeals.checking.cost import mornings
from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, loose, lot, meal_roles, rules


def _table(*others: str) -> Household:
    """Porridge that everybody likes, and other breakfasts that nobody does; days between do not keep them apart."""
    breakfasts = [dish("Porridge", ["1 lb Oats"], "breakfast", liking=2, tags=["oats"])]
    breakfasts += [dish(name, ["1 qt Plums"], "breakfast", liking=-2) for name in others]
    return kitchen(
        products=[loose("Oats", on_menus=True), jar("Plums")],
        lots=[lot("Oats", 500, "lb"), lot("Plums", 400)],
        dishes=breakfasts,
        meals=[meal_roles("breakfast", ["breakfast"])],
        rules=rules(days_between={"breakfast": 1}),
    )


def _mornings(home: Household, days: int = 7) -> tuple[Counter[str], float]:
    plan = plan_menu(home, MenuRequest(MONDAY, days, seconds=10, gap=0.0))
    assert broken_rules(home, plan) == []
    assert mornings(home, plan) == dict(plan.parts).get("mornings", 0)
    return Counter(d.dish for m in plan.meals for d in m.dishes), dict(plan.parts).get("mornings", 0.0)


def test_porridge_three_times_a_week_where_there_is_another() -> None:
    eaten, points = _mornings(_table("Plums on bread"))
    assert eaten == {"Porridge": 3, "Plums on bread": 4}
    assert points == 0


def test_who_has_porridge_alone_has_it_every_morning() -> None:
    eaten, points = _mornings(_table())
    assert eaten == {"Porridge": 7}
    assert points == 4 * 300


def test_each_seven_days_from_the_first_are_counted_by_themselves() -> None:
    """Nine days: four too many in seven, none in the two that follow."""
    eaten, points = _mornings(_table(), 9)
    assert eaten["Porridge"] == 9
    assert points == 4 * 300


def test_a_breakfast_that_stood_twice_gives_way_to_one_liked_four_steps_less() -> None:
    """Twice 25 and the minutes against 8 x (2 + 2) and the minutes; of what never stood the best liked comes."""
    stood = ((day(-7), "Porridge"), (day(-9), "Porridge"))
    home = _table("Plums on bread")
    for recent, dish_had in ((stood, "Plums on bread"), (stood[:1], "Porridge")):
        plan = plan_menu(replace(home, recent=recent), MenuRequest(MONDAY, 1, seconds=5, gap=0.0))
        assert [d.dish for m in plan.meals for d in m.dishes] == [dish_had]
