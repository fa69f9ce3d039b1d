"""Killed without warning in the middle of writing: every acknowledged entry is there, whole."""

from __future__ import annotations

import contextlib
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE, connect
from pantrymeals.book.keep import what_is_wrong

Writer = Callable[..., "subprocess.Popen[str]"]
ROOT = Path(__file__).parents[2]


def killed_after(writer: subprocess.Popen[str], seconds: float) -> list[str]:
    """The keys a writer said before it was killed, ``seconds`` after the first."""
    assert writer.stdout is not None
    first = writer.stdout.readline()
    time.sleep(seconds)
    os.kill(writer.pid, signal.SIGKILL)
    rest = writer.stdout.read()
    writer.communicate()
    assert writer.returncode == -signal.SIGKILL
    return (first + rest).split("\n")[:-1]


def test_kill_9_in_the_middle_of_writing(path: Path, kills: int, start_writer: Writer) -> None:
    """Acknowledged means entered; an entry has all its lines or is not there; the check passes."""
    chance = random.Random(17)
    acknowledged = unsaid = 0
    for number in range(kills):
        said = killed_after(start_writer(path, f"run{number}"), chance.uniform(0, 0.02))
        assert said, "the writer was killed before it wrote"
        with open_book(path) as book:
            kept = {key for (key,) in book.db.execute("SELECT key FROM entry WHERE key GLOB ?", (f"run{number}-*",))}
            assert set(said) <= kept, f"lost: {set(said) - kept}"
            assert len(kept) - len(said) <= 1, "more than the one entry in hand was there"
            halves = book.db.execute(
                """SELECT count(*) FROM entry WHERE
                   (SELECT count(*) FROM movement WHERE entry = entry.id) <> 2
                   OR (SELECT count(*) FROM glass_movement WHERE entry = entry.id) <> 1"""
            ).fetchone()[0]
            assert halves == 0
            assert what_is_wrong(book) == ()
        acknowledged += len(said)
        unsaid += len(kept) - len(said)
    with open_book(path) as book:
        assert sum(here.count for here in book.on_hand()) == acknowledged + unsaid
        assert book.glass() == {("lids", "regular"): -(acknowledged + unsaid)}
    print(f"{kills} kills: {acknowledged} acknowledged, all there; {unsaid} entered but not yet said")


MAKER = """
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path
from pantrymeals.book.connect import make
from pantrymeals.book.lines import Line, LotFacts, NewEntry
from pantrymeals.book.writing import fill_with

def entries():
    for n in range(3000):
        if n == 1:
            print("making", flush=True)
        new = NewEntry(date(2026, 1, 17), "put up", key=str(n))
        yield new, [Line(LotFacts("Rice", "lb"), "D", Fraction(1), "bought")]

make(Path(sys.argv[1]), fill_with(entries()))
print("made", flush=True)
"""


def test_kill_9_while_a_book_is_made(tmp_path: Path, kills: int) -> None:
    """Either there is no book yet, or it is whole; nothing half made stands under its name."""
    chance = random.Random(18)
    whole = 0
    for number in range(max(kills // 10, 8)):
        folder = tmp_path / str(number)
        folder.mkdir()
        maker = subprocess.Popen(
            [sys.executable, "-c", MAKER, str(folder / BOOK_FILE)], stdout=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        said = killed_after(maker, chance.uniform(0, 0.09)) if number else maker.communicate()[0].split()
        if (folder / BOOK_FILE).exists():
            with open_book(folder / BOOK_FILE) as book:
                assert len(book.entries()) == 3000
                assert what_is_wrong(book) == ()
            whole += 1
        else:
            assert said == ["making"]
    assert whole >= 1


GROWER = """
import sys, sqlite3
from pathlib import Path
from pantrymeals.book import schema
from pantrymeals.book.connect import connect
after = schema.MIGRATIONS[1]
def slowly(db):
    print("growing", flush=True)
    after(db)
    import time; time.sleep(0.02)
schema.MIGRATIONS = {1: slowly}
connect(Path(sys.argv[1])).close()
print("grown", flush=True)
"""


def test_kill_9_while_an_older_book_grows(old_book: Callable[[int], Path], kills: int) -> None:
    """The older book is still there and grows the next time, or has grown; its sums are the same."""
    chance = random.Random(19)
    for _ in range(max(kills // 20, 6)):
        path = old_book(1)
        grower = subprocess.Popen(
            [sys.executable, "-c", GROWER, str(path)], stdout=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        killed_after(grower, chance.uniform(0, 0.02))
        connect(path).close()
        with open_book(path) as book:
            assert what_is_wrong(book) == ()
            assert sum(here.count for here in book.on_hand()) > 0
            assert book.entries()[0].who == ""


@pytest.mark.skipif(not hasattr(os, "O_TMPFILE"), reason="this system has no files without a name")
@pytest.mark.parametrize("after", [0.1, 0.3, 0.4, 0.5, 0.6, 0.8])
def test_a_killed_import_leaves_nothing_behind(tmp_path: Path, after: float) -> None:
    """Either the whole book is there, or the folder is as empty as before."""
    twin = Path(__file__).parents[2] / "demo" / "put-up-book.csv"
    code = "import sys; from pathlib import Path; from pantrymeals.actions.book.keeping import bring_back; "
    code += "print('begun', flush=True); bring_back(Path(sys.argv[1]), Path(sys.argv[2]))"
    run = [sys.executable, "-c", code, str(tmp_path), str(twin)]
    importing = subprocess.Popen(run, stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2])
    assert importing.stdout is not None
    assert importing.stdout.readline() == "begun\n"
    with contextlib.suppress(subprocess.TimeoutExpired):
        importing.wait(after)
    importing.kill()
    importing.communicate()
    left = {path.name for path in tmp_path.iterdir()} - {f"{BOOK_FILE}-wal", f"{BOOK_FILE}-shm"}
    assert left <= {BOOK_FILE}
    if left:
        with open_book(tmp_path / BOOK_FILE, reading=True) as book:
            assert what_is_wrong(book) == ()
            assert book.number_of_entries() == 4068


@pytest.mark.skipif(not hasattr(os, "O_TMPFILE"), reason="this system has no files without a name")
def test_an_import_killed_when_all_is_written_and_nothing_named_leaves_an_empty_folder(tmp_path: Path) -> None:
    twin = Path(__file__).parents[2] / "demo" / "put-up-book.csv"
    code = "import os, signal, sys; from pathlib import Path; from pantrymeals.actions.book.keeping import bring_back; "
    code += (
        "os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL); bring_back(Path(sys.argv[1]), Path(sys.argv[2]))"
    )
    run = [sys.executable, "-c", code, str(tmp_path), str(twin)]
    done = subprocess.run(run, cwd=Path(__file__).parents[2], check=False)
    assert done.returncode == -signal.SIGKILL
    assert list(tmp_path.iterdir()) == []
