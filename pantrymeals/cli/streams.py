"""What goes out to the terminal, and what is said when it cannot: no control character of a name, no traceback."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import re
import sys
from collections.abc import Iterable
from pathlib import Path

from pantrymeals.errors import PantryError

_CONTROLS = re.compile(r"(?!\x1b\[[0-9;]*m)[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Characters that move a terminal's cursor, ring or turn the writing round; our own colours stay."""


def without_controls(text: str) -> str:
    """A text in which each control character is a question mark; lines and tabs stay."""
    return _CONTROLS.sub("?", text)


class CleanText(io.TextIOWrapper):
    """Standard output: no control character passes, and a letter the terminal cannot show is '?'."""

    def write(self, text: str) -> int:
        """As of any text stream."""
        return super().write(without_controls(text))


class Closed(io.TextIOBase):
    """Standard output that is closed ('>&-'): every word to it fails, as on a full disk."""

    def write(self, _text: str) -> int:
        """Raises OSError."""
        raise OSError(errno.EBADF, "it is closed")


ENTERED: list[int] = []
"""The numbers of what this command entered in the book, once it has said so."""


def unprinted_words(error: OSError, done: str) -> str:
    """What is said of an answer that could not be printed, and what was done all the same."""
    return f"The answer could not be printed ({error.strerror or error}); {done}."


def entered_words(numbers: Iterable[int]) -> str:
    """'it was entered, as no. 8', or that nothing was."""
    entered = " and ".join(f"no. {number}" for number in numbers)
    return f"it was entered, as {entered}" if entered else "nothing was entered"


def tell(text: str) -> None:
    """Print what was done. Raises PantryError with the same words where it cannot be printed."""
    try:
        print(text, flush=True)
    except OSError as error:
        raise PantryError(unprinted_words(error, f"it is: {text.removesuffix('.')}")) from None


def stopped_words(numbers: Iterable[int]) -> str:
    """What is said when a command is stopped: the numbers of what it had entered by then, if anything."""
    entered = " and ".join(f"no. {number}" for number in numbers)
    return f"Stopped; {f'entered by then: {entered}' if entered else 'nothing was entered'}."


def prepare() -> None:
    """Make both streams such as can be written to with any name."""
    if sys.stdout is None:
        sys.stdout = Closed()
    elif isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.flush()
        encoding, buffered = sys.stdout.encoding, sys.stdout.line_buffering
        sys.stdout = CleanText(sys.stdout.detach(), encoding, "replace", line_buffering=buffered)
    if sys.stderr is None:
        sys.stderr = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    elif hasattr(sys.stderr, "reconfigure"):
        sys.stderr.reconfigure(errors="replace")


def let_go() -> None:
    """Point standard output at nothing, so that Python's last flush of it is quiet."""
    with contextlib.suppress(OSError, ValueError, io.UnsupportedOperation):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
