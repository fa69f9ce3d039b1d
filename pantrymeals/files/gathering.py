"""Mistakes of all files gathered on one list, so that one run mends them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from pantrymeals.errors import Mistake, MistakesInFiles, Place
from pantrymeals.words import fold as fold

T = TypeVar("T")
D = TypeVar("D")
_MOST_SUGGESTIONS = 300
LIKE = 0.65
"""How alike two names must be for one to be suggested (0 unlike … 1 the same): 'jra' and 'jar' are 0.67."""


class Wrong(ValueError):
    """One value is not right: what is wrong, and what would be right; the caller knows the place."""

    def __init__(self, wrong: str, right: str = "") -> None:
        super().__init__(wrong)
        self.wrong = wrong
        self.right = right


def shown(text: str) -> str:
    """A text between quotes, cut where it runs long, with nothing that would break the line."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text[:200]).split())
    return f"'{plain[:57]}...'" if len(plain) > 60 else f"'{plain}'"


def nearest(name: str, names: Iterable[str], least_likeness: float = LIKE) -> str | None:
    """The name most like this one, or None when none is like it (0 unlike … 1 the same)."""
    from difflib import get_close_matches  # only where a name is wrong

    by_fold = {fold(n): n for n in names}
    found = get_close_matches(fold(name)[:80], by_fold, n=1, cutoff=least_likeness)
    return by_fold[found[0]] if found else None


class Gathering:
    """The mistakes found so far."""

    def __init__(self) -> None:
        self.found: list[Mistake] = []
        self._suggestions = 0

    def __len__(self) -> int:
        return len(self.found)

    def say(self, place: Place, wrong: str, right: str = "") -> None:
        """Write down one mistake."""
        self.found.append(Mistake(place, wrong, right))

    def attempt(self, place: Place, read: Callable[[str], T], text: str, otherwise: D) -> T | D:
        """What ``read`` makes of a text; where it raises Wrong, that is written down."""
        try:
            return read(text)
        except Wrong as wrong:
            self.say(place, wrong.wrong, wrong.right)
            return otherwise

    def did_you_mean(self, name: str, names: Iterable[str], otherwise: str, least_likeness: float = LIKE) -> str:
        """'did you mean ...?' with the nearest name; ``otherwise`` when nothing is near.

        Searching costs about a millisecond, so a file with hundreds of wrong names gets
        suggestions for the first few hundred only.
        """
        self._suggestions += 1
        near = nearest(name, names, least_likeness) if self._suggestions <= _MOST_SUGGESTIONS else None
        return f"did you mean {shown(near)}?" if near else otherwise

    def stop_if_any(self) -> None:
        """Raise MistakesInFiles with everything found, in order of place."""
        if self.found:
            raise MistakesInFiles(self.found)
