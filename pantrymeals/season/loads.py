"""Canner loads: whole ones only. Arithmetic, never a process."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

JARS_A_LOAD = {"qt": 7, "pt": 9, "hp": 12, "half-gal": 4}
"""Jars to a load in an ordinary canner, where the household has not said.

Quarts 7 and pints 8 to 9: Michigan State University Extension 01600948 after AIB 539, Guide 1.
Half-pints 12 and half-gallons 4: common practice, no published source.
"""


def whole_loads(wanted: Fraction | int, jars_a_load: int) -> int:
    """Loads that hold what is wanted; part loads are filled up. Raises ValueError for a load of nothing."""
    if jars_a_load < 1:
        raise ValueError("a load holds at least one jar")
    return max(0, ceil(Fraction(wanted) / jars_a_load))


def chances_by_load(chances: list[float], jars_a_load: int) -> tuple[float, ...]:
    """Mean chance of each load's jars being called for; empty places of a part load count as nothing."""
    return tuple(sum(chances[i : i + jars_a_load]) / jars_a_load for i in range(0, len(chances), jars_a_load))
