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
from tests.kitchens.clock import slower

DEMO = Path(__file__).parents[3] / "demo"


@pytest.fixture(scope="module")
def larder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("stopped") / "demo"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    return folder


AT_WORK = """
import sys
from pantrymeals.actions import progress
begin = progress._beside
def said(*asked):
    print("at work", file=sys.stderr, flush=True)
    return begin(*asked)
progress._beside = said
from pantrymeals.cli.main import main
main()
"""


def stopped(larder: Path, words: Sequence[str], *after: float) -> tuple[int, str, str, float]:
    """(code, output, what else was said, seconds from the last Ctrl-C) of a command once it is at work."""
    command = [sys.executable, "-c", AT_WORK, *words, "--larder", str(larder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stderr is not None
        while "at work" not in (line := running.stderr.readline()):
            assert line, "it ended before it was at work"
        for seconds in after:
            time.sleep(seconds)
            if running.poll() is not None:
                pytest.skip("it was done before it was stopped")
            running.send_signal(signal.SIGINT)
        begun = time.monotonic()
        out, said = running.communicate(timeout=90)
    return running.returncode, out, said, time.monotonic() - begun


@pytest.mark.parametrize("after", [0.3, 1.5, 2.5])
@pytest.mark.parametrize("words", [("season",), ("sitters",), ("run-out", "--paths", "100000")])
def test_what_has_nothing_to_bring_stops_at_once(larder: Path, words: tuple[str, ...], after: float) -> None:
    """While it reads, while it draws futures, while a solver is at work."""
    code, out, said, seconds = stopped(larder, words, after)
    if code == 0 and seconds < 0.2:
        pytest.skip("it was ending as it was stopped")
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
    assert code == 0 or (code == 1 and said.startswith("stopped before a first whole menu"))
    assert seconds < 15 * slower()  # five on a usual machine of its own


ANNOUNCED = Path(__file__).parents[2] / "golden" / "demo_week.json"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "after", "sign"),
    [
        (("menu", "--seconds", "60"), 0.5, "WHAT PINCHES"),
        (("replan", "--plan", f"{ANNOUNCED}", "--headcount", "Thu=14", "--seconds", "60"), 0.5, "WHAT CHANGES"),
        (("weeks", "--weeks", "9", "--seconds", "60"), 0.5, "# "),
        (("no-store", "--days", "5", "--seconds", "120"), 4.0, "THE LONGEST RUN"),
    ],
)
def test_the_best_so_far_is_brought_and_looked_over(
    larder: Path, words: tuple[str, ...], after: float, sign: str
) -> None:
    code, out, said, seconds = stopped(larder, words, after)
    assert code == 0, said
    assert sign in out
    assert "do not cook" not in out.lower()
    assert "broken rule" not in said
    assert "left open" not in out
    assert seconds < 45  # five on a machine of its own


@pytest.mark.parametrize(("kind", "code"), [("RuntimeError", 130), ("ImportError", 130), ("ValueError", 1)])
def test_a_ctrl_c_that_a_library_wrapped_while_it_was_loaded_is_one(kind: str, code: int) -> None:
    program = f"""
from pantrymeals.cli import main
def loaded(_):
    try:
        raise KeyboardInterrupt
    except KeyboardInterrupt as stop:
        raise {kind}("could not be loaded") from stop
main.read_plainly = loaded
main.main()
"""
    done = subprocess.run([sys.executable, "-c", program, "--version"], capture_output=True, text=True, check=False)
    assert done.returncode == code
    assert (done.stderr == "Stopped; nothing was written.\n") == (code == 130)


@pytest.mark.parametrize("tail", [BEST_SO_FAR, STOPS])
def test_the_line_never_loses_what_ctrl_c_does(tail: str) -> None:
    long = "days 358 to 364, 12 still open, at most 48% from the best there can be"
    line = in_one_line(long, 1234.5, tail)
    assert line.endswith(f" · 1234 s · {tail}")
    assert line.startswith("days 358 to 364")
    assert len(line) <= 76
    assert len(in_one_line("x" * 200, 1.0, tail)) <= 76
    assert in_one_line("x" * 200, 1.0, tail).endswith(tail)
