"""A report as blocks for a screen: what is written on paper, without its 80 columns."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from pantrymeals.reports.block import Block, Words
from pantrymeals.reports.terminal.paper import BOX, Paper, Piece

_TO_TYPE = re.compile(r" ?\(--[^)]*\)")
"""'(--full has all)': of an option, for who types; a screen has none."""


class Leaf(Paper):
    """Paper that keeps what is written on it as blocks."""

    def __init__(self) -> None:
        super().__init__(colour=True)
        self.blocks: list[Block] = []

    def heading(self, text: str) -> None:
        """A chapter's name."""
        self.blocks.append(Block("heading", _words([text])))

    def line(self, *pieces: Piece, indent: int = 0, hang: int = 0) -> None:  # noqa: ARG002 (a screen wraps by itself)
        """One paragraph."""
        self._note(pieces)
        words = _words(pieces)
        if any(text for text, _ in words):
            self.blocks.append(Block("line", words, depth=indent))

    def split_line(self, label: str, left: Sequence[Piece], right: str, *, indent: int, label_width: int) -> None:  # noqa: ARG002
        """A label, words, and a short figure."""
        self.blocks.append(Block("row", _words(left), label=label, aside=right))

    def blank(self) -> None:
        """Air; never twice."""
        if self.blocks and self.blocks[-1].kind != "air":
            self.blocks.append(Block("air"))

    def table(
        self,
        heads: Sequence[str],
        rows: Iterable[Sequence[Piece]],
        *,
        right: Iterable[int] = (),
        widths: Sequence[int | None] = (),  # noqa: ARG002
        indent: int = 0,  # noqa: ARG002
        show_heads: bool = True,
    ) -> None:
        """A table; without heads where none are shown."""
        cells = tuple(tuple(_words([piece]) for piece in row if piece != BOX) for row in rows)
        named = tuple(heads) if show_heads and any(heads) else ()
        self.blocks.append(Block("table", heads=named, rows=cells, figures=frozenset(right)))

    def name_within(self, letters: int, name: str) -> str:  # noqa: ARG002
        """The whole name: a screen has room for it."""
        return name

    def ledger(
        self, heads: Sequence[str], rows: Sequence[tuple[Sequence[Piece], str]], *, right: Iterable[int] = ()
    ) -> None:
        """A table with a remark below each row."""
        self.blocks.append(
            Block(
                "table",
                heads=tuple(head.replace("\n", " ") for head in heads),
                rows=tuple(tuple(_words([piece]) for piece in row) for row, _ in rows),
                remarks=tuple(remark for _, remark in rows),
                figures=frozenset(right),
            )
        )


def _words(pieces: Iterable[Piece]) -> Words:
    """Pieces with their styles, less what to type and a box to tick with a pencil: a screen has its own, or none."""
    found = (piece if isinstance(piece, tuple) else (piece, "") for piece in pieces)
    return tuple((_TO_TYPE.sub("", text.removeprefix(f"{BOX} ")), style) for text, style in found)
