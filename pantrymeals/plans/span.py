"""A published figure as it is given: from this to that."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class SpanOf:
    """A range with its unit and the publication it was worked out from."""

    low: Fraction
    high: Fraction
    unit: str
    source: str
    from_memory: bool = False
