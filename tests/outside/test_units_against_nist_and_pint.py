"""Our units against two outside judges.

NIST Handbook 44, Appendix C, General Tables of Units of Measurement: the figures of
handbook/measures.csv, each row of which names where it was read. Exact figures must
agree exactly; printed, rounded ones to half of their last printed place.

pint (an independent library of units, computing with Fractions) judges every pair.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import pint
import pytest

from pantrymeals.units import ALIASES, UNITS, unit_named
from tests.outside.judged import agrees

MEASURES = Path(__file__).parent / "handbook" / "measures.csv"

NIST_NAMES = {
    "cup (measuring)": "cup",
    "tablespoon": "tbsp",
    "teaspoon": "tsp",
    "fluid ounce": "fl oz",
    "gallon": "gal",
    "liquid quart": "qt",
    "liquid pint": "pt",
    "liter": "l",
    "milliliter": "ml",
    "pound (avoirdupois)": "lb",
    "ounce (avoirdupois)": "oz",
    "gram": "g",
}
"""NIST's name -> ours. Bushels, pecks and dry quarts are no units of ours."""

CUBIC_INCH_ML = Fraction("2.54") ** 3
"""From NIST Handbook 44, Appendix C: 1 inch = 2.54 centimeters, exactly."""

PINT_NAMES = {
    "ml": "milliliter",
    "l": "liter",
    "gal": "gallon",
    "half-gal": "half_gallon",
    "qt": "quart",
    "pt": "pint",
    "hp": "half_pint",
    "cup": "cup",
    "fl oz": "fluid_ounce",
    "tbsp": "tablespoon",
    "tsp": "teaspoon",
    "g": "gram",
    "kg": "kilogram",
    "lb": "pound",
    "oz": "ounce",
    "each": "count",
}


@pytest.fixture(scope="module")
def registry() -> Any:
    """pint's units, kept exact; the two jars it has no name for are halves of what it knows."""
    units: Any = pint.UnitRegistry(non_int_type=Fraction)
    units.define("half_gallon = 0.5 * gallon")
    units.define("half_pint = 0.5 * pint")
    return units


def nist_rows() -> list[dict[str, str]]:
    """The rows that speak of two units of ours, or of one and cubic inches."""
    with MEASURES.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["kind"] == "unit"]
    ours = {*NIST_NAMES, "cubic inch"}
    return [row for row in rows if row["from_unit"] in NIST_NAMES and row["to_unit"] in ours]


def size_of(nist_name: str) -> Fraction:
    return CUBIC_INCH_ML if nist_name == "cubic inch" else UNITS[NIST_NAMES[nist_name]][1]


def test_the_table_holds_enough_to_judge_by() -> None:
    rows = nist_rows()
    assert len(rows) == 18
    assert sum(row["exact"] == "yes" for row in rows) == 14
    assert all("NIST Handbook 44" in row["source"] for row in rows)


@pytest.mark.parametrize("row", nist_rows(), ids=lambda r: f"{r['from_unit']} in {r['to_unit']}")
def test_nist_handbook_44_agrees(row: dict[str, str]) -> None:
    ours = Fraction(row["quantity"]) * size_of(row["from_unit"]) / size_of(row["to_unit"])
    printed = Fraction(row["value"])
    figure = f"{row['quantity']} {row['from_unit']} in {row['to_unit']}"
    places = len(row["value"].partition(".")[2])
    within = 0 if row["exact"] == "yes" else 0.5 / 10**places
    agrees(figure, "NIST Handbook 44, Appendix C", float(printed), float(ours), within=within, how="read")
    assert row["exact"] != "yes" or ours == printed


def test_pint_is_asked_of_every_unit() -> None:
    assert set(PINT_NAMES) == set(UNITS)


@pytest.mark.parametrize(("one", "other"), list(combinations(UNITS, 2)))
def test_pint_agrees_on_every_pair(registry: Any, one: str, other: str) -> None:
    first = registry.Quantity(Fraction(1), PINT_NAMES[one])
    if UNITS[one][0] == UNITS[other][0]:
        judged = first.to(PINT_NAMES[other]).magnitude
        assert isinstance(judged, Fraction)
        assert UNITS[one][1] / UNITS[other][1] == judged
    else:
        with pytest.raises(pint.DimensionalityError):
            first.to(PINT_NAMES[other])


@pytest.mark.parametrize(
    "alias", [a for a in ALIASES if a.isalpha() and a not in ("kilo", "kilos", "piece", "pieces", "ea", "pts", "qts")]
)
def test_pint_reads_our_longer_names_alike(registry: Any, alias: str) -> None:
    named = unit_named(alias)
    assert named is not None
    base = {"ml": "milliliter", "g": "gram"}[named[0]]
    assert registry.Quantity(Fraction(1), alias).to(base).magnitude == named[1]
