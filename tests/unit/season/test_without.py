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
        ("53 quarts of freezer", "litres", 53 * Fraction("0.946352946")),  # NIST Handbook 44
        ("12 m of row", "row_ft", 12 / Fraction("0.3048")),  # NIST Handbook 44: a foot is 0.3048 m
        ("3 metres of row", "row_ft", 3 / Fraction("0.3048")),
        ("60 500 ml jars", "jars", {"500 ml jar": 60}),
        ("5 1 l empties", "jars", {"1 l jar": 5}),
    ],
)
def test_what_a_season_may_be_without(words, field, value):
    assert getattr(without_meant([words]), field) == value


@pytest.mark.parametrize("words", ["quarts", "300", "-3 quarts", "300 elephants"])
def test_nonsense_is_no_what_if(words):
    with pytest.raises(PantryError, match="300 quart empties"):
        without_meant([words])


def test_what_was_not_understood_is_answered_in_the_kitchens_own_words():
    for metric, has, has_not in ((True, "12 m of row", " ft "), (False, "40 ft of row", " m of row")):
        with pytest.raises(PantryError) as told:
            without_meant(["300 elephants"], metric=metric)
        assert has in str(told.value)
        assert has_not not in str(told.value)


def test_what_ifs_add_up():
    assert without_meant(["100 quarts", "50 qt"]).jars == {"qt": 150}
    assert without_meant([]).hours_a_week == Fraction(0)
