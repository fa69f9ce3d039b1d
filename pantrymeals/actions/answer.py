"""What a question brings back: a report, JSON, tables, a page, a picture, dates; each made when asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.on_disk import refuse_what_is_not_ours, write_safely
from pantrymeals.reports.block import Block

if TYPE_CHECKING:
    from pantrymeals.records import PaperSize
    from pantrymeals.reports.dates import Dates
    from pantrymeals.reports.pages.typeset import Printing
    from pantrymeals.reports.pictures.draw import Picture
    from pantrymeals.reports.terminal.paper import Paper
    from pantrymeals.tables.shapes import Written

__all__ = ["Answer", "Block", "refuse_what_is_not_ours", "write_safely"]


class Files(Struct, frozen=True):
    """Files that are asked for beside what is shown: tables, a page to print, a picture, dates for a calendar.

    paper: what the page is printed on, if not the household's own; large: in large letters.
    """

    csv: Path | None = None
    xlsx: Path | None = None
    pdf: Path | None = None
    paper: PaperSize | None = None
    large: bool = False
    picture: Path | None = None
    ics: Path | None = None


class Answer(Struct, frozen=True):
    """One answer in every form it has.

    report: writes itself on paper; a text where it is a document as it stands. broken: what the checker finds in it.
    beside: what is said of the day it is dated by and of an old count; it heads every sheet in a file.
    """

    report: Callable[[Paper], None] | str
    json: Callable[[], str] | None = None
    tables: Callable[[], Sequence[Written]] | None = None
    page: Callable[[Printing], bytes] | None = None
    picture: Callable[[], Picture] | None = None
    dates: Callable[[], Dates] | None = None
    broken: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()

    def sheet(self, *, colour: bool) -> str:
        """The report as it stands in a file: headed by what is said beside it."""
        head = "".join(f"{fill(said, 80)}\n\n" for said in self.beside)
        return head + self.text(colour=colour)

    def json_text(self) -> str:
        """The JSON, and in it, as its first field, what is said beside it, where anything is."""
        assert self.json is not None
        text = self.json()
        if not self.beside or not text.startswith("{\n"):
            return text
        from json import dumps

        from pantrymeals.reports.json.shape import BESIDE

        said = dumps(list(self.beside), ensure_ascii=False)
        return f'{{\n  "{BESIDE}": {said},\n{text[2:]}'

    def text(self, *, colour: bool) -> str:
        """The report, 80 columns wide; plain letters where there is no colour."""
        from pantrymeals.reports.terminal.paper import Paper

        if isinstance(self.report, str):
            return self.report
        paper = Paper(colour=colour)
        self._write(paper)
        return paper.text()

    def blocks(self) -> tuple[Block, ...]:
        """The same report for a screen of any width: headings, lines and tables."""
        from pantrymeals.reports.leaf import Leaf

        if isinstance(self.report, str):
            return tuple(Block("line", ((line, ""),)) for line in self.report.splitlines())
        leaf = Leaf()
        self._write(leaf)
        return tuple(leaf.blocks)

    def _write(self, paper: Paper) -> None:
        """The report, and at its foot the standing line: it stands on every sheet and screen that speaks of jars."""
        assert not isinstance(self.report, str)
        self.report(paper)
        paper.foot(STANDING_LINE)

    def write_files(self, files: Files) -> list[Path]:
        """Write what is asked for, and say which files. Raises PantryError when one cannot be written."""
        written: list[Path] = []
        if self.tables is not None and (files.csv is not None or files.xlsx is not None):
            from pantrymeals.tables.beside import said_beside
            from pantrymeals.tables.sheets import write_tables

            written += write_tables([*self.tables(), *said_beside(self.beside)], files.csv, files.xlsx)
        if self.page is not None and files.pdf is not None:
            from pantrymeals.reports.pages.typeset import Printing

            write_safely(files.pdf, self.page(Printing(files.paper, files.large, self.beside)))
            written.append(files.pdf)
        if self.picture is not None and files.picture is not None:
            from pantrymeals.reports.pictures.beside import drawn_beside

            write_safely(files.picture, drawn_beside(self.picture(), files.picture.suffix.casefold()))
            written.append(files.picture)
        if self.dates is not None and files.ics is not None:
            from pantrymeals.actions.calendar import write_dates

            write_dates(files.ics, self.dates())
            written.append(files.ics)
        return written


def make_ready_to_draw() -> None:
    """Have what draws pictures start beside the work that comes first."""
    from pantrymeals.reports.pictures.beside import begin

    begin()
