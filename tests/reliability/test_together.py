"""Eight people writing at once: everything is entered, once, and nobody hears of a locked database."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE
from pantrymeals.book.keep import what_is_wrong

WRITERS = 8


def test_eight_writers_at_once(
    path: Path, each_writes: int, start_writer: Callable[..., subprocess.Popen[str]]
) -> None:
    writers = [start_writer(path, f"writer{n}", each_writes) for n in range(WRITERS)]
    said = [writer.communicate(timeout=300) for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * WRITERS
    assert [len(out.split()) for out, _ in said] == [each_writes] * WRITERS
    assert all(errors == "" and "trouble" not in out and "locked" not in out for out, errors in said)
    with open_book(path) as book:
        assert len(book.entries()) == WRITERS * each_writes
        assert sum(here.count for here in book.on_hand()) == WRITERS * each_writes
        assert what_is_wrong(book) == ()


def test_eight_writers_send_the_same_keys(path: Path, start_writer: Callable[..., subprocess.Popen[str]]) -> None:
    """The same keys from eight sides at once count once."""
    writers = [start_writer(path, "same", 20) for _ in range(WRITERS)]
    for writer in writers:
        out, errors = writer.communicate(timeout=300)
        assert (len(out.split()), errors) == (20, "")
    with open_book(path) as book:
        assert len(book.entries()) == 20
        assert sum(here.count for here in book.on_hand()) == 20


ROOT = Path(__file__).parents[2]


def test_eight_people_type_a_command_before_there_is_a_book(tmp_path: Path) -> None:
    """The first of them makes the book from its twin; all eight are entered in that one book."""
    demo = tmp_path / "demo"
    shutil.copytree(ROOT / "demo", demo, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    tally = [sys.executable, "-m", "pantrymeals", "tally", "1 qt applesauce", "--larder", str(demo)]
    people = [
        subprocess.Popen(
            tally, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        for _ in range(WRITERS)
    ]  # fmt: skip
    for person in people:
        out, errors = person.communicate(timeout=120)
        # the demo's own day is past, which is said; nothing else is
        assert (person.returncode, errors.count("\n"), errors[:17]) == (0, 2, "Dated 2026-01-17,")
        assert errors.endswith("go by the calendar.\n")
        assert "Entered, no. " in out
    with open_book(demo / BOOK_FILE) as book:
        assert sum(here.count for here in book.on_hand("Applesauce")) == 72 - WRITERS
        assert what_is_wrong(book) == ()
    assert sorted(f.name for f in demo.iterdir() if "sqlite" in f.name) == [BOOK_FILE]
