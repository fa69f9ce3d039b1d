"""What keeps to a near day is eaten at an even hand's own pace (rule 14, 'soon gone'; the arithmetic is by hand)."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.evenness import even_row
from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, loose, lot, menu, rules, supper


def _home(keeps_to: int, squash: int = 16) -> Household:
    """Squash that keeps to so many days off, and beans of which a pot is liked better every evening."""
    return kitchen(
        products=[jar("Beans"), loose("Squash", "each", must_last_to=day(keeps_to), deadline_kind="keeps to")],
        lots=[lot("Beans", 4000), lot("Squash", squash, "each")],
        dishes=[dish("Bean pot", ["1 qt Beans"], liking=2), dish("Baked squash", ["1 each Squash"], liking=-4)],
        rules=rules(days_between={"main": 1}),
    )


@pytest.mark.parametrize(
    ("keeps_to", "share", "low"),
    [
        (55, Fraction(16 * 7, 55), 2),  # the last of the 56 days: its share whole, from the whole steps below
        (56, Fraction(16 * 7, 56) / 2, 0),  # one day more: slowed by the pace of a half, a step may wait
    ],
)
def test_the_pace_does_not_slow_it(keeps_to: int, share: Fraction, low: int) -> None:
    home = _home(keeps_to)
    plan = replace(menu(home, [supper(day(6))]), pace=Fraction(1, 2))
    row = even_row(home, plan, home.products["Squash"])
    assert (row.share, row.low) == (share, low)


def test_a_table_that_cannot_eat_all_eats_first_what_will_not_keep() -> None:
    home = _home(50)
    plan = plan_menu(home, MenuRequest(MONDAY, 7, seconds=10, gap=0.0))
    assert broken_rules(home, plan) == []
    assert plan.pace < 1
    row = next(r for r in plan.shares if r.product == "Squash")
    assert (row.share, row.low) == (Fraction(16 * 7, 50), 2)
    assert row.drawn >= 2
