"""The watch: what it says, and what Ctrl-C does while a planner works."""

from __future__ import annotations

import io
import os
import signal
import threading
import time

import pytest

from pantrymeals.actions.progress import BEST_SO_FAR, KitchenWatch, watched
from pantrymeals.menu.request import Watch


def test_the_line_says_what_is_open_and_how_near_the_best() -> None:
    watch = KitchenWatch()
    watch.progress("the whole menu", 103.0, 100.0, 2)
    assert watch.line == "the whole menu, 2 still open, at most 3% from the best there can be"
    watch.progress("the whole menu", None, None, None)
    assert watch.line == "the whole menu"
    watch.progress("the whole menu", 300.0, 100.0, 0)
    assert watch.line == "the whole menu"


def test_work_is_handed_back_and_its_errors_too() -> None:
    assert watched(lambda watch: watch.stopped(), out=io.StringIO()) is False

    def fails(_watch: Watch) -> None:
        raise ValueError("no beans")

    with pytest.raises(ValueError, match="no beans"):
        watched(fails, out=io.StringIO())


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def drawn(out: io.StringIO, *, quiet: bool) -> str:
    """What work of a third of a second draws on a stream."""

    def work(watch: Watch) -> None:
        watch.progress("laying the days", 1.0, 1.0, 0)
        time.sleep(0.3)

    watched(work, out=out, quiet=quiet)
    return out.getvalue()


def test_nothing_is_drawn_where_there_is_no_terminal_or_plain_was_asked() -> None:
    assert drawn(io.StringIO(), quiet=False) == ""
    assert drawn(Terminal(), quiet=True) == ""
    line = drawn(Terminal(), quiet=False)
    assert "laying the days" in line
    assert BEST_SO_FAR in line


def test_ctrl_c_asks_for_the_best_so_far_and_the_usual_meaning_comes_back() -> None:
    before = signal.getsignal(signal.SIGINT)

    def patient(watch: Watch) -> str:
        threading.Timer(0.2, lambda: os.kill(os.getpid(), signal.SIGINT)).start()
        end = time.monotonic() + 10
        while not watch.stopped():
            assert time.monotonic() < end, "was never told to stop"
            time.sleep(0.01)
        return "the best so far"

    assert watched(patient, out=io.StringIO()) == "the best so far"
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_ctrl_c_gives_up() -> None:
    leave = threading.Event()

    def deaf(_watch: Watch) -> None:
        for wait in (0.1, 0.5):
            threading.Timer(wait, lambda: os.kill(os.getpid(), signal.SIGINT)).start()
        leave.wait(10)

    with pytest.raises(KeyboardInterrupt):
        watched(deaf, out=io.StringIO())
    leave.set()
