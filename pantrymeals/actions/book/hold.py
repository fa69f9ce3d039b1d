"""Holding back and letting go: a lot, a load, every lot of one source; suspect and spoiled jars."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.actions.book.apart import let_go
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.put import carried
from pantrymeals.actions.book.take import Wanted, candidates, shared_out, take
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, OnHand
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.records import LotState
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import sized
from pantrymeals.units import as_words
from pantrymeals.words import fold

Which = Callable[[OnHand], bool]


def which_lots(kind: str, text: str) -> Which:
    """'lot' 12, 'load' load 3, 'source' great-aunt: which lots are meant. Raises BookTrouble."""
    wanted = fold(text)
    if not wanted:
        raise BookTrouble(f"say which {kind}: 'hold {kind} ...'")
    if kind == "lot":
        if not wanted.isdigit():
            raise BookTrouble(f"'{text}' is no number of a lot; 'lots PRODUCT' shows them")
        return lambda here: here.number == int(wanted)
    if kind == "load":
        return lambda here: fold(here.lot.load) == wanted
    whole_words = re.compile(rf"(?<!\w){re.escape(wanted)}(?!\w)")  # 'page 3' is not 'page 31'
    return lambda here: whole_words.search(fold(here.lot.source)) is not None


def hold_lots(book: Book, which: Which, into: LotState = "held", to: str | None = None) -> list[AnyLine]:
    """Everything on the shelf of those lots goes into another state, where it stands or to a place."""
    found = [here for here in book.on_hand() if which(here) and here.state in ("", "promised")]
    return [line for here in found for line in carried(here, here.count, to=to, into=into)]


def release_lots(pantry: Pantry, book: Book, which: Which, to: str | None = None, why: str = "") -> list[AnyLine]:
    """Everything held or suspect of those lots is on the shelf again. Raises BookTrouble where it needs a reason."""
    found = [here for here in book.on_hand() if which(here) and here.state in ("held", "suspect")]
    return let_go(pantry, book, [line for here in found for line in carried(here, here.count, to=to, into="")], why)


def release(pantry: Pantry, book: Book, wanted: Wanted, to: str | None = None, why: str = "") -> list[AnyLine]:
    """So many held containers of a product are on the shelf again. Raises BookTrouble where it needs a reason."""
    return let_go(pantry, book, set_state(pantry, book, wanted, "", to), why)


def set_state(pantry: Pantry, book: Book, wanted: Wanted, into: LotState, to: str | None = None) -> list[AnyLine]:
    """So many containers of a product into another state, the oldest first. Raises BookTrouble."""
    given, left = shared_out(candidates(pantry, book, wanted), wanted.said.count)
    if left:
        there, said = as_words(wanted.said.count - left), wanted.said
        state = f"{wanted.state} " if wanted.state else ""
        raise BookTrouble(f"the book has {there} {state}{said.size.name} {said.product.name}, not {said}")
    return [line for here, taken in given for line in carried(here, taken, to=to, into=into)]


def spoil(pantry: Pantry, book: Book, wanted: Wanted) -> list[AnyLine]:
    """The lines that take out spoiled jars: those already suspect first, then those held, then sound ones.

    Where several lots are suspect (or held) and not all of that goes, which one spoiled is for the household
    to say: raises BookTrouble with their numbers. So it does when the book has not that many.
    """
    lines: list[AnyLine] = []
    left = wanted.said.count
    set_apart: tuple[LotState, ...] = ("suspect", "held")
    for state in set_apart:
        here = candidates(pantry, book, _in_state(wanted, state, left))
        there = total(here)
        if len({each.lot for each in here}) > 1 and left < there:
            raise BookTrouble(_say_which(wanted, state, here))
        if taken := min(left, there):
            lines += take(pantry, book, _in_state(wanted, state, taken))
            left -= taken
    return lines + (take(pantry, book, _in_state(wanted, "", left)) if left else [])


def _in_state(wanted: Wanted, state: LotState, count: Fraction) -> Wanted:
    return replace(wanted, said=replace(wanted.said, count=count), state=state)


def _say_which(wanted: Wanted, state: str, here: list[OnHand]) -> str:
    listed = "\n".join(
        f"  --lot {each.number}: {sized(each.count, each.lot.size)}"
        f"{f', put up {put_up_words(each.lot.put_up)}' if each.lot.put_up else ''}"
        f"{f', {each.lot.load}' if each.lot.load else ''} at {each.place or 'no place'}"
        for each in here
    )
    return (
        f"more than one lot of {wanted.said.product.name} is {state}; say which has spoiled, and nothing was "
        f"entered yet:\n{listed}"
    )


def rest_of_load(book: Book, lines: list[AnyLine]) -> list[OnHand]:
    """What else is on the shelf of the loads that these lines took from: to be offered for hold.

    Jars share a load when they share product, day and load label; without a label, the lot.
    """
    taken = {line.lot for line in lines if hasattr(line, "place")}  # type: ignore[union-attr]
    loads = {(lot.product, lot.put_up, lot.load) for lot in taken}
    return [
        here
        for here in book.on_hand()
        if here.state == "" and (here.lot.product, here.lot.put_up, here.lot.load) in loads
    ]


def total(found: Iterable[OnHand]) -> Fraction:
    """How many containers in all, of one size."""
    return sum((here.count for here in found), Fraction(0))


def by_size(found: Iterable[OnHand]) -> str:
    """'11 pt and 8 hp': how many there are in each size, never sizes added together."""
    sizes: dict[str, list[OnHand]] = {}
    for here in found:
        sizes.setdefault(here.lot.size, []).append(here)
    return " and ".join(sized(total(those), size) for size, those in sizes.items())
