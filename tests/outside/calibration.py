"""Do the ranges hold? The program's own run-outs against what came, on seven demand processes and the demo's past.

    python -m tests.outside.calibration [--seeds 301 302 303] [--processes steady ...]

Of each process six households a seed (see ``demand_processes``): every product that is there is asked when its last one
goes, and its 10-90 % range is held to the day on which it went. Of the demo, each past month-end: the use of the next
thirteen weeks. The forecast's constants were chosen on ``CHOSEN_ON``; the command judges by ``JUDGED_ON``, which no
choice has seen. Aim: 75 to 88 % inside, no more than 12 % before.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from pantrymeals.actions.run_out import Chance, open_with_book, tested_on_the_past
from pantrymeals.forecast.forecast import WEEKS_AHEAD, learn_paces
from pantrymeals.forecast.foresee import PATHS, foresee
from tests.outside.demand_processes import BOOKS, PROCESSES, Table, table_of

CHOSEN_ON = (1, 2, 3, 101, 102, 103)
JUDGED_ON = (301, 302, 303)
LEAST_INSIDE, MOST_INSIDE, MOST_BEFORE = 0.75, 0.88, 0.12


@dataclass(frozen=True)
class Tally:
    """Run-outs asked for, and how many came before, in, and after their range."""

    before: int = 0
    inside: int = 0
    after: int = 0

    @property
    def cases(self) -> int:
        """All that were asked."""
        return self.before + self.inside + self.after

    def __add__(self, other: Tally) -> Tally:
        return Tally(self.before + other.before, self.inside + other.inside, self.after + other.after)

    def holds(self) -> bool:
        """Whether the aim is reached."""
        n = self.cases
        return bool(n) and LEAST_INSIDE * n <= self.inside <= MOST_INSIDE * n and self.before <= MOST_BEFORE * n

    def words(self) -> str:
        """Shares inside, before and after, the number, and whether the aim is missed."""
        n = max(1, self.cases)
        shares = "".join(f"{part / n:9.1%}" for part in (self.inside, self.before, self.after))
        return f"{shares}{self.cases:8d}{'' if self.holds() else '  missed'}"


def run_outs(table: Table, paths: int = PATHS) -> Tally:
    """Every product that is there: did its last one go within the range that the program gives?"""
    found = foresee(table.household, learn_paces(table.household, table.book), paths=paths)
    end, tally = table.household.today + timedelta(weeks=WEEKS_AHEAD), Tally()
    for row in found.rows:
        if row.product not in table.gone or row.as_eaten is None:
            continue
        went = min(table.gone[row.product] or end, end)  # beyond two years nothing is told apart
        before = went < (row.as_eaten.out_early or end)
        after = went > (row.as_eaten.out_late or end)
        tally += Tally(int(before), int(not before and not after), int(after))
    return tally


def of_process(process: str, seeds: tuple[int, ...], households: int = len(BOOKS), paths: int = PATHS) -> Tally:
    """All households of a process."""
    tables = (table_of(process, seed, which) for seed in seeds for which in range(households))
    return sum((run_outs(table, paths) for table in tables), Tally())


def demos_past(demo: Path) -> Tally:
    """The demo's month-ends: more used than the range is as much as run out before it."""
    today = date(2026, 1, 17)
    test = tested_on_the_past(open_with_book(demo, today, today), 13, Chance())
    more, less = round(test.above * test.cases), round(test.below * test.cases)
    return Tally(more, test.cases - more - less, less)


def main() -> int:
    """Print the shares of each process; 1 where one misses the aim."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, nargs="+", default=list(JUDGED_ON))
    parser.add_argument("--processes", nargs="*", default=[*PROCESSES, "the demo"], choices=[*PROCESSES, "the demo"])
    asked = parser.parse_args()
    print(f"{'process':20}{'inside':>9}{'before':>9}{'after':>9}{'cases':>8}")
    missed = False
    for name in asked.processes:
        demo = Path(__file__).resolve().parents[2] / "demo"
        tally = demos_past(demo) if name == "the demo" else of_process(name, tuple(asked.seeds))
        missed = missed or not tally.holds()
        print(f"{name:20}{tally.words()}", flush=True)
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
