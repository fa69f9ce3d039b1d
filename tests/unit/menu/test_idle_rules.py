"""A house rule whose tag no dish carries is said at the head of every menu until it is settled."""

from __future__ import annotations

from dataclasses import replace

from pantrymeals.actions.menu import lay_out
from pantrymeals.menu.idle_rules import rules_of_nothing
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Household
from pantrymeals.reports.terminal.menu import write_menu
from pantrymeals.reports.terminal.paper import Paper
from tests.kitchens.tiny import MONDAY, dish, kitchen, loose, lot, rules


def home() -> Household:
    return kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 9, "lb")],
        dishes=[dish("Stew", ["1 lb Carrots"], days_between=1, tags=["Roots"])],
        rules=rules(
            at_most={"soup": 3, "roots": 7}, not_running=frozenset({"beef"}), not_twice_a_day=frozenset({"soup"})
        ),
    )


def test_each_tag_and_rule_is_named_and_none_that_is_carried() -> None:
    (said,) = rules_of_nothing(home())
    assert "no dish here carries the tag 'beef' or 'soup'" in said
    assert "(at_most_in_7_days, not_two_days_running and not_twice_in_a_day)" in said
    assert "roots" not in said
    settled = replace(home(), rules=rules(at_most={"roots": 3}))
    assert rules_of_nothing(settled) == ()


def test_such_a_household_can_plan_and_reads_it_at_the_head() -> None:
    plan = plan_menu(home(), MenuRequest(MONDAY, 2, seconds=3))
    assert plan.open_roles == 0
    paper = Paper()
    write_menu(paper, lay_out(home(), plan))
    lines = " ".join(paper.text().split())
    assert lines.count("NOT SETTLED") == 1
    assert lines.index("NOT SETTLED") < lines.index("Stew")
