"""Energy, protein and food groups of a rehearsal."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.actions import food_tables
from pantrymeals.larder.nutrition import in_between
from pantrymeals.larder.plate import baked_at_home, standing_holds
from pantrymeals.no_store.nourish import eaten_at_home, group_of, group_tables, nourishment
from pantrymeals.no_store.pinch import taken, through
from pantrymeals.packaged import rows
from pantrymeals.records import Occasion
from tests.kitchens import tiny

GROUPS = group_tables(rows("food_pattern.csv"), rows("food_groups.csv"))


def test_the_pattern_is_met_at_its_own_columns_and_straight_between() -> None:
    vegetables = GROUPS.pattern["vegetables"]
    assert in_between(vegetables, 2000) == pytest.approx(2.5 * 7)
    assert in_between(vegetables, 2200) == pytest.approx((2.5 + 3) / 2 * 7)
    assert in_between(vegetables, 1000) == pytest.approx(2 * 7)
    assert in_between(vegetables, 4000) == pytest.approx(3.5 * 7)


def test_parts_of_the_pattern_sum_to_its_vegetables() -> None:
    for number, (_, whole) in enumerate(GROUPS.pattern["vegetables"]):
        parts = [GROUPS.pattern[g][number][1] for g, of in GROUPS.parts.items() if of == "vegetables"]
        # The publication rounds each part: its own table is off by up to half a cup a week.
        assert sum(parts) == pytest.approx(whole, abs=0.51)


def test_a_name_goes_before_its_family() -> None:
    juice = tiny.jar("Apple juice", family="apple")
    sauce = tiny.jar("Other sauce", family="apple")
    assert group_of(juice, GROUPS) != group_of(sauce, GROUPS)
    assert group_of(tiny.jar("Mystery", family="unknown"), GROUPS) is None


def kitchen(**changes):  # type: ignore[no-untyped-def]
    return tiny.kitchen(
        products=[tiny.loose("Oats", family="oats", food="08120"), tiny.loose("Bread flour", family="flour")],
        lots=[tiny.lot("Oats", 10, "lb"), tiny.lot("Bread flour", 10, "lb")],
        dishes=[tiny.dish("Porridge", ["1 lb Oats"])],
        people=[tiny.person("Ann", sex="female"), tiny.person("Ben", sex="male")],
        **changes,
    )


def test_guests_eat_their_part() -> None:
    guests = Occasion(tiny.MONDAY, tiny.MONDAY, "crew", Fraction(2))
    household = kitchen(occasions=(guests,))
    plan = tiny.menu(household, [tiny.supper(tiny.MONDAY, tiny.cooked(household, "Porridge"), portions=4)])
    assert eaten_at_home(household, plan) == {"Oats": tiny.qty("1/2 lb")}


def test_menu_and_standing_use_are_held_apart() -> None:
    household = kitchen(standing=(tiny.standing("Oats", "7 lb"),))
    plan = tiny.menu(household, [tiny.supper(tiny.MONDAY, tiny.cooked(household, "Porridge"))])
    lines = taken(through(household, plan))
    food = nourishment(household, plan, lines, food_tables.foods(), food_tables.needs(), GROUPS)
    # One pound each: rolled oats hold 379 kcal in 100 g (USDA SR27, NDB 08120).
    assert food.menu_kcal == pytest.approx(3.79 * 453.59237)
    assert food.standing_kcal == pytest.approx(food.menu_kcal)
    grains = next(row for row in food.groups if row.group == "grains")
    assert grains.weekly == pytest.approx(7 * 2 * 16, rel=1e-3)  # two pounds a day are 32 ounces


def test_of_a_jar_that_standing_use_opens_the_days_part_alone_is_eaten() -> None:
    """A quart a week over three days is three sevenths of the quart that is opened; an empty shelf gives nothing."""
    jam = tiny.jar("Jam", family="jam", food="19297", grams_per_base=Fraction(1000) / tiny.qty("1 qt"))
    three_days = [tiny.supper(tiny.day(n), open_roles=("main",)) for n in range(3)]
    for there, eaten in ((5, 3 / 7), (0, 0)):
        household = tiny.kitchen(
            products=[jam], lots=[tiny.lot("Jam", there)], people=[tiny.person("Ann", sex="female")],
            standing=(tiny.standing("Jam", "1 qt"),),
        )  # fmt: skip
        plan = tiny.menu(household, three_days)
        lines = taken(through(household, plan))
        food = nourishment(household, plan, lines, food_tables.foods(), food_tables.needs(), GROUPS)
        # Jams and preserves: 278 kcal in 100 g (USDA SR27, NDB 19297).
        assert food.standing_kcal * 3 == pytest.approx(2780 * eaten)


def test_home_baked_bread_is_its_flour() -> None:
    bread = tiny.jar("Bread, loaves", family="bread")
    products = [*kitchen().products.values(), bread]
    came = (tiny.arrival("Bread, loaves", "1 qt", tiny.MONDAY),)

    def baked(standing, first=tiny.MONDAY):  # type: ignore[no-untyped-def]
        household = tiny.kitchen(
            products=products, lots=[tiny.lot("Bread flour", 10, "lb")], dishes=[], arrivals=came, standing=standing
        )
        return baked_at_home(household, first, first + timedelta(days=6))

    flour = (tiny.standing("Bread flour", "4 lb"),)
    assert baked(flour) == ({"Bread flour"}, {"Bread, loaves"})
    assert baked(flour, tiny.MONDAY + timedelta(days=1)) == (frozenset(), frozenset())
    assert baked(()) == (frozenset(), frozenset())


def test_standing_flour_is_eaten_as_the_bread_that_comes_in() -> None:
    """A week's 4 lb of flour and 7 lb of oats: the flour's energy is the loaves' where any come in."""
    both = (tiny.standing("Bread flour", "4 lb"), tiny.standing("Oats", "7 lb"))
    oats = Fraction(379, 100) * Fraction(45359237, 10**5)
    bread = tiny.jar("Bread, loaves", family="bread")
    for arrivals, flour in (((), Fraction(4, 7)), ((tiny.arrival("Bread, loaves", "1 qt", tiny.MONDAY),), Fraction(0))):
        home = tiny.kitchen(
            products=[*kitchen().products.values(), bread], lots=[], dishes=[], arrivals=arrivals, standing=both
        )
        home = replace(home, kcal={"Oats": Fraction(379, 100), "Bread flour": Fraction(379, 100)})
        assert standing_holds(home, tiny.MONDAY, home.kcal) == oats * (1 + flour)
