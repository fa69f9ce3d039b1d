"""What is entered as held, whoever typed it where: jars of what no process is tested for, or of a withdrawn source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.book.lines import RELEASED, AnyLine, Line, OnHand
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.jar_doubts import says_withdrawn, why_untested
from pantrymeals.words import fold


class KeptApart(Struct, frozen=True):
    """The lines with those held that must be; the cautions due for it, and what to say."""

    lines: tuple[AnyLine, ...]
    cautions: tuple[str, ...] = ()
    said: tuple[str, ...] = ()


def kept_apart(pantry: Pantry, book: Book, lines: Iterable[AnyLine]) -> KeptApart:
    """What comes on to the shelf, held where C4 or C30 says so. A release, and what is only moved, stays as it is."""
    lines = list(lines)
    cautions: dict[str, None] = {}
    said: dict[str, None] = {}
    for place, line in enumerate(lines):
        if not isinstance(line, Line) or line.count <= 0 or line.state != "" or line.reason == "moved":
            continue
        number, why = _doubt(pantry, book, line)
        if why and not _released(book, line):
            lines[place] = replace(line, state="held")
            cautions[number] = None
            said[f"  held, on no menu and in no total: {why}"] = None
    return KeptApart(tuple(lines), tuple(cautions), tuple(said))


def _doubt(pantry: Pantry, book: Book, line: Line) -> tuple[str, str]:
    """The caution that holds a lot, and why; two blanks where none does."""
    product = pantry.product(line.lot.product)
    if product is None:
        return "", ""
    if untested := why_untested(product, line.lot.note):
        return "C4", f"{product.name} is, or has in it: {untested}"
    if product.kind == "jar" and _beside_withdrawn(book, line):
        return "C30", f"other lots of the same source ({line.lot.source}) were withdrawn, or are held for their source"
    return "", ""


def _beside_withdrawn(book: Book, line: Line) -> bool:
    """Whether its source, or another lot's of that source, was withdrawn as the household wrote or held."""
    if says_withdrawn(f"{line.lot.source} {line.lot.note}"):
        return True
    source = fold(line.lot.source)
    if not source:
        return False
    same = [(number, lot) for number, lot in book.lots() if fold(lot.source) == source]
    if any(says_withdrawn(lot.note) for _, lot in same):
        return True
    return any(
        book.came_into(here.number, here.place, here.state).startswith("hold source")
        for here in book.on_hand()
        if here.state == "held" and fold(here.lot.source) == source
    )


def _released(book: Book, line: Line) -> bool:
    released = book.released()
    return any(number in released and lot == line.lot for number, lot in book.lots(line.lot.product))


def let_go(pantry: Pantry, book: Book, lines: Sequence[AnyLine], why: str) -> list[AnyLine]:
    """The lines that put held jars back, each with the reason that was typed.

    Raises BookTrouble, saying why they were held, where there is reason to doubt them and none was typed.
    """
    reason = " ".join(why.split())
    doubts = [] if reason else _doubts(pantry, book, lines)
    if doubts:
        listed = "\n".join(f"  {doubt}" for doubt in doubts)
        raise BookTrouble(
            f"nothing was released yet. Say what has settled it; a jar in doubt stays held:\n{listed}",
            '\nSay it with --why "...".',
        )
    if not reason:
        return list(lines)
    return [
        replace(line, note=f"{RELEASED}{reason}") if isinstance(line, Line) and line.count > 0 else line
        for line in lines
    ]


def _doubts(pantry: Pantry, book: Book, lines: Sequence[AnyLine]) -> list[str]:
    """What speaks against each lot that is to be released, with why it was held."""
    there = {(here.lot, here.place, here.state): here for here in book.on_hand()}
    spoiled = book.spoiled_loads()
    out = []
    for line in lines:
        here = there.get((line.lot, line.place, line.state)) if isinstance(line, Line) and line.count < 0 else None
        found = _against(pantry, here, spoiled) if here is not None else []
        if here is not None and found:
            held = book.came_into(here.number, here.place, here.state)
            out.append(f"lot {here.number}, {here.lot.product}: {'; '.join(found)} (held by: {held})")
    return list(dict.fromkeys(out))


def _against(pantry: Pantry, here: OnHand, spoiled: frozenset[tuple[str, str, str]]) -> list[str]:
    product = pantry.product(here.lot.product)
    if product is None or product.kind != "jar":
        return []
    out = []
    if not here.lot.source:
        out.append("no tested source is written down")
    if (here.lot.product, here.lot.put_up, here.lot.load) in spoiled:
        out.append("a jar of the same load spoiled or is suspect")
    if untested := why_untested(product, here.lot.note):
        out.append(f"no process is tested for it: {untested} (C4)")
    if says_withdrawn(f"{here.lot.source} {here.lot.note}"):
        out.append("its recipe was withdrawn (C30)")
    return out
