"""A sheet of terminal text, 80 columns wide: coloured on a terminal, plain letters when piped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from io import StringIO
from itertools import zip_longest
from typing import Literal

from rich.box import Box
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

WIDTH = 80
BOX = "[ ]"
"""To be ticked with a pencil."""
_LEAST_NAME = 12
"""Letters: a name cut shorter tells nobody what it is."""

_UNDERLINED = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
"""A table with one ruled line under its heads and nothing else; in plain letters everywhere."""

_PLAIN_LETTERS = str.maketrans({"·": "-", "×": "x", "–": "-", "—": "-", "…": "...", "’": "'"})

_TOGETHER = "\ue000"
"""Stands for a space that no line may end on; a space again in the finished text."""

Piece = str | tuple[str, str]
"""Text, or text with a style."""


class Paper:
    """Lines and tables written one after another, then handed over as one text.

    colour: True for a terminal that shows colour; False gives the same lines without it, in
    plain letters where the words are ours.
    """

    def __init__(self, *, colour: bool = False, width: int = WIDTH) -> None:
        self._colour = colour
        self._width = width
        self._lines: list[str] = []
        self._text = StringIO()
        self._console = Console(
            file=self._text,
            width=width,
            force_terminal=colour,
            color_system="standard" if colour else None,
            no_color=not colour,
            legacy_windows=False,
            markup=False,
            highlight=False,
            emoji=False,
        )

    def heading(self, text: str) -> None:
        """A chapter's name, underlined to its length, with a line of air above."""
        shown = self._letters(text)
        self._console.print()
        self._console.print(Text(shown.upper(), style="bold"))
        self._console.print(Text("=" * min(len(shown), self._width), style="dim"))

    def line(self, *pieces: Piece, indent: int = 0, hang: int = 0) -> None:
        """One paragraph, wrapped, its first line set in by ``indent`` and the rest by ``hang`` more."""
        self._note(pieces)
        wrapped = self._joined(_kept_together(piece) for piece in pieces).wrap(
            self._console, max(self._width - indent - hang, 10)
        )
        for number, row in enumerate(wrapped):
            row.rstrip()
            self._console.print(Padding(row, (0, 0, 0, indent + (hang if number else 0))))

    def foot(self, words: str) -> None:
        """A line under the whole, with air above; not a second time where the sheet has said it in its own place."""
        if not any(words in line for line in self._lines):
            self.blank()
            self.line(words)

    def _note(self, pieces: Iterable[Piece]) -> None:
        self._lines.append("".join(piece if isinstance(piece, str) else piece[0] for piece in pieces))

    def labelled(self, label: str, width: int, *pieces: Piece) -> None:
        """Words beside a label, each wrapped in its own column; the label's is ``width`` wide, a gap included."""
        left = Text(self._letters(label)).wrap(self._console, max(width - 1, 1))
        room = max(self._width - width, 10)
        right = self._joined(_kept_together(piece) for piece in pieces).wrap(self._console, room)
        for beside, row in zip_longest(left, right, fillvalue=Text("")):
            beside.rstrip()
            line = Text(beside.plain.ljust(width)) + row
            line.rstrip()
            self._console.print(Padding(line, 0))

    def split_line(self, label: str, left: Sequence[Piece], right: str, *, indent: int, label_width: int) -> None:
        """A label, words beside it, and a short figure at the right edge, on one line where they fit."""
        grid = Table.grid(expand=True, padding=(0, 1, 0, 0))
        grid.add_column(width=label_width - 1)
        grid.add_column(ratio=1)
        grid.add_column(justify="right", no_wrap=True)
        grid.add_row(Text(label), self._joined(left), Text(self._letters(right), style="dim"))
        self._console.print(Padding(grid, (0, 0, 0, indent)))

    def blank(self) -> None:
        """A line of air."""
        self._console.print()

    def table(
        self,
        heads: Sequence[str],
        rows: Iterable[Sequence[Piece]],
        *,
        right: Iterable[int] = (),
        widths: Sequence[int | None] = (),
        indent: int = 0,
        show_heads: bool = True,
    ) -> None:
        """A table under ruled heads; columns in ``right`` keep their figures to the right.

        widths: fixed widths in letters, None for a column that takes what is left.
        """
        table = Table(
            box=_UNDERLINED if show_heads else None,
            show_header=show_heads,
            show_edge=False,
            pad_edge=False,
            padding=(0, 2, 0, 0),
            collapse_padding=True,
            header_style="bold",
            width=self._width - indent,
        )
        righted = frozenset(right)
        for number, head in enumerate(heads):
            width = widths[number] if number < len(widths) else None
            side: Literal["left", "right"] = "right" if number in righted else "left"
            table.add_column(
                self._letters(head), justify=side, width=width, ratio=None if width is not None else 1, overflow="fold"
            )
        for row in rows:
            table.add_row(*(self._joined([piece]) for piece in row))
        self._console.print(Padding(table, (0, 0, 0, indent)))

    def name_within(self, letters: int, name: str) -> str:
        """A name cut short, with a stop, where a column of so many letters is too narrow for it."""
        return name if len(name) <= letters else name[: letters - 1].rstrip(" ,") + "."

    def ledger(
        self, heads: Sequence[str], rows: Sequence[tuple[Sequence[Piece], str]], *, right: Iterable[int] = ()
    ) -> None:
        """Ruled columns as wide as they need, each row with a remark below it; a head may have two lines.

        Where they need more than the paper has, the first column's longest names are cut short, and no figure goes
        to a line of its own.
        """
        righted = frozenset(right)
        cells = [[self._joined([piece]) for piece in row] for row, _ in rows]
        tall = max(head.count("\n") for head in heads)
        over = [[""] * (tall - head.count("\n")) + head.split("\n") for head in heads]
        widths = [max([*map(cell_len, head), *(row[n].cell_len for row in cells)]) for n, head in enumerate(over)]
        gap = 2 if sum(widths) + 2 * (len(widths) - 1) <= self._width else 1
        wide = sum(widths) + gap * (len(widths) - 1)
        if wide > self._width and widths[0] - (wide - self._width) >= _LEAST_NAME:
            widths[0] -= wide - self._width
            for row_cells in cells:
                row_cells[0] = self._cut_short(row_cells[0], widths[0])
        for heading in zip(*over, strict=True):
            self._row([Text(head, style="bold") for head in heading], widths, righted, gap)
        self._console.print(Text("-" * min(wide, self._width), style="dim"))
        for row, (_, remark) in zip(cells, rows, strict=True):
            self._row(row, widths, righted, gap)
            if remark:
                self.line((remark, "dim"), indent=2, hang=2)

    def _cut_short(self, name: Text, letters: int) -> Text:
        cut = self.name_within(letters, name.plain)
        return name if cut == name.plain else name[: len(cut) - 1].append(".")

    def _row(self, cells: Sequence[Text], widths: Sequence[int], righted: frozenset[int], gap: int) -> None:
        line = Text()
        for number, (cell, width) in enumerate(zip(cells, widths, strict=True)):
            space = " " * (width - cell.cell_len)
            line.append_text(Text(space) + cell if number in righted else cell + Text(space))
            line.append(" " * gap if number + 1 < len(cells) else "")
        line.rstrip()
        self._console.print(line, overflow="fold")

    def text(self) -> str:
        """All that was written, without spaces at line ends."""
        return "\n".join(line.rstrip() for line in self._text.getvalue().replace(_TOGETHER, " ").splitlines()) + "\n"

    def _joined(self, pieces: Iterable[Piece]) -> Text:
        text = Text()
        for piece in pieces:
            words, style = piece if isinstance(piece, tuple) else (piece, "")
            text.append(self._letters(words), style=style)
        return text

    def _letters(self, words: str) -> str:
        return words if self._colour else words.translate(_PLAIN_LETTERS)


def _kept_together(piece: Piece) -> Piece:
    """A figure and its unit on one line: '2 lb', '2 1/2 qt', '17 January'."""
    words, style = piece if isinstance(piece, tuple) else (piece, "")
    return re.sub(r"(?<=\d) (?=[\w(])", _TOGETHER, words), style
