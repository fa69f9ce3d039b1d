"""Amounts as a cook would measure them; shared by every report."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from pantrymeals.records import Product, Size
from pantrymeals.units import as_words, unit_named
from pantrymeals.words import PIECES, long_day, many

if TYPE_CHECKING:
    from pantrymeals.plans.outlook import ForecastRow
    from pantrymeals.records import Household


def reckoned_words(counted: date, first: date) -> str:
    """What the shelf of a menu months ahead is, and what of it cannot be known."""
    return (
        f"Reckoned, not counted: the shelf of {long_day(first)} is the count of {long_day(counted)} less usual use and "
        "what goes past your own keeping days, with what the calendar brings. What will spoil, be given away, put up "
        "or come otherwise cannot be known: take a count before you cook from it."
    )


def sized(count: Fraction, size: str) -> str:
    """'2 qt', '3 heads', '1/2 loaf', '2 x 4-lb bag', '1/3 of a hp tub': so much of a size.

    Names that hold a measure of their own ('qt bag', '2-egg tub', 'pack of 6') are kept apart
    from the count, so that '2 x qt bag' is never read as one bag of two quarts.
    """
    if unit_named(size) is not None and size not in PIECES:
        return spooned(count, size)
    return _counted(count, size, _number(count))


def _counted(count: Fraction, size: str, number: str) -> str:
    if size == "each":
        return number
    if metric := _METRIC_BOX.match(size):
        if count.denominator not in _PARTS:
            return spooned(count * Fraction(metric["much"]), metric["unit"])
        if count == Fraction(1, 2):
            return f"half a {size}"
    if " " in size or size[:1].isdigit():
        return f"{number} of a {size}" if 0 < count < 1 else f"{number} x {size}"
    return f"{number} {size if 0 < count <= 1 else many(size)}"


DUST = Fraction(1, 100_000)
"""What the book's own roundings leave of eleven times 1/11 lb; a hundredth of a gram in a pound is no 'about'."""


def _number(count: Fraction) -> str:
    """A number as written, and 'about' where two decimals do not tell all of it."""
    said = as_words(count)
    plain = all(character.isdigit() or character in "-." for character in said)
    return f"about {said}" if plain and abs(Fraction(said) - count) > DUST else said


_METRIC_BOX = re.compile(r"(?P<much>\d+(?:\.\d+)?) (?P<unit>ml|l|g|kg)(?: |$)")
"""A container that says what it holds: '500 g block'; a part of it that nobody can halve is weighed."""

_PARTS = (1, 2, 3, 4, 6, 8)
"""Parts that a hand can halve, quarter or share out."""

_CLOSE = Fraction(1, 20)
"""A hand is as near as a twentieth of what it measures."""


def hand_number(count: Fraction) -> str:
    """'2 1/2', 'about 3' for 2.95, 'about 1/6' for 0.17: exact where a hand can be, else 'about' the next it can."""
    exact = [Fraction(count)] if count.denominator in _PARTS else []
    close = (Fraction(round(count * parts), parts) for parts in _PARTS)
    near = next(iter(exact), None) or next((x for x in close if x and abs(x - count) <= count * _CLOSE), None)
    if near is None:
        near = Fraction(round(count * 8), 8) if count >= Fraction(1, 8) else Fraction(1, round(1 / count))
    whole, part = divmod(near, 1)
    said = f"{whole} {part}" if whole and part else str(near)
    return said if near == count else f"about {said}"


def by_hand(count: Fraction, size: str) -> str:
    """As ``sized``, in what a hand can measure: 'about 3 lb', 'about 1/6 of a hp tub', '1/2 head'."""
    if count <= 0 or unit_named(size) is None or size in PIECES:
        return _counted(count, size, hand_number(count) if count > 0 else as_words(count))
    return spooned(count, size) if count < 1 or size in METRIC_UNITS else f"{hand_number(count)} {size}"


METRIC_UNITS = {"g": "g", "kg": "g", "ml": "ml", "l": "ml"}
"""Units read off in decimals, each with the one that its parts are said in."""


def about_sized(number: float, size: str) -> str:
    """'72 qt', '13 pieces', '2 1/2 lb' of what is reckoned, a decimal: to the tenth, or the eighth below one."""
    parts = 10 if number >= 1 else 8
    near = Fraction(round(number * parts), parts)
    if near.denominator > 2 and number >= 1:
        near = Fraction(round(number * 4), 4) if number < 10 else Fraction(round(number))
    return sized(near, size)


def sized_name(count: Fraction, size: str, product: str) -> str:
    """'2 qt Chicken stock', '2 loaves Bread' of 'Bread, loaves', '1 Egg, fresh' of 'Eggs, fresh', as a hand measures.

    What the size has said, the name does not say again; one of a thing that is counted is not many.
    """
    head, comma, tail = product.partition(", ")
    if comma and tail in (size, many(size)):
        product = head
    elif size == "each" and count <= 1 and head.endswith("s") and not head.endswith("ss"):
        product = head[:-1] + comma + tail
    return f"{by_hand(count, size)} {product}"


def kept(count: Fraction, size: str) -> str:
    """'12 pt', '3 birds', '3.5 lb' of what a shelf or the book has: weights as scales have them, in decimals."""
    if not is_weighed(size):
        return sized(count, size)
    return f"{float(count):.3f}".rstrip("0").rstrip(".") + f" {size}"


def is_weighed(size: str) -> bool:
    """Whether a size is a weight."""
    unit = unit_named(size)
    return unit is not None and unit[0] == "g"


