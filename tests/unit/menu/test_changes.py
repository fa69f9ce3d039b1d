"""Re-planning after life happened: as few announced meals changed as can be."""

from __future__ import annotations

from datetime import date
from itertools import product
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.asking import NotUnderstood
from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.replan import Life, eaten_so_far, replan
from pantrymeals.actions.stored_menu import announced_in
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import NoMenuFits, PantryError
from pantrymeals.menu.changes import changed_meals, more_batches, plan_keeping
from pantrymeals.menu.request import MenuRequest, NobodyWatching, Pin
from pantrymeals.plans.menu import MenuPlan, Opening
from pantrymeals.records import Household, Occasion
from tests.kitchens.tiny import (
    MONDAY,
    cooked,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    menu,
    person,
    qty,
    rules,
    supper,
    told,
)

GOLDEN = Path(__file__).parents[2] / "golden" / "demo_week.json"


def larder(carrots: int = 9, leeks: int = 9) -> Household:
    return kitchen(
        products=[loose("Carrots"), loose("Leeks")],
        lots=[lot("Carrots", carrots, "lb"), lot("Leeks", leeks, "lb")],
        dishes=[
            dish("Carrots", ["2 lb Carrots"]),
            dish("Leeks", ["2 lb Leeks"]),
            dish("Both", ["1 lb Carrots", "1 lb Leeks"]),
        ],
        rules=rules(days_between={"main": 1}),
    )


def announced(household: Household, *dishes: str) -> MenuPlan:
    pins = tuple(Pin(day(n), name) for n, name in enumerate(dishes))
    plan = plan_keeping(household, MenuRequest(MONDAY, len(dishes), pinned=pins, seconds=5)).plan
    meals = tuple(replace(m, dishes=tuple(replace(d, pinned=False) for d in m.dishes)) for m in plan.meals)
    return replace(plan, meals=meals)


def test_nothing_happened_nothing_changes() -> None:
    household = larder()
    plan = announced(household, "Both", "Leeks", "Both", "Carrots")
    done = replan(household, plan, Life(), seconds=5)
    assert done.changes == ()
    assert done.fewest


def fewest_by_hand(household: Household, dishes: list[str]) -> int:
    """The fewest changed days over all menus that the shelf allows."""
    held = {x.product: x.count for x in household.lots}
    best = len(dishes)
    for trial in product(household.dishes, repeat=len(dishes)):
        used: dict[str, float] = {}
        for name in trial:
            for use in household.dishes[name].uses:
                option = use.options[0]
                pounds = option.amount / household.products[option.product].sizes[0].content
                used[option.product] = used.get(option.product, 0) + pounds
        if all(amount <= held.get(name, 0) for name, amount in used.items()):
            best = min(best, sum(a != b for a, b in zip(trial, dishes, strict=True)))
    return best


@pytest.mark.parametrize(("carrots", "leeks"), [(4, 4), (2, 9), (0, 9), (3, 5), (5, 3)])
def test_no_menu_changes_fewer(carrots: int, leeks: int) -> None:
    dishes = ["Carrots", "Both", "Carrots", "Leeks"]
    plan = announced(larder(), *dishes)
    left = larder(carrots, leeks)
    done = replan(left, plan, Life(), seconds=5)
    assert done.fewest
    assert len({(c.day, c.meal) for c in done.changes}) == fewest_by_hand(left, dishes)
    assert broken_rules(done.household, done.plan) == []


def test_a_product_gone_changes_only_what_needs_it() -> None:
    household = larder()
    plan = announced(household, "Leeks", "Carrots", "Leeks")
    done = replan(household, plan, Life(gone=("carrots",)), seconds=5)
    assert [(c.day, c.before, c.after) for c in done.changes] == [(day(1), "Carrots", "Leeks")]
    assert done.happened == ("There is no Carrots left.",)


def test_more_heads_double_the_dish_where_the_shelf_allows() -> None:
    household = larder()
    plan = announced(household, "Leeks", "Carrots", "Leeks")
    done = replan(household, plan, Life(headcounts=("Tue=8",)), seconds=5)
    assert done.changes == ()
    assert done.scaled == ((day(1), "supper", "Carrots", 1, 2),)
    (tuesday,) = [m for m in done.plan.meals if m.day == day(1)]
    assert tuesday.portions == 8


def test_guests_expected_already_are_not_counted_twice() -> None:
    household = replace(larder(), occasions=(Occasion(day(1), day(1), "Aunt", person("x").portion),))
    plan = announced(household, "Leeks", "Carrots")
    done = replan(household, plan, Life(headcounts=("Tue=4",)), seconds=5)
    assert next(m for m in done.plan.meals if m.day == day(1)).portions == 4


def test_someone_away_eats_nothing() -> None:
    household = larder()
    plan = announced(household, "Leeks", "Carrots")
    done = replan(household, plan, Life(away=("Tue=ben",)), seconds=5)
    assert next(m for m in done.plan.meals if m.day == day(1)).portions == 1


def test_days_gone_by_stay_eaten_and_what_they_took_is_gone() -> None:
    household = larder(carrots=4, leeks=9)
    plan = announced(household, "Carrots", "Leeks", "Carrots")
    done = replan(household, plan, Life(), first=day(1), seconds=5)
    assert done.plan.first == day(1)
    assert done.household.lots[0].count == 2
    assert done.changes == ()


