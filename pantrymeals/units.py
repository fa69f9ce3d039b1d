"""Amounts as people write them, kept exact: '1 1/2 qt', '½ pt', '2 lb', '3 each'.

Everything is a Fraction of one of three base measures: millilitres, grams, or
pieces. Factors: NIST Handbook 44 (Appendix C); all are exact by definition.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from msgspec import Struct

Measure = Literal["ml", "g", "each"]

METRES_A_FOOT = Fraction(3048, 10000)
_POUND_G = Fraction("453.59237")
KILOS_A_POUND = _POUND_G / 1000
_GALLON_ML = Fraction("3785.411784")
LITRES_A_QUART = _GALLON_ML / 4000

UNITS: dict[str, tuple[Measure, Fraction]] = {
    "ml": ("ml", Fraction(1)),
    "l": ("ml", Fraction(1000)),
    "gal": ("ml", _GALLON_ML),
    "half-gal": ("ml", _GALLON_ML / 2),
    "qt": ("ml", _GALLON_ML / 4),
    "pt": ("ml", _GALLON_ML / 8),
    "hp": ("ml", _GALLON_ML / 16),
    "cup": ("ml", _GALLON_ML / 16),
    "fl oz": ("ml", _GALLON_ML / 128),
    "tbsp": ("ml", _GALLON_ML / 256),
    "tsp": ("ml", _GALLON_ML / 768),
    "g": ("g", Fraction(1)),
    "kg": ("g", Fraction(1000)),
    "lb": ("g", _POUND_G),
    "oz": ("g", _POUND_G / 16),
    "each": ("each", Fraction(1)),
}
"""Unit name -> (base measure, exact size in that measure)."""

JAR_SIZES = ("half-gal", "qt", "pt", "hp")
"""Units that are jars too, whose empties and lids are counted."""

ALIASES: dict[str, str] = {
    "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
    "litre": "l", "litres": "l", "liter": "l", "liters": "l",
    "gallon": "gal", "gallons": "gal", "half-gallon": "half-gal", "half-gallons": "half-gal",
    "half gallon": "half-gal", "half gallons": "half-gal",
    "quart": "qt", "quarts": "qt", "qts": "qt", "pint": "pt", "pints": "pt", "pts": "pt",
    "half-pint": "hp", "half-pints": "hp", "half pint": "hp", "half pints": "hp",
    "cups": "cup", "fluid ounce": "fl oz", "fluid ounces": "fl oz",
    "tablespoon": "tbsp", "tablespoons": "tbsp", "teaspoon": "tsp", "teaspoons": "tsp",
    "gram": "g", "grams": "g", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
    "pound": "lb", "pounds": "lb", "lbs": "lb", "ounce": "oz", "ounces": "oz",
    "piece": "each", "pieces": "each", "ea": "each",
}  # fmt: skip


class Amount(Struct, frozen=True):
    """An exact quantity of one base measure."""

    quantity: Fraction
    measure: Measure


@lru_cache(maxsize=2048)
def unit_named(text: str) -> tuple[Measure, Fraction] | None:
    """The measure and exact size of a unit, by any of its common names; None if unknown."""
    name = " ".join(text.strip().lower().rstrip(".").split())
    return UNITS.get(ALIASES.get(name, name))


_NUMBER = re.compile(
    r"""^\s*(?P<sign>[-+−]?)\s*(?:
        (?P<whole>\d+)\s+(?P<num>\d+)\s*/\s*(?P<den>\d+)(?=[^\W\d_]|\s|$)
      | (?P<num2>\d+)\s*/\s*(?P<den2>\d+)(?=[^\W\d_]|\s|$)
      | (?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+)
    )""",
    re.VERBOSE,
)

_THOUSANDS = re.compile(r"\s*[-+−]?\s*[1-9]\d{0,2}(?:,\d{3})+(?![\d,.])")
_LONGEST_NUMBER = 40


def _plain(text: str) -> str:
    """'1½' as '1 1/2': vulgar fractions written out."""
    if text.isascii():
        return text
    out = []
    for char in text:
        if unicodedata.category(char) == "No" and "⁄" in unicodedata.normalize("NFKC", char):
            out.append(" " + unicodedata.normalize("NFKC", char).replace("⁄", "/"))
        else:
            out.append("/" if char == "⁄" else char)
    return "".join(out)


@lru_cache(maxsize=2048)
def take_number(text: str) -> tuple[Fraction, str] | None:
    """The number that text begins with, and the rest; None when it begins with none.

    Reads '1 1/2', '1½', '3/4', '0.5', '0,5' and '-2' (so that a negative amount can be named).
    Not read: '1,000', which is a thousand to some and one to others, and more digits than any
    larder needs.
    """
    plain = _plain(text)
    found = _NUMBER.match(plain)
    if not found or ("," in plain and _THOUSANDS.match(plain)) or len(found.group()) > _LONGEST_NUMBER:
        return None
    g = found.groupdict()
    if g["whole"] is not None:
        if int(g["den"]) == 0:
            return None
        value = Fraction(int(g["whole"])) + Fraction(int(g["num"]), int(g["den"]))
    elif g["num2"] is not None:
        if int(g["den2"]) == 0:
            return None
        value = Fraction(int(g["num2"]), int(g["den2"]))
    else:
        value = Fraction(g["decimal"].replace(",", "."))
    if g["sign"] in ("-", "−"):
        value = -value
    return value, plain[found.end() :].strip()


def parse_amount(text: str) -> Amount:
    """An exact amount from '1 1/2 qt' or '½ pt'.

    Raises ValueError, saying what would be right, when text is no amount.
    """
    taken = take_number(text)
    if taken is None:
        raise ValueError(f"'{text}' is not an amount such as '1 1/2 qt' or '2 lb'")
    number, rest = taken
    unit = unit_named(rest)
    if unit is None:
        raise ValueError(f"'{rest}' is not a unit; use one such as qt, pt, hp, lb, oz or each")
    return Amount(number * unit[1], unit[0])


def jar_among(said: str, sizes: Iterable[str]) -> str | None:
    """The size of a list that a jar is: '500ml' and '500 ml' are '500 ml jar', 'pints' is 'pt'; None for none."""
    plain, known = _jar(said), tuple(sizes)
    return next((size for size in known if size == said), None) or next((s for s in known if _jar(s) == plain), None)


def jar_ml(size: str) -> Fraction | None:
    """What a jar of a size holds (ml): of 'qt' or '500 ml jar'; None where its name says no volume."""
    found = _jar(size)
    return found if isinstance(found, Fraction) else None


def _jar(size: str) -> Fraction | str:
    words = " ".join(size.casefold().split()).removesuffix("jars").removesuffix("jar").strip()
    taken = take_number(words)
    unit = unit_named(taken[1] if taken else words)
    return (taken[0] if taken else Fraction(1)) * unit[1] if unit and unit[0] == "ml" else words


def summed(amounts: Iterable[Fraction]) -> Fraction:
    """The exact sum: numerators of one denominator first, since a Fraction is brought to its lowest terms each time."""
    by_denominator: dict[int, int] = {}
    for amount in amounts:
        below = amount.denominator
        by_denominator[below] = by_denominator.get(below, 0) + amount.numerator
    parts = [Fraction(above, below) for below, above in by_denominator.items()]
    return sum(parts[1:], parts[0]) if parts else Fraction(0)


def as_words(value: Fraction) -> str:
    """A number as a cook writes it: '1 1/2', '3/4', '2', or two decimals where no kitchen fraction fits."""
    if value < 0:
        return "-" + as_words(-value)
    for parts in (1, 2, 3, 4, 8):
        scaled = value * parts
        if scaled.denominator == 1:
            whole, left = divmod(scaled.numerator, parts)
            if not left:
                return str(whole)
            small = Fraction(left, parts)
            return f"{whole} {small}" if whole else str(small)
    return f"{float(value):.2f}".rstrip("0").rstrip(".")


def litres(ml: Fraction) -> str:
    """A jar by what it holds: '500 ml', '1 l', '1.5 l'."""
    return f"{as_words(ml)} ml" if ml < 1000 else f"{float(ml / 1000):g} l"


def weighed(pounds: Fraction, metric: bool) -> tuple[Fraction, str]:
    """Pounds in the measure of the household, with its unit: kilos where it is metric."""
    return (pounds * KILOS_A_POUND, "kg") if metric else (pounds, "lb")
