"""The longest run against exhaustive search: every row of dishes of a tiny kitchen tried, day after day.

Source of the truth: the search itself (``larder_by_hand``), written from DEVELOPERS.md's rules alone.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.no_store.runs import first_days, longest_run, roles_open
from pantrymeals.no_store.search_time import SearchTime
from tests.kitchens import tiny
from tests.outside.larder_by_hand import longest_by_trying, random_kitchen

LOOK_TO = 7


def half_a_minute(seed: int) -> SearchTime:
    """By the clock, and for every other kitchen by work."""
    return SearchTime(30.0, by_work=seed % 2 == 1)


@pytest.mark.parametrize("seed", range(24))
def test_longest_run_is_that_of_trying_every_menu(seed: int) -> None:
    household = random_kitchen(seed)
    truth = longest_by_trying(household, LOOK_TO)
    run = longest_run(household, tiny.MONDAY, 0, half_a_minute(seed), LOOK_TO)
    if truth == LOOK_TO:
        assert run.at_most is None, run
    else:
        assert (run.sure, run.at_most) == (truth, truth)


@pytest.mark.parametrize("seed", range(24))
def test_totals_never_promise_less_than_a_true_menu_fills(seed: int) -> None:
    household = random_kitchen(seed)
    truth = longest_by_trying(household, LOOK_TO)
    if truth:
        assert roles_open(menu_problem(household, MenuRequest(tiny.MONDAY, truth)))[0] < 1e-6


@pytest.mark.parametrize("seed", range(8))
def test_one_more_adds_what_trying_every_menu_says(seed: int) -> None:
    household = random_kitchen(seed)
    truth = longest_by_trying(household, LOOK_TO)
    if truth == LOOK_TO:
        pytest.skip("nothing ends it within the days looked at")
    run = longest_run(household, tiny.MONDAY, 0, half_a_minute(seed), LOOK_TO)
    told = {more.product: more.days for more in run.one_more}
    for name, product in household.products.items():
        more = replace(household, lots=(*household.lots, tiny.lot(name, 1, product.sizes[0].name)))
        assert told.get(name, 0) == longest_by_trying(more, LOOK_TO) - truth, name


@pytest.mark.parametrize("seed", range(8))
def test_first_days_of_a_question_are_the_question_of_those_days(seed: int) -> None:
    household = random_kitchen(seed)
    long = menu_problem(household, MenuRequest(tiny.MONDAY, LOOK_TO))
    for days in (1, 3, 6):
        short = menu_problem(household, MenuRequest(tiny.MONDAY, days))
        cut = first_days(long, days)
        assert [(c.day, c.dish.name) for c in cut.candidates] == [(c.day, c.dish.name) for c in short.candidates]
        assert roles_open(cut)[0] == pytest.approx(roles_open(short)[0])