_SMALLER = {
    "gal": ("qt", "pt", "cup"),
    "half-gal": ("qt", "pt", "cup"),
    "qt": ("pt", "cup", "tbsp"),
    "pt": ("cup", "tbsp"),
    "hp": ("cup", "tbsp"),
    "cup": ("tbsp",),
    "lb": ("oz",),
}
"""Units that a cook turns to when a part of the larger one has no handy name, largest first."""

_FEW_SPOONS = 4
"""Spoons beyond which half a spoon is not measured."""

_FEW_CUPS = 4
"""Cups beyond which pints are counted, and pints beyond which quarts are."""

_LARGE = ("gal", "half-gal")
"""Units of which no kitchen has a measure for the half."""

_HANDY = (1, 2, 3, 4)
"""Parts of a unit with a measure in every kitchen: wholes, halves, thirds, quarters."""


def spooned(count: Fraction, unit: str) -> str:
    """'1 1/2 lb', '5 oz' for 0.3 lb, '6 tbsp' for 0.1 qt, '1 pt' for 1/8 gal.

    Exact where halves, thirds or quarters serve. Else in a smaller unit: exactly, or 'about' the nearest
    half (ounce, tablespoon), which is as near as a kitchen weighs. Metric: as scales and jugs have it.
    """
    if unit in METRIC_UNITS:
        small = METRIC_UNITS[unit] if 0 < count < 1 else unit
        return _in_decimals(count * (_size_of(unit) / _size_of(small)), small)
    smaller = _SMALLER.get(unit, ())
    if count <= 0 or count >= 1 or not smaller or (count.denominator in _HANDY and unit not in _LARGE):
        return f"{_number(count)} {unit}"
    base = count * _size_of(unit)
    for name in smaller:
        part = base / _size_of(name)
        handy = part >= Fraction(1, 4) and part.denominator in _HANDY
        few = part.denominator <= 2 and part >= 1 and not (name == "tbsp" and part > _FEW_SPOONS)
        if handy if name == "cup" else few:
            return f"{as_words(part)} {name}"
    for name in reversed(smaller[:-1]):
        part = base / _size_of(name)
        if 1 <= part <= _FEW_CUPS:
            return f"{hand_number(part)} {name}"
    least = smaller[-1]
    exact, step = base / _size_of(least), Fraction(1, 2)
    near = max(round(exact / step) * step, step)
    if least == "tbsp" and near > _FEW_SPOONS:
        near = Fraction(round(exact))
        return f"{'' if near == exact else 'about '}{_cups_and_spoons(int(near))}"
    return f"{'' if near == exact else 'about '}{as_words(near)} {least}"


def _in_decimals(count: Fraction, unit: str) -> str:
    """'2.25 kg', 'about 458 g', '2.5 ml': a scale shows no quarters."""
    places = 2 if unit in ("kg", "l") else 1 if count < _FEW_GRAMS else 0
    near = Fraction(round(count * 10**places), 10**places)
    if near == 0 and count:
        return f"about {float(count):.1g} {unit}"
    figure = f"{float(near):.{places}f}"
    return f"{'' if near == count else 'about '}{figure.rstrip('0').rstrip('.') if places else figure} {unit}"


_FEW_GRAMS = 20
"""Grams or millilitres beyond which tenths are not measured."""


def _cups_and_spoons(spoons: int) -> str:
    """'6 tbsp', '3/4 cup and 1 tbsp': nobody counts thirteen spoons."""
    quarters, rest = divmod(spoons, 4)
    if quarters < 2:
        return f"{spoons} tbsp"
    cups = f"{as_words(Fraction(quarters, 4))} cup"
    return f"{cups} and {rest} tbsp" if rest else cups


def _size_of(unit: str) -> Fraction:
    named = unit_named(unit)
    assert named is not None, unit
    return named[1]


def amount_of(product: Product, base: Fraction) -> str:
    """An amount in the product's base measure, in the household's containers: '2 qt', '1/2 head'.

    Takes the first size of which it is a whole number; failing that, the first size.
    """
    size = _size_for(product, base)
    return sized(base / size.content, size.name)


def _size_for(product: Product, base: Fraction) -> Size:
    return next((s for s in product.sizes if (base / s.content).denominator == 1), product.sizes[0])


def amount_and_name(household: Household, name: str, base: Fraction) -> str:
    """'2 qt Chicken stock'; the bare name when the household does not keep it."""
    product = household.products.get(name)
    if product is None:
        return name
    size = _size_for(product, base)
    return sized_name(base / size.content, size.name, name)


def containers(product: Product | None, count: Fraction) -> str:
    """A count of the product's first size: '24 qt', '18 heads'."""
    if product is None:
        return as_words(count)
    return sized(count, product.sizes[0].name)


def place_name(household: Household, code: str) -> str:
    """'pantry, south wall (S2)'; the code alone when the household has not named it."""
    named = next((p for p in household.places if p.code == code), None)
    if named is None:
        return code or "place not written down"
    return f"{named.name} ({named.code})" if named.name != named.code else named.name


def by_the_book(row: ForecastRow) -> bool:
    """Whether the book alone tells a row's own pace; else it is 'by what is known so far'."""
    return set(row.told_by) <= {"the book"}


def own_pace_words(rows: Iterable[ForecastRow]) -> str:
    """What the household's own pace is called over these rows: eating alone tells it, or what else is known as well."""
    return "as you have been eating" if all(map(by_the_book, rows)) else "by what is known so far"
