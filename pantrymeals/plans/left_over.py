"""What is cooked and not eaten at its meal."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec import Struct


class LeftOver(Struct, frozen=True):
    """What one dish leaves: portions of a leaving of its own name, or of the dish itself ('').

    keeps_to: the last day it is eaten on. becomes: the dish of this menu that is made from it, and its day.
    """

    day: date
    dish: str
    name: str
    portions: Fraction
    keeps_to: date
    becomes: tuple[str, date] | None = None
