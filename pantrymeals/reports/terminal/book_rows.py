"""Rows of the book's tables, ready to be shown; nothing heavy is imported here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pantrymeals.reports.words import sized


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot at one place. put_up: as words; jar: a home-put jar, whose source is asked for."""

    number: int
    put_up: str
    count: str
    where: str
    state: str
    load: str
    source: str
    jar: bool


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part jar and its clock. last: the last day of its clock; None: no clock."""

    product: str
    left: str
    opened: date
    last: date | None
    where: str
    note: str


@dataclass(frozen=True, slots=True)
class MovementRow:
    """One movement, for the end of a history."""

    day: date
    count: str
    reason: str
    where: str
    note: str


def count_words(count: Fraction, size: str) -> str:
    """'+12 qt' or '-1 qt'."""
    return ("+" if count > 0 else "-") + sized(abs(count), size)
