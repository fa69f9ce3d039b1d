"""How slow this machine is, so that what is measured by a clock is judged as on a usual one."""

from __future__ import annotations

import time

USUAL_SECONDS = 0.038
"""A million additions in a loop, on the machine of two cores, then quiet, on which the aims were set."""


def slower() -> float:
    """How many times as long as there a plain loop takes here, by the process's own time; 1 where it takes less."""
    best = float("inf")
    for _ in range(3):
        begun, total = time.process_time(), 0
        for number in range(1_000_000):
            total += number
        best = min(best, time.process_time() - begun)
        assert total == 499_999_500_000
    return max(1.0, best / USUAL_SECONDS)
