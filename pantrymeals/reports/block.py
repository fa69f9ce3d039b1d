"""What a report is made of on a screen: headings, lines and tables, without a width."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Words = tuple[tuple[str, str], ...]
"""Pieces of text, each with its style; '' for none."""

Kind = Literal["heading", "line", "row", "table", "air"]


class Block(Struct, frozen=True):
    """One thing on a page.

    kind: 'heading' (words), 'line' (words), 'row' (label, words, aside), 'table' (heads, rows, remarks) or 'air'.
    depth: 0 for a line at the margin, more for one set in. rows: cells of pieces. remarks: one below each row, ''
    where it has none. figures: columns of figures.
    """

    kind: Kind
    words: Words = ()
    label: str = ""
    aside: str = ""
    depth: int = 0
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[Words, ...], ...] = ()
    remarks: tuple[str, ...] = ()
    figures: frozenset[int] = frozenset()
