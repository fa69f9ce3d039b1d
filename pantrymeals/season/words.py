"""The season's sentences: counts with their sizes, odds, and the one-line reasons."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from pantrymeals.plans.season import Basis, CropRisk, Need
from pantrymeals.records import Measures
from pantrymeals.units import LITRES_A_QUART, as_words, unit_named
from pantrymeals.words import LONG_UNITS, many, plural, small_count

_IN_FULL = {size: LONG_UNITS[size] for size in ("half-gal", "qt", "pt", "hp", "gal")} | {
    "each": "piece",
    "piece": "piece",
}
"""Jars in full; weights as they are written down."""


def counted(count: Fraction | int, size: str) -> str:
    """'77 quarts', '1 pint', '12 qt bags', '2 packs of 6', '9 x 2-egg tub'."""
    number = as_words(Fraction(count))
    if size[:1].isdigit() or " of " in size:
        return f"{number} x {size}"
    if unit_named(size) is not None and size not in _IN_FULL:
        return f"{number} {size}"
    name = _IN_FULL.get(size, size)
    return f"{number} {name if 0 < count <= 1 else many(name)}"


def freezer_room(litres: Fraction, measures: Measures) -> str:
    """'50 litres', '53 quarts': room in a freezer, rounded, in the household's own measures."""
    return f"{float(litres):.0f} litres" if measures == "metric" else f"{float(litres / LITRES_A_QUART):.0f} quarts"


def one_in(chance: Fraction) -> str:
    """'one year in three' for 1/3; 'one year in 12' past ten; two chances in five as '40 years in 100'."""
    if chance <= 0:
        return "no year"
    years = 1 / chance
    if years.denominator != 1:
        return f"{round(float(chance) * 100)} years in 100"
    number = int(years)
    return f"one year in {small_count(number)}"


def load_words(jars: int, size: str, loads: int, way: str) -> str:
    """'77 quarts, 11 loads'; packs for the freezer and goods for the bin have no loads."""
    if way == "canner":
        return f"{counted(jars, size)}, {plural(loads, 'load')}"
    return counted(jars, size)


_TAKEN: Mapping[Basis, str] = {
    "servings": "planned",
    "standing use": "of standing use",
    "standing use and your dishes": "of standing use and your dishes",
    "your dishes": "by your dishes",
    "a published plan": "by a published plan for so many at table",
    "the menus": "by the menus",
    "as you chose": "as you chose",
}


def why_words(need: Need, carried: int, risk: CropRisk) -> str:
    """'57 used a year, none carried over, one year in three fails'; '31 used and 3 given a year'."""
    given = round(need.given)
    year = as_words(Fraction(ceil(need.a_year)) - given)
    verb = _TAKEN.get(need.basis, "used") + (f" and {given} given" if given else "")
    over = f"{carried if carried else 'none'} carried over"
    parts = [f"{year} {verb} a year", over]
    if risk.fails > 0:
        parts.append(f"{one_in(risk.fails)} fails")
    return ", ".join(parts)


def years_words(need: Need) -> str:
    """'used 3 and 1 in the last full years'; '' where there are none."""
    if not need.years:
        return ""
    given = f", and {round(need.given)} a year given," if round(need.given) else ""
    return "used " + " and ".join(as_words(y) for y in need.years) + f"{given} in the last full book years"


def none_words(need: Need, shelf: Fraction, size: str, carried: Fraction) -> str:
    """Why nothing of it is to be put up, in one sentence part."""
    past = years_words(need)
    if need.basis == "none":
        return (
            f"too young to tell: no book year, standing use or dish speaks of it; {counted(shelf, size)} on the shelf"
        )
    if need.a_year <= 0:
        eaten = past or "nothing of it was used"
        return f"{eaten}; {counted(shelf, size)} still on the shelf" if shelf else f"{eaten}, and none is kept"
    years = carried / need.a_year
    worth = f"{counted(Fraction(int(carried)), size)} will be carried over"
    lead = past or f"{as_words(Fraction(ceil(need.a_year)))} {_TAKEN.get(need.basis, 'used')} a year"
    if years >= 2:
        return f"{lead}; {worth}: about {int(years)} years' worth"
    return f"{lead}; {worth}: enough without this year's crop"
