"""What is on hand, and the day it must reach: the planner's reading, the checker's, and the forecast's are one."""

from __future__ import annotations

from datetime import date

import pytest

from pantrymeals.checking.evenness import even_share, lasts_to
from pantrymeals.forecast.forecast import shelf_of
from pantrymeals.larder.evenness import shares
from pantrymeals.larder.must_reach import deadline, must_reach
from pantrymeals.larder.on_hand import in_lots, of_size, on_shelf, usable
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, day, jar, kitchen, loose, lot, part_jar, qty


@pytest.mark.parametrize(
    ("written", "reached"),
    [
        (date(2025, 8, 20), date(2026, 8, 20)),
        (date(2023, 1, 5), date(2027, 1, 5)),
        (MONDAY, date(2027, 1, 5)),
        (date(2026, 1, 6), date(2026, 1, 6)),
        (date(2027, 6, 1), date(2027, 6, 1)),
        (date(2024, 2, 29), date(2026, 2, 28)),
    ],
)
def test_a_day_gone_by_comes_round_again_and_one_ahead_stands_as_written(written: date, reached: date) -> None:
    beans = jar("Beans", must_last_to=written)
    assert must_reach(beans, MONDAY) == deadline(beans, MONDAY) == lasts_to(beans, MONDAY) == reached


def test_without_a_day_it_is_a_year() -> None:
    assert must_reach(jar("Beans"), MONDAY) is None
    assert deadline(jar("Beans"), MONDAY) == lasts_to(jar("Beans"), MONDAY) == date(2027, 1, 5)


def test_looking_back_a_day_came_round_every_year() -> None:
    beans = jar("Beans", must_last_to=date(2026, 8, 20))
    assert must_reach(beans, date(2024, 1, 5), looking_back=True) == date(2024, 8, 20)


def _beans(opened: int = 0) -> Household:
    return kitchen(
        products=[jar("Beans", sizes=("qt", "pt"), opened_days=3, reserve=qty("1 qt")), loose("Carrots")],
        lots=[
            lot("Beans", 4), lot("Beans", 2, "pt"), lot("Beans", 3, state="held"), lot("Beans", 5, state="promised"),
            lot("Beans", 7, state="seed"), lot("Beans", 9, state="suspect"), lot("Carrots", 4, "lb"),
        ],
        part_jars=(part_jar("Beans", "1/2 qt", day(opened)),),
    )  # fmt: skip


def test_what_is_held_promised_or_seed_is_not_on_the_shelf_and_the_reserve_is_set_back() -> None:
    home = _beans()
    assert on_shelf(home)["Beans"] == qty("4 qt")
    assert usable(home, MONDAY)["Beans"] == qty("9/2 qt")
    assert in_lots(home, "Beans") == qty("5 qt")
    assert in_lots(home, "Beans", {"held", "seed"}) == qty("10 qt")
    assert (of_size(home, home.products["Beans"], "qt"), of_size(home, home.products["Beans"], "pt")) == (4, 2)


def test_a_jar_past_its_day_is_nothing_to_planner_checker_and_forecast() -> None:
    """Before, an even hand was asked to eat of a jar that is thrown out."""
    for opened, there in ((-2, "9/2 qt"), (-3, "4 qt")):
        home = _beans(opened)
        beans = home.products["Beans"]
        assert shares(home, MONDAY, 7)["Beans"] == even_share(home, beans, MONDAY, 7) == qty(there) * 7 / 365
        assert shelf_of(home, "Beans").to_use == qty(there) / qty("1 qt")
