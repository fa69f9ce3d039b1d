"""How long an opened container may be eaten from, and that everything that asks has the one answer."""

from __future__ import annotations

from datetime import date

from pantrymeals.forecast.ready_dishes import dishes_for
from pantrymeals.larder.on_hand import usable
from pantrymeals.larder.opened_life import life_from, life_of, lifted_out
from pantrymeals.records import Household
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, lot, part_jar, qty


def test_what_is_ready_on_a_day_is_good_to_its_last_day_counted() -> None:
    life = life_from(jar("Beans", opened_days=3), day(0))
    assert [life.good(day(n)) for n in (-1, 0, 2, 3)] == [False, True, True, False]
    assert [life.past(day(n)) for n in (2, 3)] == [False, True]


def test_without_a_clock_it_is_never_past() -> None:
    life = life_from(jar("Honey"), day(0))
    assert (life.last, life.past(date(2036, 1, 1))) == (None, False)


def test_a_pack_counts_from_the_day_it_has_thawed() -> None:
    bird = jar("Bird", thaw_days=2, opened_days=3)
    life = life_of(bird, part_jar("Bird", "1 qt", day(0)))
    assert (life.ready, life.last) == (day(2), day(4))
    assert lifted_out(bird, life.ready) == day(0)


def _jam(opened: int) -> Household:
    return kitchen(
        products=[jar("Jam", opened_days=3)],
        lots=[lot("Jam", 1)],
        part_jars=(part_jar("Jam", "1/2 qt", day(opened)),),
        dishes=[dish("Tarts", ["3/2 qt Jam"])],
    )


def test_a_jar_past_its_day_makes_no_dish() -> None:
    """Jam opened three days ago, good for three: its last day was yesterday."""
    assert _jam(-3).today == MONDAY
    assert usable(_jam(-3), MONDAY)["Jam"] == qty("1 qt")
    assert usable(_jam(-2), MONDAY)["Jam"] == qty("3/2 qt")
    assert dishes_for(_jam(-3), {"Jam"}) == {}
    assert dishes_for(_jam(-2), {"Jam"}) == {"Jam": ("Tarts",)}
