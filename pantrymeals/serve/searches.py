"""Long questions in worker processes: each tells how far it is, can be stopped, and never holds up a page."""

from __future__ import annotations

import multiprocessing
import os
import secrets
import signal
import threading
import time
import traceback
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Literal

from pantrymeals.actions.progress import KitchenWatch
from pantrymeals.errors import PantryError
from pantrymeals.serve.kitchen import Kitchen
from pantrymeals.serve.questions import QUESTIONS, Asked, Found, answer

State = Literal["waiting", "working", "done", "failed", "stopped"]

_KEPT = 40
_AT_ONCE = 2
_WAITING = 8
_TELL_EVERY_S = 0.3
_GRACE_S = {"menu": 30.0, "replan": 15.0, "no-store": 60.0}
"""How long a planner that was asked for its best so far may take to bring it; what has none ends at once."""


@dataclass
class Search:
    """One question on its way. stamp: how the household stood when it was asked."""

    number: str
    asked: Asked
    stamp: str
    state: State = "waiting"
    line: str = "waiting for its turn"
    began: float = field(default_factory=time.monotonic)
    ended: float | None = None
    found: Found | None = None
    trouble: str = ""
    stopping: bool = False

    @property
    def over(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in ("done", "failed", "stopped")

    @property
    def seconds(self) -> int:
        """How long it has been at it."""
        return int((self.ended or time.monotonic()) - self.began)


class TooMany(PantryError):
    """More questions than can wait."""


class Searches:
    """The questions of one run, two at work at once."""

    def __init__(self, kitchen: Kitchen) -> None:
        self._kitchen = kitchen
        self._known: OrderedDict[str, Search] = OrderedDict()
        self._lock = threading.Lock()
        self._turn = threading.Semaphore(_AT_ONCE)
        self._processes: dict[str, tuple[multiprocessing.process.BaseProcess, threading.Event]] = {}
        self._closed = False

    def get(self, number: str) -> Search | None:
        """A question by its number."""
        return self._known.get(number)

    def latest(self, question: str, said: Mapping[str, str] | None = None) -> Search | None:
        """The last answer to a question, whatever came since; None where none is known."""
        wanted = dict(said or {})
        with self._lock:
            found = [s for s in self._known.values() if s.asked.question == question and dict(s.asked.said) == wanted]
        return next((s for s in reversed(found) if s.state == "done"), None)

    def ask(self, question: str, said: Mapping[str, str] | None = None, *, anew: bool = False) -> Search:
        """A question begun; the one at work or answered already, where nothing has changed since. Raises TooMany."""
        assert question in QUESTIONS
        wanted, stamp = dict(said or {}), self._kitchen.stamp()
        with self._lock:
            for known in reversed(self._known.values()):
                same = known.asked.question == question and dict(known.asked.said) == wanted and known.stamp == stamp
                if same and known.state not in ("failed", "stopped") and not (anew and known.over):
                    return known
            if sum(not s.over for s in self._known.values()) >= _WAITING:
                raise TooMany("So many questions are being worked on that no more can wait; look again in a minute.")
            asked = Asked(question, self._kitchen.folder, self._kitchen.today, wanted)
            search = Search(secrets.token_urlsafe(9), asked, stamp)
            self._known[search.number] = search
            for number in [n for n, s in self._known.items() if s.over][: max(0, len(self._known) - _KEPT)]:
                del self._known[number]
        threading.Thread(target=self._work, args=(search,), name=f"search {question}", daemon=True).start()
        return search

    def stop(self, search: Search) -> None:
        """Ask for the best so far; what has none by then is ended."""
        search.stopping = True
        at_work = self._processes.get(search.number)
        if at_work is not None:
            at_work[1].set()

    def close(self) -> None:
        """End every process."""
        self._closed = True
        for process, _ in list(self._processes.values()):
            process.kill()
        for process, _ in list(self._processes.values()):
            process.join(5)

    def _work(self, search: Search) -> None:
        with self._turn:
            if search.stopping or self._closed:
                search.state, search.ended = "stopped", time.monotonic()
                return
            search.state, search.line, search.began = "working", "reading the larder", time.monotonic()
            spawn = multiprocessing.get_context("spawn")
            here, there = spawn.Pipe()
            enough = threading.Event()
            process = spawn.Process(target=_in_a_process, args=(there, search.asked, os.getpid()), daemon=True)
            self._processes[search.number] = (process, enough)
            try:
                process.start()
                there.close()
                _listen(search, here, enough, process)
            finally:
                search.ended = time.monotonic()
                self._processes.pop(search.number, None)
                here.close()
                if process.is_alive():
                    process.kill()
                process.join(5)


def _listen(
    search: Search, here: Connection, enough: threading.Event, process: multiprocessing.process.BaseProcess
) -> None:
    """Take what a worker tells until it is done, has failed, or was stopped and brings nothing."""
    until = None
    while True:
        if enough.is_set() and until is None:
            until = time.monotonic() + _GRACE_S.get(search.asked.question, 0.0)
            search.line = "enough: bringing the best so far"
            with suppress(OSError):
                here.send("enough")
        if until is not None and time.monotonic() > until:
            search.state = "stopped"
            return
        try:
            if not here.poll(_TELL_EVERY_S):
                if process.is_alive():
                    continue
                if not here.poll(0):
                    raise EOFError
            kind, told = here.recv()
        except (EOFError, OSError):
            search.state, search.trouble = "failed", "The search broke off. Ask again."
            return
        if kind == "line" and until is None:
            search.line = told
        elif kind == "found":
            search.found, search.state = told, "done"
            return
        elif kind == "trouble":
            search.trouble, search.state = told, "failed"
            return


class _Told(KitchenWatch):
    """A watch whose last word goes to the page."""

    def __init__(self, there: Connection) -> None:
        super().__init__()
        self._there = there
        self._last = 0.0

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:
        """Keep the line, and pass it on now and then."""
        super().progress(done, cost, bound, open_roles)
        if time.monotonic() - self._last >= _TELL_EVERY_S:
            self._last = time.monotonic()
            self._there.send(("line", self.line))


def _in_a_process(there: Connection, asked: Asked, parent: int) -> None:
    """Answer one question, telling how far it is; ends by itself where the page has gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the page's own: it ends its workers
    with suppress(OSError):
        os.nice(5)
    watch = _Told(there)

    def hear() -> None:
        while True:
            with suppress(EOFError, OSError):
                if there.poll(1.0) and there.recv() == "enough":
                    watch.enough()
            if os.getppid() != parent:
                os._exit(1)

    threading.Thread(target=hear, daemon=True).start()
    try:
        there.send(("found", answer(asked, watch)))
    except PantryError as error:
        there.send(("trouble", str(error)))
    except Exception:
        traceback.print_exc()
        there.send(
            ("trouble", "The search fell over: this is our mistake, not yours. The laptop's terminal says where.")
        )
    os._exit(0)
