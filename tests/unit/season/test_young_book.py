"""A household in its first months: what is to be put up, before any book can tell."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.with_book import Larder
from pantrymeals.larder.at_table import dishes_take
from pantrymeals.plans.book import BookYear
from pantrymeals.records import Household, Lot
from pantrymeals.season.asked import SeasonQuestion, need_of
from pantrymeals.season.carry_over import carried_over
from pantrymeals.season.history import need_from_history
from pantrymeals.season.put_up_list import put_up_list
from tests.kitchens.tiny import dish, jar, kitchen, loose, lot, meal_roles

HARVEST = [{"crop": "beans", "products": ["Beans"], "from": "07-20", "to": "08-20"}]


def test_a_dish_takes_its_part_of_the_places_it_may_stand_at() -> None:
    """Two at table, a batch serves four: a supper every day is 365 batches of one jar, shared by two dishes."""
    products, lots = [jar("Beans"), jar("Kale")], [lot("Beans", 8)]
    one = dish("Beans", ["1 qt Beans"])
    both = [one, dish("Kale pot", ["1 qt Kale"])]
    quart = jar("Beans").sizes[0].content
    alone = dishes_take(kitchen(products=products, lots=lots, dishes=[one]))
    assert alone["Beans"] / quart == 365
    shared = dishes_take(kitchen(products=products, lots=lots, dishes=both))
    assert (shared["Beans"] / quart, shared["Kale"] / quart) == (F(365, 2), F(365, 2))
    rare = dishes_take(kitchen(products=products, lots=lots, dishes=[replace(one, days_between=10)]))
    assert rare["Beans"] / quart == F(365, 10), "never oftener than its days between"


def test_what_a_use_may_be_made_of_shares_it_and_a_covered_place_is_not_cooked_for() -> None:
    products = [jar("Beans"), jar("Kale"), loose("Carrots")]
    either = [dish("Pot", ["1 qt Beans or 1 qt Kale"])]
    taken = dishes_take(kitchen(products=products, lots=[], dishes=either))
    assert taken["Beans"] == taken["Kale"] == jar("Beans").sizes[0].content * F(365, 2)
    meals = [meal_roles("supper", ["main", "side"])]
    side = dish("Carrots", ["1 lb Carrots"], role="side")
    covered = [dish("Stew", ["1 qt Beans"], covers=["side"]), side]
    assert "Carrots" not in {
        name for name, a in dishes_take(kitchen(products=products, lots=[], dishes=covered, meals=meals)).items() if a
    }


@pytest.mark.parametrize(
    ("part_year", "weeks", "low", "high"),
    [(None, 0, 40, 40), (0, 8, 9, 11), (40, 8, 40, 40), (80, 8, 69, 71), (80, 45, 77, 79), (0, 52, 1, 2)],
)
def test_what_the_dishes_say_yields_to_the_book_bit_by_bit(
    part_year: int | None, weeks: int, low: int, high: int
) -> None:
    """By hand: (2 + use seen) / (2/40 + years seen); 8 weeks at 80 a year are 12.3 used in 0.154 years."""
    seen = None if part_year is None else F(part_year)
    need = need_from_history([], 0.1, seen, dishes=F(40), book_weeks=weeks)
    assert low <= need.a_year <= high


def test_full_book_years_speak_alone() -> None:
    years = [BookYear("Jam", 2024, F(0), F(30), F(0), F(0), F(30), F(0), True, 52.0)]
    assert need_from_history(years, 0.1, dishes=F(400)).a_year == 30


def test_a_family_in_its_first_month_is_told_to_put_up_what_its_dishes_take(
    asked: Callable[..., SeasonQuestion], a_product: Callable[..., object], a_household: Callable[..., Household]
) -> None:
    home = a_household(
        a_product("Beans"), a_product("Chutney"), lots=(lot("Beans", 46), lot("Chutney", 46)),
        dishes=(dish("Bean pot", ["1 qt Beans"]),),
        season={"harvest": [
            *HARVEST, {"crop": "apples", "products": ["Chutney"], "from": "09-01", "to": "09-20"},
        ]},
    )  # fmt: skip
    home = replace(home, meals=kitchen(dishes=[]).meals)
    found = asked(home)
    need = need_of(found, "Beans")
    assert (need.basis, need.note) == ("your dishes", "the book is too young to tell of it")
    assert need.a_year == dishes_take(home)["Beans"] / home.products["Beans"].sizes[0].content
    made = put_up_list(found)
    assert [line.product for line in made.lines] == ["Beans"]
    assert "by your dishes a year" in made.lines[0].why
    assert dict(made.none)["Chutney"] == (
        "too young to tell: no book year, standing use or dish speaks of it; 46 quarts on the shelf"
    )


@pytest.mark.parametrize(("years", "used"), [((20,), 20), ((18, 22, 20), 20), ((40,), 40)])
def test_years_that_were_written_down_are_the_pace_of_a_book_with_nothing_in_it(
    asked, a_household, a_product, book_year, years, used
) -> None:
    """Sixty quarts on 17 January, so many a year: by hand what 28 weeks to 1 August leave, to a jar."""
    beans = a_product("Beans", deadline_kind="new crop", must_last_to=date(2026, 8, 1))
    season = {
        "harvest": [{"crop": "beans", "from": "08-01", "to": "08-30", "products": ["Beans"]}],
        "history": [book_year("Beans", 2024 - n, 0, 60, eaten) for n, eaten in enumerate(years)],
    }
    home = a_household(beans, lots=(Lot("Beans", "qt", F(60), date(2025, 8, 5)),), season=season)
    left = 60 - used / 365 * 196
    assert abs(carried_over(asked(home), "Beans") - left) <= 1
    (row,) = run_out(Larder(home, ()), Chance()).rows
    assert row.as_eaten is not None
    assert row.as_eaten.left == carried_over(asked(home), "Beans")
    assert row.told_by == ("your own years",)
