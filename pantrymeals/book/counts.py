"""Counts in the put-up book: whole numbers of parts, so that every sum is exact.

One container (a jar, a pack, a pound of loose goods) is 5,040,000 parts. Eighths,
sixteenths and 128ths, thirds and ninths, sevenths (a week's use by the day) and
thousandths are all whole numbers of parts. What is no whole number of parts (500 g
written against a bin counted in pounds) is rounded once, when it is entered, to the
nearest part: less than a thousandth of a gram in a pound. From then on nothing is
rounded: SQLite sums 64-bit whole numbers exactly, up to 1.8 million million containers.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from pantrymeals.book.trouble import BookTrouble

PARTS = 5_040_000
"""Parts in one container: 2^7 x 3^2 x 5^4 x 7."""

ROUNDING = Fraction(50, PARTS)
"""As much as the roundings of fifty entries can come to (a ten-thousandth of an ounce in a pound): less than that is
nothing left, and nothing missing."""

MOST = Fraction(1_000_000)
"""The most containers that one line may speak of; more is a slip of the pen."""


def to_parts(count: Fraction) -> int:
    """A count of containers as parts, to the nearest part.

    Raises BookTrouble when count is more than a million containers, or too small to be a part.
    """
    if abs(count) > MOST:
        raise BookTrouble(f"{float(count):,.0f} is more than a million; look at the number again")
    parts = round(count * PARTS)
    if count and not parts:
        raise BookTrouble(f"{float(count):g} is too little to enter")
    return parts


@lru_cache(maxsize=4096)
def from_parts(parts: int) -> Fraction:
    """Parts as an exact count of containers."""
    return Fraction(parts, PARTS)
