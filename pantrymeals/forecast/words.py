"""Counts, days and paces as people say them."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from math import ceil, floor

from pantrymeals.units import unit_named
from pantrymeals.words import LONG_UNITS, many, month_name, small_count

_NEAR = Fraction(1, 4)
"""How near to a whole number a count is 'about' it."""
_NAMED_BY_PRODUCT = frozenset({"each", "piece"})


def unit_words(size: str, count: float) -> str:
    """The container's name for so many: 'quart', 'quarts', 'qt bags'; '' where pieces are just counted."""
    if size in _NAMED_BY_PRODUCT:
        return ""
    word = LONG_UNITS.get(size, size)
    return word if count <= 1 else many(word)


def number_words(count: float) -> str:
    """Small whole numbers in words; others in figures, halves as 1/2."""
    if count == int(count):
        return small_count(int(count)) if count else "0"
    if count * 2 == int(count * 2):
        whole = int(count)
        return f"{whole} 1/2" if whole else "half"
    return f"{count:.1f}"


def amount_words(size: str, count: float) -> str:
    """'two quarts', '1 1/2 pounds', 'three', '23 x 500 ml jar'."""
    if count == 0.5:
        return f"half a {unit_words(size, 1)}".rstrip()
    number = number_words(count)
    if size[:1].isdigit() and number[:1].isdigit():
        return f"{number} x {size}"
    return f"{number} {unit_words(size, count)}".rstrip()


def so_much(size: str, count: Fraction) -> str:
    """'2.6 lb' of what is measured; 'about 1', '2 to 3 heads', '3 qt bags' of what is counted.

    Two figures of a measure, or whole ones from ten.
    """
    if unit_named(size) is not None and size not in _NAMED_BY_PRODUCT:
        return f"{round(count)} {size}" if count >= 10 else f"{float(count):.2g} {size}"
    whole = round(count)
    if count == whole:
        said = _number(size, whole)
    elif whole and (count >= 10 or abs(count - whole) <= _NEAR):
        said = f"about {_number(size, whole)}"
    elif count < 1:
        return f"less than one {unit_words(size, 1)}".rstrip()
    else:
        whole = ceil(count)
        said = f"{_number(size, whole - 1)} to {_number(size, whole)}"
    return f"{said} {unit_words(size, whole)}".rstrip()


def _number(size: str, count: int) -> str:
    """In figures, but in words before a size that begins with a figure of its own."""
    return number_words(count) if size[:1].isdigit() else str(count)


def month_words(day: date, today: date) -> str:
    """'September', or 'March 2027' when that month has come round again by then."""
    if (day.year - today.year) * 12 + day.month - today.month >= 12:
        return f"{month_name(day)} {day.year}"
    return month_name(day)


def day_words(day: date, today: date) -> str:
    """'14 March', with the year when it is not this one."""
    text = f"{day.day} {month_name(day)}"
    return f"{text} {day.year}" if day.year != today.year else text


def pace_words(size: str, weekly: float, *, sparing: bool) -> str:
    """A pace people can keep: 'two quarts a week', 'one quart every ten days', 'one piece a month'.

    sparing: never faster than ``weekly``; else never slower.
    """
    turn = floor if sparing else ceil
    if weekly >= 1:
        fine = 1.0 if weekly >= 3 or size != "lb" else 2.0
        count = turn(weekly * fine + (1e-6 if sparing else -1e-6)) / fine
        return f"{amount_words(size, max(count, 1 / fine))} a week"
    days = (ceil if sparing else floor)(7 / weekly - 1e-6 if sparing else 7 / weekly + 1e-6)
    one = amount_words(size, 1)
    if days > 45:
        weeks = ceil(days / 7) if sparing else floor(days / 7)
        return f"{one} every {number_words(weeks)} weeks"
    if days in (7, 14, 21, 28):
        return f"{one} a week" if days == 7 else f"{one} every {number_words(days // 7)} weeks"
    return f"{one} every {number_words(days)} days"
