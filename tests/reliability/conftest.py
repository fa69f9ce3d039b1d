"""How hard to press: a short run by default, the full counts with PANTRYMEALS_FULL=1."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest

from pantrymeals.book.connect import BOOK_FILE, make
from pantrymeals.book.writing import fill_with

WRITER = Path(__file__).with_name("writer.py")
ROOT = Path(__file__).parents[2]
FULL = os.environ.get("PANTRYMEALS_FULL", "") not in ("", "0")


@pytest.fixture
def kills() -> int:
    """How often a writer is killed: 40, or 1,000 in full; PANTRYMEALS_KILLS says otherwise."""
    return int(os.environ.get("PANTRYMEALS_KILLS", "1000" if FULL else "40"))


@pytest.fixture
def each_writes() -> int:
    """How many entries each of the eight writers makes: 60, or 500 in full."""
    return 500 if FULL else 60


@pytest.fixture
def path(tmp_path: Path) -> Path:
    place = tmp_path / BOOK_FILE
    make(place, fill_with([]))
    return place


@pytest.fixture
def small_disk() -> Iterator[Path]:
    """A disk of 1 MB of its own. Skips where this user may not mount one."""
    folder = Path(tempfile.mkdtemp())
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)], capture_output=True, check=False
    )
    if done.returncode:
        folder.rmdir()
        pytest.skip("a small disk can only be mounted by root")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)
        folder.rmdir()


def start_writer(path: Path, prefix: str, many: int | None = None) -> subprocess.Popen[str]:
    """A writer in a process of its own."""
    arguments = [sys.executable, str(WRITER), str(path), prefix, *([str(many)] if many is not None else [])]
    return subprocess.Popen(
        arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip


@pytest.fixture(name="start_writer")
def _start_writer() -> object:
    return start_writer


OLD_BOOKS = Path(__file__).with_name("old_books")


@pytest.fixture
def old_book(tmp_path: Path) -> Callable[[int], Path]:
    """Makes a book of an older version from its stored copy, each time in a folder of its own."""
    numbers = count()

    def made(version: int) -> Path:
        folder = tmp_path / f"old{next(numbers)}"
        folder.mkdir()
        with closing(sqlite3.connect(folder / BOOK_FILE)) as db:
            db.executescript((OLD_BOOKS / f"v{version}.sql").read_text(encoding="utf-8"))
            db.execute("PRAGMA journal_mode = WAL")
        return folder / BOOK_FILE

    return made
