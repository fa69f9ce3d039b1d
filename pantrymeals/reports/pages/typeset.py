"""Pages to print, set by Typst from one template of ours and the blocks of words that go into it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

from msgspec import Struct
from msgspec.structs import asdict

from pantrymeals.cautions import STANDING_LINE, CautionShown
from pantrymeals.records import PaperSize
from pantrymeals.words import day_and_year

if TYPE_CHECKING:
    from pantrymeals.records import Household

Side = Literal["left", "right", "center"]
Block = Mapping[str, Any]
"""One thing on a page, ready to be set: see the functions below."""

Parts = Sequence[tuple[str, str]]
"""Lines of one cell, each with how it is set: 'plain', 'strong', 'big', 'small', 'quiet', 'tick' (a box before it) or
'tail' (small, on the line of the one before)."""

Cell = str | Parts | Mapping[str, object]

_SHEETS: Mapping[PaperSize, tuple[str, str]] = {"letter": ("us-letter", "us-statement"), "a4": ("a4", "a5")}
"""What Typst calls a whole sheet, and half of one."""

TICK: Cell = {"tick": True}
"""A box to tick."""


class Printing(Struct, frozen=True):
    """How pages are wanted: the paper, if not the household's own, and whether in large letters.

    beside: what is said at the head of each page, of the day it is dated by and of an old count.
    """

    paper: PaperSize | None = None
    large: bool = False
    beside: tuple[str, ...] = ()

    def headed(self, blocks: Sequence[Block]) -> list[Block]:
        """A page's blocks below what is said at its head."""
        head = words(*(("strong", text) for text in self.beside))
        return [head, *blocks] if self.beside else list(blocks)


AS_USUAL = Printing()


class Origin(Struct, frozen=True):
    """What a page was printed from: whose household, its day, and the newest entry of the book that it knows.

    entry: its number and day; None where there is no book, and stock.csv was counted. paper: the household's own.
    """

    household: str
    today: date
    entry: tuple[int, date] | None = None
    paper: PaperSize = "letter"

    @property
    def words(self) -> str:
        """'Tarrow, 17 Jan 2026, from the book up to entry 8,044 of 16 Jan 2026.'"""
        known = "from the count in stock.csv; there is no book"
        if self.entry is not None:
            known = f"from the book up to entry {self.entry[0]:,} of {day_and_year(self.entry[1])}"
        return f"{self.household}, {day_and_year(self.today)}, {known}."


def origin_of(household: Household) -> Origin:
    """What a household's pages are printed from."""
    return Origin(household.name, household.today, household.book_entry, household.paper)


class Col(Struct, frozen=True):
    """A column of a printed table: its head, its width ('auto', '2fr', or so many em: '4.5'), and its side."""

    head: str = ""
    width: str = "auto"
    side: Side = "left"


def title(text: str, under: str = "") -> Block:
    """A sheet's name, and a line below it."""
    return {"kind": "title", "text": text, "under": under}


def heading(text: str, *, small: bool = False) -> Block:
    """A chapter's name; it stays with what follows."""
    return {"kind": "heading", "text": text, "small": small}


def words(*parts: tuple[str, str]) -> Block:
    """Paragraphs, each with how it is set, as the lines of a cell."""
    return {"kind": "words", "lines": [list(part) for part in parts]}


def boxed(lines: Iterable[str]) -> Block:
    """What must not be overlooked, in a heavy frame."""
    return {"kind": "boxed", "lines": list(lines)}


def steps(lines: Iterable[str]) -> Block:
    """Steps by number."""
    return {"kind": "steps", "lines": list(lines)}


def cautions(lines: Iterable[str]) -> Block:
    """Cautions, each behind its mark."""
    return {"kind": "cautions", "lines": list(lines)}


def cautioned(name: str, found: Sequence[CautionShown]) -> list[Block]:
    """A chapter of cautions, each with whom to ask, less the line that stands on every page."""
    said = [f"{c.words} ({c.authority})" if c.authority else c.words for c in found if c.words != STANDING_LINE]
    return [heading(name), cautions(said)] if said else []


def write_in(*parts: tuple[str, float]) -> Block:
    """Words, each with so many em of line behind it to write on."""
    return {"kind": "write in", "lines": [list(part) for part in parts]}


def picture(svg: str, said: str) -> Block:
    """A picture across the page. said: what it shows, for who cannot see it."""
    return {"kind": "picture", "svg": svg, "alt": said}


def table(
    columns: Sequence[Col],
    rows: Iterable[Sequence[Cell]],
    ruled: Literal["", "lines", "grid"] = "",
    air: float = 0.22,
    middle: bool = False,
    of: str = "",
) -> Block:
    """A table; its heads stand again on each page. air: em above and below each row's words; middle: set between.

    of: the heading above it, said again where it goes on on another page.
    """
    return {
        "kind": "table",
        "columns": [asdict(column) for column in columns],
        "rows": [list(row) for row in rows],
        "ruled": ruled,
        "air": air,
        "middle": middle,
        "again": of,
    }


def chapter(
    name: str, columns: Sequence[Col], rows: Sequence[Sequence[Cell]], *, close: bool = False
) -> list[Block]:  # fmt: skip
    """A heading with its table; nothing where there are no rows. close: little air about it."""
    if not rows:
        return []
    return [heading(name, small=close), table(columns, rows, air=0.12 if close else 0.22, of="" if close else name)]


def side_by_side(chapters: Sequence[Sequence[Block]]) -> Block:
    """Chapters in two columns, their order kept, as even as it goes by the lines of their tables."""
    tall = [sum(1.3 * len(b["rows"]) if b["kind"] == "table" else 1.9 for b in each) for each in chapters]
    cut = min(range(len(tall) + 1), key=lambda n: max(sum(tall[:n]), sum(tall[n:])))
    left, right = ([block for each in half for block in each] for half in (chapters[:cut], chapters[cut:]))
    return {"kind": "two", "left": left, "right": right}


def page(
    blocks: Iterable[Block], *, fit: bool = False, briefer: Iterable[Sequence[Block]] = (), flipped: bool = False,
    half: bool = False,
) -> Block:  # fmt: skip
    """A page, or as many as it takes. fit: on one, in the largest letters that let it. half: half a sheet.

    briefer: the same in less and less room, for when it does not fit.
    """
    ways = [list(way) for way in briefer]
    return {"blocks": list(blocks), "fit": fit, "briefer": ways, "flipped": flipped, "half": half}


def set_pages(name: str, pages: Iterable[Block], origin: Origin, printing: Printing) -> bytes:
    """The PDF's bytes (PDF/UA-1, readable aloud); the same words give the same bytes."""
    import typst

    paper = printing.paper or origin.paper
    data = {
        "title": name,
        "household": origin.household,
        "caution": STANDING_LINE,
        "origin": origin.words,
        "pages": [
            {
                **each, "paper": _SHEETS[paper][bool(each["half"])], "blocks": printing.headed(each["blocks"]),
                "briefer": [printing.headed(less) for less in each["briefer"]],
            } for each in pages
        ],
    }  # fmt: skip
    made: bytes = typst.compile(
        files("pantrymeals.reports.pages").joinpath("sheet.typ").read_bytes(),
        format="pdf",
        # Names go in as data, never as markup; only the fonts that Typst carries are used.
        sys_inputs={"sheet": json.dumps(data), "large": "yes" if printing.large else "no"},
        ignore_system_fonts=True,
        timestamp=0,
        pdf_standards="ua-1",
    )
    return made
