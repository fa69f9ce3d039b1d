"""What can go wrong that a household can mend, said with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from msgspec import Struct


class Place(NamedTuple):
    """Where something was written: a file, and a line and column counted from 1."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        parts = [self.file]
        if self.line:
            parts.append(str(self.line))
            if self.column:
                parts.append(str(self.column))
        return ":".join(parts)


class Mistake(Struct, frozen=True, order=True):
    """One thing wrong in a household's files, and what would be right."""

    place: Place
    wrong: str
    right: str = ""

    def __str__(self) -> str:
        tail = f"; {self.right}" if self.right else ""
        return f"{self.place}: {self.wrong}{tail}"


_QUOTED = re.compile(r"'[^']*'")

Twice = Literal["both", "one"]
"""What is meant by two rows that say the same: so many more, or one row that stands there twice."""


def says_the_same(place: Place, first: int) -> Mistake:
    """Two rows that nobody can tell apart: one of them too many, or so many more."""
    right = "if it stands here twice, take one out; if there are so many more, write one row with the sum"
    return Mistake(place, f"this row says the same as line {first}", right)


class PantryError(Exception):
    """Anything a household can mend: shown without a traceback, exit 1.

    typed: what to type about it at a terminal, said after the rest; ``plain`` is without it, for a page that has no
    commands.
    """

    def __init__(self, said: str = "", typed: str = "") -> None:
        super().__init__(said + typed)
        self.plain = said


class Stopped(PantryError):
    """Somebody pressed Ctrl-C: said with what had been entered by then, exit 130."""


class MistakesInFiles(PantryError):
    """Every mistake found in the household's files, gathered, in order of place."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes = tuple(sorted(set(mistakes)))
        super().__init__("\n".join(_told(self.mistakes)))


_FEW = 3


def _habit(mistake: Mistake) -> tuple[str, str, str]:
    return mistake.place.file, _QUOTED.sub("''", mistake.wrong), _QUOTED.sub("''", mistake.right)


def _told(mistakes: Iterable[Mistake]) -> Iterator[str]:
    """A line for each mistake; of more than three of one habit in one file one line, with how many and where first."""
    mistakes = tuple(mistakes)
    habits: dict[tuple[str, str, str], list[Mistake]] = {}
    for mistake in mistakes:
        habits.setdefault(_habit(mistake), []).append(mistake)
    for mistake in mistakes:
        alike = habits[_habit(mistake)]
        if len(alike) <= _FEW:
            yield str(mistake)
        elif mistake is alike[0]:
            places = ", ".join(str(m.place.line) for m in alike[:_FEW])
            yield f"{mistake} ({len(alike)} of this kind in {mistake.place.file}, first on lines {places})"


class RowsTwice(MistakesInFiles):
    """Rows that say the same as one above them, and nobody has said whether both count; nothing else is wrong."""


class NoMenuFits(PantryError):
    """No menu keeps all the house rules; the message names those that clash."""


class NotUnderstood(PantryError):
    """What was typed names no day, dish, product, place or amount; the message says what would be right."""
