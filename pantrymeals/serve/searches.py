"""Long questions in worker processes: each tells how far it is, can be stopped, and never holds up a page."""

from __future__ import annotations

import pickle
import queue
import secrets
import subprocess
import sys
import threading
import time
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Literal

from msgspec import Struct, field

from pantrymeals.errors import PantryError
from pantrymeals.serve.house import House
from pantrymeals.serve.questions import QUESTIONS, Brought, QuestionAsked

State = Literal["waiting", "working", "done", "failed", "stopped"]

_KEPT = 40
_AT_ONCE = 2
_WAITING = 8
_LOOK_EVERY_S = 0.2
_GRACE_S = {"menu": 60.0, "replan": 60.0, "no-store": 120.0}
"""How long a planner that was asked for its best so far may take to bring it; what has none ends at once."""


class Search(Struct):
    """One question on its way. stamp: how the household stood when it was asked."""

    number: str
    asked: QuestionAsked
    stamp: str
    state: State = "waiting"
    line: str = "waiting for its turn"
    began: float = field(default_factory=time.monotonic)
    ended: float | None = None
    found: Brought | None = None
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

    def __init__(self, kitchen: House) -> None:
        self._kitchen = kitchen
        self._known: OrderedDict[str, Search] = OrderedDict()
        self._lock = threading.Lock()
        self._turn = threading.Semaphore(_AT_ONCE)
        self._workers: dict[str, subprocess.Popen[bytes]] = {}
        self._closed = False

    def get(self, number: str) -> Search | None:
        """A question by its number."""
        return self._known.get(number)

    def latest(self, question: str) -> Search | None:
        """The last answer to a question asked in no more words, whatever came since; None where none is known."""
        with self._lock:
            found = [s for s in self._known.values() if s.asked.question == question and not s.asked.said]
        return next((s for s in reversed(found) if s.state == "done"), None)

    def ask(
        self, question: str, said: Mapping[str, str] | None = None, *, anew: bool = False, retry: bool = True
    ) -> Search:
        """A question begun; the one at work or answered already, where nothing has changed since. Raises TooMany.

        anew: also where it was answered; retry: where it failed or was stopped.
        """
        assert question in QUESTIONS
        wanted, stamp = dict(said or {}), self._kitchen.stamp()
        with self._lock:
            for known in reversed(self._known.values()):
                same = known.asked.question == question and dict(known.asked.said) == wanted and known.stamp == stamp
                if same and not (anew and known.over) and not (retry and known.state in ("failed", "stopped")):
                    return known
            if sum(not s.over for s in self._known.values()) >= _WAITING:
                raise TooMany("So many questions are being worked on that no more can wait; look again in a minute.")
            asked = QuestionAsked(question, self._kitchen.folder, self._kitchen.today, wanted)
            search = Search(secrets.token_urlsafe(9), asked, stamp)
            self._known[search.number] = search
            for number in [n for n, s in self._known.items() if s.over][: max(0, len(self._known) - _KEPT)]:
                del self._known[number]
        threading.Thread(target=self._work, args=(search,), name=f"search {question}", daemon=True).start()
        return search

    def stop(self, search: Search) -> None:
        """Ask for the best so far; what has none by then is ended."""
        search.stopping = True

    def close(self) -> None:
        """End every process."""
        self._closed = True
        for worker in list(self._workers.values()):
            worker.kill()

    def _work(self, search: Search) -> None:
        with self._turn:
            if search.stopping or self._closed:
                search.state, search.ended = "stopped", time.monotonic()
                return
            search.state, search.line, search.began = "working", "reading the larder", time.monotonic()
            worker = subprocess.Popen(
                [sys.executable, "-m", "pantrymeals.serve.worker"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
            )
            self._workers[search.number] = worker
            try:
                _send(worker, search.asked)
                _listen(search, worker)
            finally:
                search.ended = time.monotonic()
                self._workers.pop(search.number, None)
                worker.kill()
                worker.communicate()


def _send(worker: subprocess.Popen[bytes], what: object) -> None:
    """Tell a worker something; one that is gone hears nothing."""
    assert worker.stdin is not None
    with suppress(OSError):
        pickle.dump(what, worker.stdin)
        worker.stdin.flush()


def _listen(search: Search, worker: subprocess.Popen[bytes]) -> None:
    """Take what a worker tells until it is done, has failed, or was stopped and brings nothing."""
    told: queue.Queue[tuple[str, Any]] = queue.Queue()
    threading.Thread(target=_hear, args=(worker, told), daemon=True).start()
    until = None
    while True:
        if search.stopping and until is None:
            until = time.monotonic() + _GRACE_S.get(search.asked.question, 0.0)
            search.line = "enough: bringing the best so far"
            _send(worker, "enough")
        if until is not None and time.monotonic() > until:
            search.state = "stopped"
            return
        try:
            kind, what = told.get(timeout=_LOOK_EVERY_S)
        except queue.Empty:
            continue
        if kind == "line":
            search.line = what if until is None else search.line
        elif kind == "found":
            search.found, search.state = what, "done"
            return
        else:
            search.trouble, search.state = what, "failed"
            return


def _hear(worker: subprocess.Popen[bytes], told: queue.Queue[tuple[str, Any]]) -> None:
    assert worker.stdout is not None
    try:
        while True:
            told.put(pickle.load(worker.stdout))
    except (EOFError, OSError, ValueError, pickle.UnpicklingError):
        told.put(("trouble", "The search broke off. Ask again."))
