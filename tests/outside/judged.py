"""One published figure and ours beside it: asserted, and put down for the table of ``tests.outside.report``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pytest

How = Literal["read", "from memory"]


@dataclass(frozen=True, slots=True)
class Judged:
    """A figure as its source prints it, ours, how far they may lie apart, and how the printed one was got."""

    figure: str
    source: str
    printed: float
    ours: float
    within: float
    how: How


FOUND: list[Judged] = []
"""Those that were asserted and held, in this process."""


def agrees(figure: str, source: str, printed: float, ours: float, *, within: float, how: How) -> None:
    """Assert that ours lies within so much of the printed figure; only what held is put down."""
    assert ours == pytest.approx(printed, abs=within), f"{figure}: {source}"
    FOUND.append(Judged(figure, source, float(printed), float(ours), within, how))
