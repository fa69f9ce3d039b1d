"""Full disks and folders that may only be read: a clear message, and the book as it was."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE, make
from pantrymeals.book.keep import backup, restore, what_is_wrong
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import fill_with
from pantrymeals.errors import PantryError
from pantrymeals.on_disk import write_safely

Writer = Callable[..., "subprocess.Popen[str]"]
ROOT = Path(__file__).parents[2]
NOBODY = 65534


def run(program: str, *arguments: str) -> str:
    """What a small program says, run on its own; it must not fail with a traceback."""
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    assert done.stderr == ""
    return done.stdout


def fill_up(ballast: Path) -> None:
    """Write until the disk will take no more."""
    with contextlib.suppress(OSError), ballast.open("wb", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)


def test_a_full_disk(small_disk: Path, start_writer: Writer) -> None:
    """A disk of one megabyte, really filled: what was acknowledged is there, and room mends it."""
    path = small_disk / BOOK_FILE
    make(path, fill_with([]))
    ballast = small_disk / "ballast"
    ballast.write_bytes(b"x" * 100_000)
    out, errors = start_writer(path, "full").communicate(timeout=120)
    *said, trouble = out.splitlines()
    assert errors == ""
    assert "the disk is full, so nothing was entered; the book is as it was" in trouble
    assert len(said) > 10
    with open_book(path, reading=True) as book:
        assert [line.command for line in book.entries()] == ["put up"] * len(said)
        assert what_is_wrong(book) == ()
        fill_up(small_disk / "more ballast")
        with pytest.raises(BookTrouble, match="disk is full"):
            backup(book, small_disk / "copy.sqlite")
    assert not (small_disk / "copy.sqlite").exists()
    ballast.unlink()
    (small_disk / "more ballast").unlink()
    out, errors = start_writer(path, "again", 5).communicate(timeout=120)
    assert (out.splitlines(), errors) == ([f"again-{n}" for n in range(5)], "")
    with open_book(path) as book:
        assert len(book.entries()) == len(said) + 5
        assert what_is_wrong(book) == ()


def test_no_room_even_to_make_a_book(small_disk: Path) -> None:
    fill_up(small_disk / "ballast")
    with pytest.raises(BookTrouble, match="disk is full"):
        make(small_disk / BOOK_FILE, fill_with([]))
    assert [file.name for file in small_disk.iterdir()] == ["ballast"]


def test_a_restore_on_a_full_disk_leaves_the_book(small_disk: Path, tmp_path: Path) -> None:
    path, copy = small_disk / BOOK_FILE, tmp_path / "copy.sqlite"
    make(path, fill_with([]))
    with open_book(path) as book:
        backup(book, copy)
    fill_up(small_disk / "ballast")
    before, names = path.read_bytes(), sorted(file.name for file in small_disk.iterdir())
    with pytest.raises(BookTrouble, match=r"disk is full.*the book is as it was"):
        restore(copy, path)
    assert path.read_bytes() == before
    assert sorted(file.name for file in small_disk.iterdir()) == names
    with open_book(path, reading=True) as book:
        assert what_is_wrong(book) == ()


LIMITED = """
import resource, runpy, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (700_000, 700_000))
sys.argv = sys.argv[1:]
runpy.run_path(sys.argv[0], run_name="__main__")
"""


def test_files_may_grow_no_further(path: Path) -> None:
    """No mount needed: the system refuses to let any file grow past 700 kB."""
    out = run(LIMITED, str(Path(__file__).with_name("writer.py")), str(path), "limited")
    *said, trouble = out.splitlines()
    assert "the disk" in trouble
    assert "Traceback" not in out
    assert len(said) > 10
    with open_book(path) as book:
        kept = [line.number for line in book.entries()]
        assert len(kept) == len(said)
        assert what_is_wrong(book) == ()


READER = """
import os, sys, tempfile, uuid  # root's Python cannot be read by another user
from datetime import date
from fractions import Fraction
from pathlib import Path
from pantrymeals.book.book import open_book
from pantrymeals.book.lines import Line, LotFacts, NewEntry
from pantrymeals.book.writing import write
from pantrymeals.errors import PantryError
if os.geteuid() == 0 and len(sys.argv) > 2:
    os.setgid(int(sys.argv[2])); os.setuid(int(sys.argv[2]))
path = Path(sys.argv[1])
with open_book(path, reading=True) as book:
    print("on hand", sum(here.count for here in book.on_hand()))
