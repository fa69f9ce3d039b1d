"""What a season may be without, in a cook's words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.actions.season import without_meant
from pantrymeals.errors import PantryError


@pytest.mark.parametrize(
    ("words", "field", "value"),
    [
        ("300 quart empties", "jars", {"qt": 300}),
        ("12 half-pints", "jars", {"hp": 12}),
        ("5 half-gallon jars", "jars", {"half-gal": 5}),
        ("100 flats", "flats", 100),
        ("50 lids", "flats", 50),
        ("4 hours a week", "hours_a_week", 4),
        ("40 ft of row", "row_ft", 40),
        ("50 litres of freezer", "litres", 50),
    ],
)
def test_what_a_season_may_be_without(words, field, value):
    assert getattr(without_meant([words]), field) == value


@pytest.mark.parametrize("words", ["quarts", "300", "-3 quarts", "300 elephants"])
def test_nonsense_is_no_what_if(words):
    with pytest.raises(PantryError, match="300 quart empties"):
        without_meant([words])


def test_what_ifs_add_up():
    assert without_meant(["100 quarts", "50 qt"]).jars == {"qt": 150}
    assert without_meant([]).hours_a_week == Fraction(0)
