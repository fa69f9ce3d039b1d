"""A day with the put-up book, by hand in the demo, each command timed from the key press to the prompt.

    python -m tests.benchmarks.bench_book [--days 5] [--command pantrymeals] [--against ../another-checkout]

Each day begins with a fresh copy of the demo. Prints each command's median over the days, its least and its most (wall
seconds, a new process each time); ends with 1 when the median of a daily command is past half a second. Making the
book from its CSV is done once, and a spreadsheet of the whole book is nobody's daily errand: timed, and not judged.
With another checkout the same days are lived there too, in its own demo, turn by turn; a ratio of the processor's time,
which what else runs changes least, below 1: this one does less.
"""

from __future__ import annotations

import argparse
import csv
import json
import resource
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path
from statistics import median
from typing import NamedTuple

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE
from tests.benchmarks.measured import own_environment

ROOT = Path(__file__).parents[2]
LIMIT_S = 0.5
FIRST = "the first command of all (makes the book from its CSV)"
INSTEAD = ("--instead", "--swap")
"""What an option of `pull` is called, and was until 27 November 2026."""
NOT_JUDGED = (FIRST, "book export to a spreadsheet", "book import from a spreadsheet")


class Took(NamedTuple):
    """How long one command took: on the clock, and of the processor."""

    seconds: float
    work: float


class Day:
    """One day in a copy of the demo: what was typed, and how long each command took."""

    def __init__(self, folder: Path, program: list[str], root: Path, byte_code: Path) -> None:
        self.folder = folder
        self.demo = folder / "demo"
        self.program = program
        self.root = root
        self.week = root / "tests" / "golden" / "demo_week.json"
        self.seen = own_environment(root, byte_code)
        self.took: dict[str, Took] = {}
        shutil.copytree(root / "demo", self.demo, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))

    def say(self, what: str, *words: str, larder: Path | None = None) -> None:
        """Type one command; it must end well."""
        begun, worked = time.perf_counter(), _work()
        done = subprocess.run(
            [*self.program, *words, "--larder", str(larder or self.demo)],
            capture_output=True, text=True, check=False, cwd=self.root, env=self.seen,
        )  # fmt: skip
        self.took[what] = Took(time.perf_counter() - begun, _work() - worked)
        if done.returncode:
            sys.exit(f"{' '.join(words)}: {done.stderr}")

    def called(self, command: str, now: str, before: str) -> str:
        """What this checkout calls an option of a command, by its help; not timed."""
        done = subprocess.run(
            [*self.program, command, "--help"], capture_output=True, text=True, check=True, cwd=self.root, env=self.seen
        )
        return now if now in done.stdout else before

    def live(self) -> None:
        """The whole day, in order; the sums must come out even at its end."""
        self.say(FIRST, "empties")
        self.count()
        self.say("put-up, one failed", *shlex.split("put-up 7 qt green beans --load 'load 1' --failed 1"))
        self.say("put-up, a second load", *shlex.split("put-up 7 qt green beans --load 'load 2'"))
        self.say("hold a load", "hold", "load", "load 2")
        self.say("tally", "tally", "raspberry jam")
        self.pull()
        self.say("broken", *shlex.split("broken 1 qt applesauce"))
        self.say("part-jars", "part-jars")
        self.say("empties", "empties")
        self.say("lots", "lots", "green beans")
        self.say("history", "history", "applesauce")
        self.say("book log", "book", "log")
        self.say("book check", "book", "check")
        self.say("book backup", "book", "backup", str(self.folder / "copy.sqlite"))
        self.copy("book export", "book import", "book.csv")
        self.copy(*NOT_JUDGED[1:], "book.xlsx")

    def count(self) -> None:
        """A shelf's sheet printed, then entered with three differences."""
        sheet = self.folder / "n3.csv"
        self.say("count sheet", "count", "sheet", "N3")
        self.say("count sheet to fill in", "count", "sheet", "N3", "--out", str(sheet))
        with sheet.open(newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        for number, row in enumerate(rows):
            row["shelf"] = str(int(row["book"]) + {0: -1, 1: -2, 2: 1}.get(number, 0))
        with sheet.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            writer.writerows(rows)
        self.say("count enter, 3 differences", "count", "enter", str(sheet))

    def pull(self) -> None:
        """The week pulled, taken back, and pulled with one swap."""
        before = sums(self.demo)
        self.say("pull a week", "pull", str(self.week))
        if sums(self.demo) == before:
            sys.exit("the pull took nothing")
        self.say("undo", "undo")
        if sums(self.demo) != before:
            sys.exit("the sums after undo are not those before")
        jar = next(
            o for o in json.loads(self.week.read_text(encoding="utf-8"))["openings"] if o["size"] in ("qt", "pt")
        )
        swap = f"1 qt applesauce for 1 {jar['size']} {jar['product']}"
        self.say("pull a week taking something else", "pull", str(self.week), self.called("pull", *INSTEAD), swap)

    def copy(self, out: str, into: str, name: str) -> None:
        """The book written out, and read into an empty folder."""
        twin, empty = self.folder / name, self.folder / f"from {name}"
        empty.mkdir()
        self.say(out, "book", "export", str(twin))
        self.say(into, "book", "import", str(twin), larder=empty)
        if sums(empty) != sums(self.demo):
            sys.exit(f"the sums read back from {name} are not the book's")


def _work() -> float:
    """The processor's time of all that was run so far, this process itself apart."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def sums(folder: Path) -> dict[tuple[str, ...], Fraction]:
    """All that a folder's book has on hand, by lot, place and state."""
    with open_book(folder / BOOK_FILE, reading=True) as book:
        return {
            (h.lot.product, h.lot.size, h.lot.put_up, h.lot.load, h.place, h.state): h.count for h in book.on_hand()
        }


def main() -> int:
    """Live the days, print the medians and judge; 1 when a daily command is past the limit."""
    asked = argparse.ArgumentParser(description="A day with the put-up book, each command timed.")
    asked.add_argument("--days", type=int, default=5)
    asked.add_argument("--command", default=f"{shlex.quote(sys.executable)} -m pantrymeals")
    asked.add_argument("--against", type=Path, help="another checkout, whose program is lived with beside this one")
    args = asked.parse_args()
    sides = [ROOT] if args.against is None else [ROOT, args.against.resolve()]
    days: dict[Path, list[dict[str, Took]]] = {side: [] for side in sides}
    with tempfile.TemporaryDirectory() as byte_code:
        for number in range(args.days + 1):  # the first, in which Python compiles each module, does not count
            for side in sides if number % 2 else sides[::-1]:
                with tempfile.TemporaryDirectory() as folder:
                    day = Day(Path(folder), shlex.split(args.command), side, Path(byte_code))
                    day.live()
                    days[side] += [day.took] if number else []
    return told(days)


def told(days: dict[Path, list[dict[str, Took]]]) -> int:
    """Print each command's median, least, most and ratio of work to another checkout's; 1 when one is too late."""
    own, *others = days.values()
    late = 0
    for what in own[0]:
        seconds = [took[what].seconds for took in own]
        work = median(took[what].work for took in own)
        judged = what not in NOT_JUDGED
        late += judged and median(seconds) > LIMIT_S
        beside = "".join(f"  {work / median(t[what].work for t in other):5.2f} x" for other in others)
        spread = f"{min(seconds):5.2f} to {max(seconds):.2f}"
        print(f"{median(seconds):5.2f} s  {spread}{beside}  {what}{'' if judged else ' *'}")
    print(f"* not judged; each other command is to stay under {LIMIT_S} s")
    return int(late > 0)


if __name__ == "__main__":
    sys.exit(main())
