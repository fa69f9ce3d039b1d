"""One published figure and ours beside it: asserted, and put down for the table of ``tests.outside.report``."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

How = Literal["read", "from memory"]
SAME_PUBLICATION = "another copy"
"""In the name of a source that is the very one our table was typed from, read a second time."""
Said = float | tuple[float, float] | str
"""A figure, a range (least, most), or a word."""


class Judged(Struct, frozen=True):
    """A figure as its source prints it, ours, how far they may lie apart, and how the printed one was got.

    A range of ours agrees where all of it lies in the printed one, widened by ``within`` and then ``times`` over.
    """

    figure: str
    source: str
    printed: Said
    ours: Said
    within: float = 0
    how: How = "read"
    times: float = 1

    def holds(self) -> bool:
        """Whether ours agrees with what is printed."""
        if isinstance(self.printed, str) or isinstance(self.ours, str):
            return self.printed == self.ours
        low, high = _ends(self.printed)
        least, most = _ends(self.ours)
        slack = self.within + 1e-9
        return least <= most and (low - slack) / self.times <= least and most <= (high + slack) * self.times

    @property
    def allowed(self) -> str:
        """'0.5', or 'x 2'."""
        return f"x {self.times:g}" if self.times != 1 else f"{self.within:g}"


FOUND: list[Judged] = []
"""Those that were asserted and held, in this process."""


def _ends(said: float | tuple[float, float]) -> tuple[float, float]:
    return said if isinstance(said, tuple) else (said, said)


def shown(said: Said) -> str:
    """A figure as a table shows it."""
    if isinstance(said, str):
        return said
    low, high = _ends(said)
    return f"{low:.5g}" if low == high else f"{low:.3g}-{high:.3g}"


def put_down(judged: Judged) -> None:
    """Assert it; only what held is put down."""
    assert judged.holds(), f"{judged.figure}: {judged.source} has {judged.printed}, ours is {judged.ours}"
    FOUND.append(judged)


def agrees(figure: str, source: str, printed: float, ours: float, *, within: float, how: How) -> None:
    """Assert that ours lies within so much of the printed figure; only what held is put down."""
    put_down(Judged(figure, source, float(printed), float(ours), within, how))