def test_keep_holds_a_day_and_says_so_when_it_cannot() -> None:
    household = larder(carrots=4, leeks=9)
    plan = announced(household, "Carrots", "Leeks", "Carrots")
    less = larder(carrots=2, leeks=9)
    done = replan(less, plan, Life(keep=("Wed",)), seconds=5)
    assert [c.day for c in done.changes] == [day(0)]
    with pytest.raises(NoMenuFits, match="you asked for Carrots"):
        replan(less, plan, Life(keep=("Carrots",)), seconds=5)


def test_a_pack_lifted_out_before_today_is_ready_in_time() -> None:
    household = kitchen(
        products=[jar("Roast", sizes=("bird=1 each",), thaw_days=2, opened_days=3), loose("Leeks")],
        lots=[lot("Roast", 1, "bird", where="F"), lot("Leeks", 9, "lb")],
        dishes=[dish("Roast bird", ["1 each Roast"]), dish("Leeks", ["2 lb Leeks"])],
    )
    plan = announced(household, "Leeks", "Leeks", "Roast bird")
    done = replan(household, plan, Life(), first=day(1), seconds=5)
    assert done.changes == ()
    assert broken_rules(done.household, done.plan) == []


@pytest.mark.parametrize(
    ("life", "says"),
    [
        (Life(headcounts=("Tue",)), "is no headcount"),
        (Life(headcounts=("Tue=1",)), "fewer than the 2 at home"),
        (Life(headcounts=("Tue tea=9",)), "'tea' is not a meal"),
        (Life(away=("Tue=Zed",)), "does not say who is away"),
        (Life(gone=("Carots",)), "did you mean Carrots"),
        (Life(keep=("Both",)), "not on the announced menu"),
    ],
)
def test_what_is_not_understood_is_said(life: Life, says: str) -> None:
    household = larder()
    plan = announced(household, "Leeks", "Carrots")
    with pytest.raises(NotUnderstood, match=says):
        replan(household, plan, life, seconds=5)


def test_a_menu_that_is_over_cannot_be_changed() -> None:
    household = larder()
    plan = announced(household, "Leeks", "Carrots")
    with pytest.raises(PantryError, match="ended on 2026-01-06"):
        replan(household, plan, Life(), first=date(2026, 2, 1), seconds=5)


def test_changed_meals_compares_places_in_order() -> None:
    household = larder()
    before = menu(household, [supper(day(0), cooked(household, "Leeks")), supper(day(1), cooked(household, "Both"))])
    after = menu(
        household,
        [supper(day(0), cooked(household, "Leeks", 2)), supper(day(1), cooked(household, "Carrots", why="so"))],
    )
    (change,) = changed_meals(before, after)
    assert (change.day, change.role, change.before, change.after, change.why) == (
        day(1), "main", "Both", "Carrots", "so",
    )  # fmt: skip
    assert more_batches(before, after) == ((day(0), "supper", "Leeks", 1, 2),)


def test_the_morning_of_a_change_has_open_what_the_announced_menu_opened_and_lifted_out() -> None:
    """On Wednesday: half a jar of Monday's beans, and Thursday's bird, in the fridge since Tuesday."""
    home = kitchen(
        products=[jar("Beans", opened_days=5), jar("Bird", kind="freezer", thaw_days=2, opened_days=2)],
        lots=[lot("Beans", 8), lot("Bird", 3, where="F")],
        dishes=[dish("Soup", ["1/2 qt Beans"]), dish("Roast", ["1 qt Bird"])],
    )
    meals = [
        supper(day(n), *([cooked(home, name)] if name else [])) for n, name in enumerate(["Soup", "", "Soup", "Roast"])
    ]
    plan = told(home, menu(home, meals, [Opening(day(0), "Beans", "qt", 1), Opening(day(3), "Bird", "qt", 1)]))
    wednesday = eaten_so_far(home, plan, day(2))
    assert sorted((p.product, p.left, p.opened) for p in wednesday.part_jars) == [
        ("Beans", qty("1/2 qt"), day(0)), ("Bird", qty("1 qt"), day(1)),
    ]  # fmt: skip
    assert {x.product: x.count for x in wednesday.lots} == {"Beans": 7, "Bird": 2}
    thursday = eaten_so_far(home, plan, day(3))
    assert [(p.product, p.opened) for p in thursday.part_jars] == [("Bird", day(1))]
    again = eaten_so_far(wednesday, plan, day(2))
    assert [p.product for p in again.part_jars].count("Bird") == 1, "what thaws already is not lifted out twice"


@pytest.mark.parametrize("stopped", [True, False])
def test_the_whole_week_is_kept_or_filled_however_little_time_there_is(demo_folder: Path, stopped: bool) -> None:
    class Enough(NobodyWatching):
        def stopped(self) -> bool:
            return stopped

    household = load_larder(demo_folder, None, date(2026, 1, 17))
    told_menu = announced_in(GOLDEN, household)
    life = Life(headcounts=("Thu=14",), gone=("Onions",))
    done = replan(household, told_menu, life, seconds=60 if stopped else 0.001, watch=Enough())
    assert done.plan.open_roles == 0
    assert broken_rules(done.household, done.plan) == []
    assert done.plan.seconds < 40
