"""One long question answered in a process of its own: asked through its standard input, told through its output.

Page and worker are one program on one machine, so they pass each other pickled records. When the page goes, so does
the standard input, and the worker ends.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
import time
import traceback
from contextlib import suppress
from typing import BinaryIO

from pantrymeals.actions.progress import KitchenWatch
from pantrymeals.errors import PantryError
from pantrymeals.serve.questions import QuestionAsked, answer

_TELL_EVERY_S = 0.3


class TellingWatch(KitchenWatch):
    """A watch whose last word goes to the page now and then."""

    def __init__(self, out: BinaryIO) -> None:
        super().__init__()
        self._out = out
        self._last = 0.0

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:
        """Keep the line, and pass it on."""
        super().progress(done, cost, bound, open_roles)
        if time.monotonic() - self._last >= _TELL_EVERY_S:
            self._last = time.monotonic()
            tell(self._out, "line", self.line)


def tell(out: BinaryIO, kind: str, what: object) -> None:
    """Tell the page something; one that is gone hears nothing."""
    with suppress(OSError):
        pickle.dump((kind, what), out)
        out.flush()


def main() -> None:
    """Answer one question."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the page's own: it ends its workers
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a solver prints must not come between
    with suppress(OSError):
        os.nice(5)
    asked: QuestionAsked = pickle.load(sys.stdin.buffer)
    watch = TellingWatch(out)
    threading.Thread(target=_hear, args=(watch,), daemon=True).start()
    try:
        tell(out, "found", answer(asked, watch))
    except PantryError as error:
        tell(out, "trouble", error.plain)
    except Exception:
        traceback.print_exc()
        tell(out, "trouble", "The search fell over: this is our mistake, not yours. The laptop's terminal says where.")
    os._exit(0)


def _hear(watch: KitchenWatch) -> None:
    """'enough' asks for the best so far; the end of the input ends the worker."""
    with suppress(EOFError, OSError):
        while True:
            if pickle.load(sys.stdin.buffer) == "enough":
                watch.enough()
    os._exit(1)


if __name__ == "__main__":
    main()
