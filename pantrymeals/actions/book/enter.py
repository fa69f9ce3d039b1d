"""Enters one thing in the book, and says so: what it did, what is there now, and the cautions of the moment."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from textwrap import wrap

from msgspec import Struct

from pantrymeals.actions.book.apart import KeptApart, kept_apart
from pantrymeals.actions.book.moments import said_before
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.say import any_before, now_on_the_shelf, told
from pantrymeals.book.book import Book
from pantrymeals.book.lines import HOUSEHOLD, AnyLine, Line, NewEntry, PartLine, ServedLine, Written, new_key
from pantrymeals.book.writing import redo, undo, write
from pantrymeals.cautions import STANDING_LINE, STANDING_SHORT, lines_for

__all__ = ["Book", "Decide", "Entered", "Written", "do_again", "enter", "take_back"]

Decide = Callable[[Book], Iterable[AnyLine]]
"""The lines to write, from what the book says at that moment."""


class Entered(Struct, frozen=True):
    """What was written, and the lines that say so."""

    written: Written
    said: tuple[str, ...]


def enter(
    pantry: Pantry,
    book: Book,
    command: str,
    decide: Decide,
    *,
    key: str = "",
    cautions: Iterable[str] = (),
    nothing: str = "There is nothing to enter.",
) -> Entered:
    """Enter what ``decide`` makes of the book, once for one key. ``nothing``: what to say where there is nothing."""
    apart = KeptApart(())
    named: tuple[AnyLine, ...] = ()

    def with_doubts_apart(open_now: Book) -> Iterable[AnyLine]:
        nonlocal apart
        nonlocal named
        apart = kept_apart(pantry, open_now, decide(open_now))
        named = _name_to_write(pantry, open_now) if apart.lines else ()
        return (*apart.lines, *named)

    written = write(book, NewEntry(pantry.today, command, pantry.who, key or new_key()), with_doubts_apart)
    if written.again:
        return Entered(written, (f"Already in the book, as entry {written.entry}: nothing was added.",))
    if not written.entry:
        return Entered(written, (nothing,))
    cautions = tuple(cautions)
    before = said_before(pantry, book, written.entry) if cautions else frozenset()
    return Entered(
        written,
        (
            f"Entered, no. {written.entry}: {command}",
            *told(written.lines, pantry.today),
            *apart.said,
            *(f"  this book did not say whose it is; now it does: the household {pantry.name}" for _ in named),
            *_the_same_again(book, written.entry),
            *now_on_the_shelf(book, written.lines),
            *lines_for(apart.cautions, read_before=False, metric=pantry.metric),
            *(
                line
                for n in cautions
                if n not in apart.cautions
                for line in lines_for([n], read_before=n in before, metric=pantry.metric)
            ),
            *_standing(pantry, book, written),
        ),
    )


def _name_to_write(pantry: Pantry, book: Book) -> tuple[AnyLine, ...]:
    """The line that says whose book it is, for one from before books said so."""
    if not pantry.name or book.household():
        return ()
    return (ServedLine(pantry.today, HOUSEHOLD, pantry.name),)


def _the_same_again(book: Book, entry: int) -> list[str]:
    """Said where just as much of the same lot came in before: a second load, or one that two people wrote down."""
    before = book.same_that_came(entry)
    if before is None:
        return []
    told = f"just as much of it came in with no. {before.number} ({before.command}); if it is the same, take this back"
    return wrap(told, 80, initial_indent="  ", subsequent_indent="    ")


def _standing(pantry: Pantry, book: Book, written: Written) -> list[str]:
    """The standing line under an entry that speaks of jars: whole under the day's first, then short."""
    told = [line.lot.product for line in written.lines if isinstance(line, Line)]
    told += [line.part.product for line in written.lines if isinstance(line, PartLine)]
    if not any(kept.kind == "jar" for name in told if (kept := pantry.product(name)) is not None):
        return []
    return wrap(STANDING_SHORT if any_before(book, written.entry) else STANDING_LINE, 80)


def take_back(pantry: Pantry, book: Book, command: str, number: int | None, key: str = "") -> str:
    """Take back the last entry, or that of a number; what to say of it."""
    written = undo(book, NewEntry(pantry.today, command, pantry.who, key or new_key()), number)
    return _reversed(book, written, "Taken back")


def do_again(pantry: Pantry, book: Book, key: str = "") -> str:
    """Do again what was last taken back; what to say of it."""
    written = redo(book, NewEntry(pantry.today, "redo", pantry.who, key or new_key()))
    return _reversed(book, written, "Done again")


def _reversed(book: Book, written: Written, word: str) -> str:
    entry = book.entry(written.entry)
    while entry.undoes is not None:
        entry = book.entry(entry.undoes)
    return f"{word}: {entry.command} (no. {entry.number})."


def unbroken(lines: Iterable[str]) -> list[str]:
    """Cautions and the standing line were broken for 80 columns: whole again, for a screen of any width."""
    out: list[str] = []
    last = ""
    for line in lines:
        no_room = len(last) <= 80 < len(last) + 1 + len(line.strip().partition(" ")[0])
        if out and no_room and (line.startswith("    ") or STANDING_LINE.startswith(f"{out[-1]} {line}")):
            out[-1] = f"{out[-1]} {line.strip()}"
        else:
            out.append(line.strip())
        last = line
    return out
