"""Ctrl-C while a command plans: the best so far, looked over, or an end at once; never an aborted process."""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from pantrymeals.actions.progress import BEST_SO_FAR, STOPS, in_one_line

DEMO = Path(__file__).parents[3] / "demo"


@pytest.fixture(scope="module")
def larder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("stopped") / "demo"
    shutil.copytree(DEMO, folder)
    return folder


def stopped(larder: Path, words: Sequence[str], *after: float) -> tuple[int, str, str, float]:
    """(code, output, what else was said, seconds from the last Ctrl-C) of a command once it is loaded."""
    command = [sys.executable, "-m", "pantrymeals", *words, "--larder", str(larder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stderr is not None
        first = running.stderr.readline()  # the day it is dated by: then all is loaded and read
        assert first.startswith("Dated"), first
        for seconds in after:
            time.sleep(seconds)
            running.send_signal(signal.SIGINT)
        begun = time.monotonic()
        out, said = running.communicate(timeout=60)
    return running.returncode, out, said, time.monotonic() - begun


@pytest.mark.parametrize("words", [("season",), ("run-out", "--paths", "100000")])
def test_what_has_nothing_to_bring_stops_at_once(larder: Path, words: tuple[str, ...]) -> None:
    code, out, said, seconds = stopped(larder, words, 0.3)
    assert (code, out, said) == (130, "", "Stopped; nothing was written.\n")
    assert seconds < 5


def test_two_in_a_row_never_abort(larder: Path) -> None:
    code, out, said, _ = stopped(larder, ("menu", "--days", "14", "--seconds", "40"), 0.5, 0.5)
    assert (code, out, said) == (130, "", "Stopped; nothing was written.\n")


@pytest.mark.slow
@pytest.mark.parametrize("after", [1.0, 8.0])
def test_a_long_menu_brings_the_best_so_far_looked_over(larder: Path, after: float) -> None:
    code, out, said, seconds = stopped(larder, ("menu", "--days", "14", "--seconds", "40"), after)
    assert "do not cook" not in out
    assert "broken rule" not in said
    assert code == 0 or (code == 1 and said.startswith("stopped before a first menu"))
    assert seconds < 15  # five on a machine of its own


@pytest.mark.parametrize("tail", [BEST_SO_FAR, STOPS])
def test_the_line_never_loses_what_ctrl_c_does(tail: str) -> None:
    long = "days 358 to 364, 12 still open, at most 48% from the best there can be"
    line = in_one_line(long, 1234.5, tail)
    assert line.endswith(f" · 1234 s · {tail}")
    assert line.startswith("days 358 to 364")
    assert len(line) <= 76
    assert len(in_one_line("x" * 200, 1.0, tail)) <= 76
