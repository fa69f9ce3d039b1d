"""A published figure as it is given: from this to that."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct


class SpanOf(Struct, frozen=True):
    """A range with its unit and the publication it was worked out from."""

    low: Fraction
    high: Fraction
    unit: str
    source: str
    from_memory: bool = False
