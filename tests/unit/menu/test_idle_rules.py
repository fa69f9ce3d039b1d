"""A rule whose tag no dish carries, and a must-not that nothing carries, head every menu until they are settled."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from pantrymeals.actions.menu import lay_out
from pantrymeals.menu.idle_rules import rules_of_nothing
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Household
from pantrymeals.reports.terminal.menu import write_menu
from pantrymeals.reports.terminal.one_sheet import write_sheet
from pantrymeals.reports.terminal.paper import Paper
from tests.kitchens.tiny import MONDAY, dish, kitchen, loose, lot, person, rules


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


@pytest.mark.parametrize("days", [2, 12])
def test_a_must_not_that_nothing_carries_heads_every_menu_until_it_is_settled(days: int) -> None:
    said = "NOT SETTLED: Edda must not have 'dairy', and nothing here is marked with it"
    unseen = kitchen(people=[person("Edda", must_not=["dairy"])])
    for write in (write_menu, write_sheet):
        paper = Paper()
        write(paper, lay_out(unseen, plan_menu(unseen, MenuRequest(MONDAY, days, seconds=3))))
        lines = " ".join(paper.text().split())
        assert lines.count(said) == 1
        assert lines.index(said) < lines.index("Mon 5")
    settled = kitchen(people=[person("Edda")])
    assert not any("NOT SETTLED" in note for note in plan_menu(settled, MenuRequest(MONDAY, 2, seconds=3)).notes)
