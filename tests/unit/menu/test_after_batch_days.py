"""What follows from the batch days of a menu: its pull list, the morning after, and the run-out."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.larder.batch_days_done import with_batches_done
from pantrymeals.larder.taking import with_lots
from pantrymeals.plans.menu import Opening
from pantrymeals.pull.pull import household_after, pull_list
from pantrymeals.records import LotState
from tests.kitchens.batch_larder import SATURDAY, cellar, idle
from tests.kitchens.tiny import cooked, day, dish, lot, menu, supper
from tests.unit.menu.test_batch_days import jam, planned


def test_the_pull_list_fetches_for_a_batch_day_the_oldest_first() -> None:
    lots = [lot("Apples", 34, "lb", where="C"), lot("Apples", 6, "lb", where="A", put_up=date(2025, 8, 1))]
    home = cellar(lots=lots, standing=())
    plan = with_lots(home, with_batch_days(home, idle(home)))
    lines = [(x.fetch, x.where, x.count, x.dish) for x in pull_list(home, plan).lines]
    name = "Sauce the apples"
    assert sorted(lines) == [(day(SATURDAY), "A", 6, name), (day(SATURDAY), "C", 14, name)]


def test_frozen_packs_for_a_batch_day_are_lifted_out_before_it() -> None:
    home = jam()
    frozen = replace(home.products["Berries"], thaw_days=2)
    home = replace(home, products={**home.products, "Berries": frozen})
    (line,) = pull_list(home, with_lots(home, with_batch_days(home, idle(home)))).lines
    assert (line.kind, line.fetch, line.needed, line.count) == ("lift out", day(3), day(5), 6)


def test_a_dish_and_a_batch_day_that_take_one_jar_each_have_their_own_line() -> None:
    home = jam(dishes=[dish("Fool", ["1 qt Berries"])])
    meals = [supper(day(n), open_roles=("main",)) for n in range(5)]
    plan = menu(home, [*meals, supper(day(5), cooked(home, "Fool"))], [Opening(day(5), "Berries", "qt bag", 1)])
    lines = pull_list(home, with_lots(home, with_batch_days(home, plan))).lines
    assert sorted((x.dish, x.count) for x in lines) == [("Fool", 1), ("Make jam", 3)]


def test_the_morning_after_has_what_was_made_and_not_what_was_taken() -> None:
    home = cellar(standing=())
    after = household_after(home, with_batch_days(home, idle(home)))
    assert {(x.product, x.count) for x in after.lots} == {("Apples", 20), ("Sauce", 8)}
    assert after.known_since["Sauce"] == day(SATURDAY)
    made = next(x for x in after.lots if x.product == "Sauce")
    assert (made.put_up, made.tested_source) == (day(SATURDAY), "")


def test_the_run_out_table_counts_what_was_taken_and_made() -> None:
    home = jam()
    plan = with_batch_days(home, idle(home))
    before = planned(home, idle(home))
    after = planned(home, plan)
    assert (before["Jam"].as_planned.mark, before["Jam"].as_planned.out) == ("short", day(27))
    assert (after["Jam"].as_planned.mark, after["Jam"].on_hand) == ("reaches", 4)
    assert after["Jam"].as_planned.out is not None
    assert after["Jam"].as_planned.out > day(70)
    assert after["Jam"].as_planned.reason.endswith(" more from the batch day of 10 Jan.")
    assert after["Berries"].as_planned.reason.endswith(" less for the batch day of 10 Jan.")
    assert after["Berries"].on_hand == 12


@pytest.mark.parametrize("state", ["held", "promised", "seed", "suspect"])
def test_a_batch_day_takes_nothing_of_what_is_not_on_the_shelf(state: LotState) -> None:
    """Neither on the morning after nor in the run-out: the old lot stands as it stood."""
    apart = lot("Apples", 30, "lb", put_up=date(2024, 9, 1), state=state)
    home = cellar(lots=[apart, lot("Apples", 40, "lb")], standing=())
    plan = with_batch_days(home, idle(home))
    assert plan.batch_work
    for after in (household_after(home, plan), with_batches_done(home, plan)):
        assert [x.count for x in after.lots if x.state == state] == [30]
        assert sum(x.count for x in after.lots if x.product == "Apples" and not x.state) < 40
