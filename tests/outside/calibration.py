"""Do the ranges hold? The program's own run-outs against what came, on seven demand processes and the demo's past.

    python -m tests.outside.calibration [--seeds 501 502 503] [--processes steady ...] [--workers 2]

Of each process six households a seed (see ``demand_processes``): every product that is there is asked when its last one
goes, and its 10-90 % range is held to the day on which it went. Of the demo, each past month-end: the use of the next
thirteen weeks, all of them and those of May to July alone. The forecast's constants were chosen on ``CHOSEN_ON``; the
command judges by ``JUDGED_ON``, which no choice has seen. Aim: 75 to 88 % inside, no more than 12 % before.
What it found last stands in DEVELOPERS.md, 'How the ranges hold'. Some four minutes of one core.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date, timedelta
from functools import partial
from pathlib import Path

from msgspec import Struct

from pantrymeals.actions.with_book import open_with_book
from pantrymeals.forecast.backtest import guess_at, month_ends
from pantrymeals.forecast.forecast import WEEKS_AHEAD, learn_paces
from pantrymeals.forecast.foresee import PATHS, foresee
from pantrymeals.larder.book_history import lines_of
from tests.outside.demand_processes import BOOKS, PROCESSES, Table, table_of

CHOSEN_ON = (1, 2, 3, 101, 102, 103)
JUDGED_ON = (501, 502, 503, 601, 602, 603)
AHEAD_WEEKS = 13
Run = Callable[[Callable[[tuple[str, int, int]], "Tally"], Iterable[tuple[str, int, int]]], Iterable["Tally"]]
LEAST_INSIDE, MOST_INSIDE, MOST_BEFORE = 0.75, 0.88, 0.12


class Tally(Struct, frozen=True):
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


def of_one(asked: tuple[str, int, int], paths: int = PATHS) -> Tally:
    """One household of a process: (process, seed, which)."""
    return run_outs(table_of(*asked), paths)


def of_process(
    process: str, seeds: Sequence[int], households: int = len(BOOKS), paths: int = PATHS, run: Run = map
) -> Tally:
    """All households of a process. run: maps as ``map`` does, a pool's in several processes at once."""
    tables = [(process, seed, which) for seed in seeds for which in range(households)]
    return sum(run(partial(of_one, paths=paths), tables), Tally())


def demos_past(demo: Path) -> dict[str, Tally]:
    """The demo's month-ends, all and those of May to July: more used than the range is as much as out before it."""
    today = date(2026, 1, 17)
    larder = open_with_book(demo, today, today)
    lines = lines_of(larder.household.products, larder.book)
    found = {"the demo": Tally(), "of it, May to July": Tally()}
    for end in month_ends(lines, today, AHEAD_WEEKS):
        guesses = guess_at(larder.household, lines, end, AHEAD_WEEKS, PATHS, seed=1)
        more, less = (sum(beyond) for beyond in zip(*((g.came > g.high, g.came < g.low) for g in guesses), strict=True))
        own = Tally(more, len(guesses) - more - less, less)
        for name in ("the demo", "of it, May to July")[: 1 + (5 <= end.month <= 7)]:
            found[name] += own
    return found


def main() -> int:
    """Print the shares of each process; 1 where one misses the aim."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seeds", type=int, nargs="+", default=list(JUDGED_ON))
    parser.add_argument("--processes", nargs="*", default=[*PROCESSES, "the demo"], choices=[*PROCESSES, "the demo"])
    parser.add_argument("--workers", type=int, default=1)
    asked = parser.parse_args()
    print(f"{'process':20}{'inside':>9}{'before':>9}{'after':>9}{'cases':>8}")
    missed = False
    with ProcessPoolExecutor(asked.workers) as pool:
        for name in asked.processes:
            if name == "the demo":
                found = demos_past(Path(__file__).resolve().parents[2] / "demo")
            else:
                found = {name: of_process(name, asked.seeds, run=pool.map)}
            missed = missed or not found[name].holds()
            for each, tally in found.items():
                print(f"{each:20}{tally.words()}", flush=True)
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
