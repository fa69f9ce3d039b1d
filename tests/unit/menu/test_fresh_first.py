"""Rule 16: what is fresh is eaten before its jar is opened, within its days; an opened jar has its reason said."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.files.household import waiting_for_fresh
from pantrymeals.larder.on_hand import usable
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.plans.menu import ChosenUse, MenuPlan
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, arrival, day, dish, jar, kitchen, loose, lot, rules

FRESH = "Beans, fresh"


def garden(picked: str = "2 lb", days: tuple[int, ...] = (0, 3), good: int = 3, **changes: Any) -> Household:
    """Beans in jars, and picked on some days; two dishes take either."""
    beans = loose(FRESH, kind="fridge", fresh_days=good, eaten_before=("Beans",))
    products = [jar("Beans", opened_days=4), beans, loose("Oats", kind="dry")]
    there = frozenset(day(on + d) for on in days for d in range(good))
    known = waiting_for_fresh({p.name: p for p in products}, {FRESH: there})
    return kitchen(
        products=known.values(),
        lots=[lot("Beans", 30), lot("Oats", 30, "lb")],
        dishes=changes.pop("dishes", None)
        or [
            dish("Bean pot", ["1 qt Beans or 1 lb Beans, fresh"], days_between=1),
            dish("Bean pie", ["1 qt Beans or 1 lb Beans, fresh"], days_between=1, liking=1),
        ],
        arrivals=tuple(arrival(FRESH, picked, day(d)) for d in days),
        **changes,
    )


def planned(home: Household, days: int = 7, **asked: Any) -> MenuPlan:
    plan = plan_menu(home, MenuRequest(MONDAY, days, seconds=5, gap=0.0, **asked))
    assert broken_rules(home, plan) == []
    return plan


def takers(plan: MenuPlan, product: str) -> list[int]:
    """Days on which the menu takes a product, counted from the first."""
    return [(m.day - plan.first).days for m in plan.meals for d in m.dishes for u in d.uses if u.product == product]


def test_the_picked_is_eaten_first_within_its_days_and_the_jar_says_why() -> None:
    plan = planned(garden())
    assert len(takers(plan, FRESH)) == 4
    assert set(takers(plan, FRESH)) <= {0, 1, 2, 3, 4, 5}
    assert set(takers(plan, "Beans")) == set(range(7)) - set(takers(plan, FRESH))
    (note,) = [n for n in plan.notes if n.startswith("Beans, with")]
    assert note.count("is eaten") == 2
    assert 6 in takers(plan, "Beans")
    assert "11 Jan" not in note


def test_where_enough_is_picked_no_jar_is_opened_and_nothing_said() -> None:
    plan = planned(garden("4 lb", (0, 3, 6)))
    assert takers(plan, "Beans") == []
    assert not any(n.startswith("Beans, with") for n in plan.notes)


def test_what_is_asked_for_and_what_has_nothing_fresh_in_it_say_so() -> None:
    soup = dish("Bean soup", ["1 qt Beans"], days_between=1)
    oats = dish("Porridge", ["1 lb Oats"], days_between=1)
    home = garden("4 lb", (0, 3, 6), dishes=[soup, oats])
    assert takers(planned(home), "Beans") == []
    plan = planned(home, pinned=(Pin(day(1), "Bean soup"),))
    assert takers(plan, "Beans") == [1]
    assert "Beans, with fresh beans to be had: Bean soup on 6 Jan (you asked for it)." in plan.notes
    alone = garden("4 lb", (0, 3, 6), dishes=[soup])
    (note,) = [n for n in planned(alone, 1).notes if n.startswith("Beans, with")]
    assert "made with nothing fresh in its place" in note


@pytest.mark.parametrize(("on", "amount", "breaks"), [(2, 2, False), (3, 2, True), (0, 3, True), (2, 3, True)])
def test_the_checker_knows_the_last_day_and_how_much_there_is(on: int, amount: int, breaks: bool) -> None:
    home = garden(days=(0,))
    plan = planned(home, 4)
    pounds = home.products[FRESH].sizes[0].content
    meals = tuple(
        replace(
            m,
            dishes=tuple(
                replace(d, uses=(ChosenUse(FRESH, pounds * amount, False),) if m.day == day(on) else ())
                for d in m.dishes
            ),
        )
        for m in plan.meals
    )
    found = [x for x in broken_rules(home, replace(plan, meals=meals)) if "came in within its days" in x]
    assert bool(found) is breaks


def test_an_even_hand_asks_for_no_jar_while_the_row_bears() -> None:
    home = garden("4 lb", (0, 3, 6))
    jars = replace(home.products["Beans"], must_last_to=MONDAY + timedelta(days=7), deadline_kind="new crop")
    home = replace(home, products={**home.products, "Beans": jars})
    assert [row.share for row in planned(home).shares if row.product == "Beans"] == [0]
    bare = replace(home, products={**home.products, "Beans": replace(jars, waits_on=frozenset())})
    assert [row.share > 6 for row in planned(bare).shares if row.product == "Beans"] == [True]


def test_what_was_picked_before_the_first_day_goes_over_by_its_day() -> None:
    home = garden(days=(), rules=rules())
    home = replace(home, lots=(*home.lots, lot(FRESH, 5, "lb", put_up=day(-1))))
    assert set(takers(planned(home), FRESH)) == {0, 1}
    pounds = [usable(home, day(d))[FRESH] / home.products[FRESH].sizes[0].content for d in (0, 1, 2)]
    assert pounds == [5, 5, 0]
