"""Rows of the book's tables, as the terminal shows them and files have them; nothing heavy is imported here."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import NamedTuple

from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import kept
from pantrymeals.words import day_and_year


class LotRow(NamedTuple):
    """One lot at one place. put_up: '2025-10-06', '2024', or '' where it is not known; on_hand: of its size."""

    lot: int
    product: str
    put_up: str
    on_hand: Fraction
    size: str
    place: str
    state: str
    load: str
    source: str
    note: str

    @property
    def count_words(self) -> str:
        """'15 qt'."""
        return kept(self.on_hand, self.size)

    @property
    def label(self) -> str:
        """'27 Sep 2025, load 2': what stands on it."""
        return ", ".join(x for x in (put_up_words(self.put_up), self.load) if x)


class PartRow(NamedTuple):
    """One part jar. left: of its size; eat_by: the last day of its clock; None: no clock."""

    product: str
    left: Fraction
    size: str
    opened: date
    eat_by: date | None
    place: str
    note: str


class MovementRow(NamedTuple):
    """One movement of a product: so many of a size in (+) or out (-)."""

    day: date
    many: Fraction
    size: str
    reason: str
    place: str
    note: str


class GlassRow(NamedTuple):
    """One jar size: full on the shelf (held ones too), empties, out and hoped back, and all of them together."""

    size: str
    full: int
    empties: int
    out: int
    owned: int


class LogRow(NamedTuple):
    """One entry of the book: what was said, who said it, and what became of it ('undone')."""

    entry: int
    day: date
    said: str
    who: str
    became: str

    @property
    def label(self) -> str:
        """'no. 12, 17 Jan 2026, Edda; undone'."""
        known = ", ".join(x for x in (f"no. {self.entry}", day_and_year(self.day), self.who) if x)
        return f"{known}; {self.became}" if self.became else known
