"""What can be spared: the same forecast as of a household that never had it."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.forecast.spare import spare
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, lot, qty, standing

DUE = MONDAY + timedelta(weeks=10)
BEANS = jar("Beans", sizes=("qt", "pt"), must_last_to=DUE, deadline_kind="new crop", reserve=qty("2 qt"))
HOME = kitchen(
    products=[BEANS],
    lots=[lot("Beans", 16), lot("Beans", 3, "pt")],
    standing=(standing("Beans", "1 qt"),),
    dishes=[dish("Carrots alone", ["1 lb Carrots"])],
)
PACE = learn_paces(HOME, ())


def asked(count: int, size: str = "qt") -> str:
    chosen = BEANS.size(size)
    assert chosen is not None
    return spare(HOME, PACE, BEANS, chosen, Fraction(count)).answer


def test_what_the_table_needs_to_its_day_is_not_spared() -> None:
    """Ten quarts go in ten weeks; fifteen and a half are there above the reserve."""
    assert asked(2) == "yes"
    assert asked(7) == "hardly"  # eight and a half for ten: within a jar or two
    assert asked(10) == "no"
    assert asked(15) == "no"
    assert asked(16) == "not so many"
    assert asked(3, "pt") == "yes"
    assert asked(4, "pt") == "not so many"


def test_it_is_the_forecast_of_a_household_with_so_many_fewer() -> None:
    found = spare(HOME, PACE, BEANS, BEANS.sizes[0], Fraction(7))
    fewer = replace(HOME, lots=(lot("Beans", 9), lot("Beans", 3, "pt")))
    assert found.after == foresee(fewer, PACE).rows[0]
    assert found.before == foresee(HOME, PACE).rows[0]
