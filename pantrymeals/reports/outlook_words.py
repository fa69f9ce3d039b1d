"""Amounts of what is foreseen, which are reckoned and so come as decimals."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.reports.words import sized


def about_sized(number: float, size: str) -> str:
    """'72 qt', '3', '13 pieces', '2 1/2 lb': to the tenth, or the eighth below one."""
    parts = 10 if number >= 1 else 8
    near = Fraction(round(number * parts), parts)
    if near.denominator > 2 and number >= 1:
        near = Fraction(round(number * 4), 4) if number < 10 else Fraction(round(number))
    return sized(near, size)