try:
    with open_book(path) as book:
        write(book, NewEntry(date(2026, 1, 17), "x"),
              lambda _: [Line(LotFacts("Rice", "lb"), "D", Fraction(1), "bought")])
    print("entered")
except PantryError as error:
    print(error)
"""


RESTORER = """
import os, sys, uuid  # root's Python cannot be read by another user
from pathlib import Path
from pantrymeals.book.keep import restore
from pantrymeals.errors import PantryError
if os.geteuid() == 0:
    os.setgid(int(sys.argv[3])); os.setuid(int(sys.argv[3]))
try:
    restore(Path(sys.argv[1]), Path(sys.argv[2]))
    print("restored")
except PantryError as error:
    print(error)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another user may look into."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.parametrize("waiting", [False, True])
def test_a_folder_that_may_only_be_read(open_folder: Path, start_writer: Writer, waiting: bool) -> None:
    """Root may write anywhere, so root's test reads as another user. waiting: with lines not yet home."""
    path = open_folder / BOOK_FILE
    make(path, fill_with([]))
    if waiting:
        writer = start_writer(path, "some")
        assert writer.stdout is not None
        for _ in range(10):
            writer.stdout.readline()
        writer.kill()
        writer.communicate()
        assert path.with_name(path.name + "-wal").stat().st_size > 0
        path.with_name(path.name + "-shm").unlink()
    else:
        start_writer(path, "some", 10).communicate()
    before = {file.name: file.read_bytes() for file in open_folder.iterdir()}
    for file in open_folder.iterdir():
        file.chmod(0o444)
    open_folder.chmod(0o555)
    first, second = run(READER, str(path), str(NOBODY)).splitlines()
    assert int(first.removeprefix("on hand ")) >= 10
    assert "may be read but not written, so nothing was entered; the book is as it was" in second
    open_folder.chmod(0o755)
    assert {file.name: file.read_bytes() for file in open_folder.iterdir()} == before


def test_a_disk_that_may_only_be_read(small_disk: Path, start_writer: Writer) -> None:
    path = small_disk / BOOK_FILE
    make(path, fill_with([]))
    start_writer(path, "some", 10).communicate()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    first, second = run(READER, str(path)).splitlines()
    assert first == "on hand 10"
    assert "may be read but not written" in second


def test_a_report_on_a_full_disk_is_whole_or_not_there(small_disk: Path) -> None:
    file = small_disk / "run-out.csv"
    write_safely(file, b"old")
    fill_up(small_disk / "ballast")
    before = {f.name for f in small_disk.iterdir()}
    with pytest.raises(PantryError, match="No space left on device; make room"):
        write_safely(file, b"x" * 500_000)
    assert file.read_bytes() == b"old"
    assert {f.name for f in small_disk.iterdir()} == before


def test_a_full_disk_can_still_be_looked_at(small_disk: Path) -> None:
    """'lots' on a full disk, before there is a book and with one, which SQLite would write beside even to read."""
    for name in ("products.csv", "household.yaml", "stock.csv"):
        shutil.copy(ROOT / "tests" / "kitchens" / "hut" / name, small_disk / name)
    fill_up(small_disk / "ballast")
    look = [sys.executable, "-m", "pantrymeals", "lots", "green beans", "--larder", str(small_disk)]
    told = []
    for _ in range(2):
        done = subprocess.run(
            look, capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": str(ROOT)}
        )
        assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
        told.append(done.stdout)
        (small_disk / "ballast").unlink(missing_ok=True)
        tally = [*look[:3], "tally", "1 qt", "green", "beans", "--larder", str(small_disk)]
        assert subprocess.run(tally, capture_output=True, check=False, cwd=ROOT).returncode == 0
        fill_up(small_disk / "ballast")
    assert "12 qt" in told[0]
    assert "11 qt" in told[1]


@pytest.mark.parametrize("there", [True, False])
def test_a_restore_where_nothing_may_be_written_says_so(open_folder: Path, there: bool) -> None:
    copy, home = open_folder / "copy.sqlite", open_folder / "home"
    home.mkdir()
    make(copy, fill_with([]))
    if there:
        make(home / BOOK_FILE, fill_with([]))
    home.chmod(0o555)
    copy.chmod(0o644)
    said = run(RESTORER, str(copy), str(home / BOOK_FILE), str(NOBODY))
    assert "this folder may be read but not written" in said
    assert ("the book is as it was" in said) == there
    assert ("there is no book here, as before" in said) != there
    assert [file.name for file in home.iterdir()] == [BOOK_FILE] * there
