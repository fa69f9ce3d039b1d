"""Watches the planner at work: says on the terminal how far it is, and takes Ctrl-C for 'enough'."""

from __future__ import annotations

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from types import FrameType
from typing import TextIO, TypeVar

from pantrymeals.menu.request import Watch as Watch

Made = TypeVar("Made")

_LOOK_EVERY_S = 0.1


class KitchenWatch:
    """Keeps the last word from the planner, and whether the cook has had enough.

    The planner tells it from a thread of its own, so it only keeps values and draws nothing.
    """

    def __init__(self) -> None:
        self.line = "reading the larder"
        self._enough = threading.Event()

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:
        """Keep one line that says how far the planner is."""
        parts = [done]
        if open_roles:
            parts.append(f"{open_roles} still open")
        if cost is not None and bound is not None:
            # The lead over the bound means something to a cook only once it is small.
            share = (cost - bound) / max(cost, 1.0)
            if share <= 0.5:
                parts.append(f"at most {share:.0%} from the best there can be")
        self.line = ", ".join(parts)

    def stopped(self) -> bool:
        """True once the cook has said 'enough'."""
        return self._enough.is_set()

    def enough(self) -> None:
        """Ask the planner to come back with the best plan so far."""
        self.line = "enough: bringing the best menu so far"
        self._enough.set()


BEST_SO_FAR, STOPS = "Ctrl-C for the best so far", "Ctrl-C stops"
_WIDTH = 76


def at_once(work: Callable[[], Made], doing: str, *, quiet: bool = False) -> Made:
    """What ``work`` makes, as ``watched`` does, where there is nothing to bring before it is done.

    doing: what the line says meanwhile. The first Ctrl-C gives up (KeyboardInterrupt).
    """

    def told(watch: Watch) -> Made:
        watch.progress(doing, None, None, None)
        return work()

    return _beside(told, quiet, None, STOPS)


def watched(work: Callable[[Watch], Made], *, quiet: bool = False, out: TextIO | None = None) -> Made:
    """What ``work`` makes, with its progress on ``out`` (standard error) when that is a terminal.

    The work runs in a thread: Python hears Ctrl-C only between steps of its main thread, and a
    solver is one long step. The first Ctrl-C asks for the best so far; a second one gives up
    (KeyboardInterrupt). Whatever the work raises is raised here.
    """
    return _beside(work, quiet, out, BEST_SO_FAR)


def _beside(work: Callable[[Watch], Made], quiet: bool, out: TextIO | None, ctrl_c: str) -> Made:
    """What the work makes in a thread of its own. ctrl_c: what the line says that Ctrl-C does."""
    watch = KitchenWatch()
    made: list[Made] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            made.append(work(watch))
        except BaseException as error:
            failed.append(error)

    thread = threading.Thread(target=run, name="planner", daemon=True)
    kindly = _taking_ctrl_c(watch) if ctrl_c == BEST_SO_FAR else nullcontext()
    with kindly, _status_line(watch, quiet, out or sys.stderr, ctrl_c) as draw:
        thread.start()
        while thread.is_alive():
            thread.join(_LOOK_EVERY_S)
            draw()
    if failed:
        raise failed[0]
    return made[0]


@contextmanager
def _taking_ctrl_c(watch: KitchenWatch) -> Iterator[None]:
    """The first Ctrl-C stops the planner kindly; after it the usual meaning is back."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    usual = signal.getsignal(signal.SIGINT)

    def first_time(_number: int, _frame: FrameType | None) -> None:
        watch.enough()
        signal.signal(signal.SIGINT, signal.default_int_handler)

    signal.signal(signal.SIGINT, first_time)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)


@contextmanager
def _status_line(watch: KitchenWatch, quiet: bool, out: TextIO, ctrl_c: str) -> Iterator[Callable[[], None]]:
    """A turning line with the time gone by; nothing at all where ``out`` is no terminal."""
    if quiet or not out.isatty():
        yield lambda: None
        return
    from rich.console import Console

    began = time.monotonic()
    console = Console(file=out, markup=False, highlight=False, width=79)
    with console.status("") as status:

        def draw() -> None:
            status.update(in_one_line(watch.line, time.monotonic() - began, ctrl_c))

        yield draw


def in_one_line(line: str, seconds: float, ctrl_c: str) -> str:
    """How far it is, for how long, and what Ctrl-C does: what is too long loses its last parts, never that."""
    tail = f" · {seconds:.0f} s · {ctrl_c}"
    while len(line) + len(tail) > _WIDTH and ", " in line:
        line = line.rpartition(", ")[0]
    return line[: _WIDTH - len(tail)] + tail
