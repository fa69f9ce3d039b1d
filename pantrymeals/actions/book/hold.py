"""Holding back and letting go: a lot, a load, every lot of one source; suspect and spoiled jars."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.put import carried
from pantrymeals.actions.book.take import Wanted, candidates, take
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, OnHand
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.records import LotState
from pantrymeals.units import as_words

Which = Callable[[OnHand], bool]


def which_lots(kind: str, text: str) -> Which:
    """'lot' 12, 'load' load 3, 'source' great-aunt: which lots are meant. Raises BookTrouble."""
    wanted = " ".join(text.casefold().split())
    if not wanted:
        raise BookTrouble(f"say which {kind}: 'hold {kind} ...'")
    if kind == "lot":
        if not wanted.isdigit():
            raise BookTrouble(f"'{text}' is no number of a lot; 'lots PRODUCT' shows them")
        return lambda here: here.number == int(wanted)
    if kind == "load":
        return lambda here: _fold(here.lot.load) == wanted
    return lambda here: wanted in _fold(here.lot.source)


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())


def hold_lots(book: Book, which: Which, into: LotState = "held", to: str | None = None) -> list[AnyLine]:
    """Everything on the shelf of those lots goes into another state, where it stands or to a place."""
    found = [here for here in book.on_hand() if which(here) and here.state in ("", "promised")]
    return [line for here in found for line in carried(here, here.count, to=to, into=into)]


def release_lots(book: Book, which: Which, to: str | None = None) -> list[AnyLine]:
    """Everything held or suspect of those lots is on the shelf again."""
    found = [here for here in book.on_hand() if which(here) and here.state in ("held", "suspect")]
    return [line for here in found for line in carried(here, here.count, to=to, into="")]


def set_state(pantry: Pantry, book: Book, wanted: Wanted, into: LotState, to: str | None = None) -> list[AnyLine]:
    """So many containers of a product into another state, the oldest first. Raises BookTrouble."""
    lines: list[AnyLine] = []
    left = wanted.said.count
    for here in candidates(pantry, book, wanted):
        if left <= 0:
            break
        taken = min(left, here.count)
        left -= taken
        lines += carried(here, taken, to=to, into=into)
    if left > 0:
        there, said = as_words(wanted.said.count - left), wanted.said
        state = f"{wanted.state} " if wanted.state else ""
        raise BookTrouble(f"the book has {there} {state}{said.size.name} {said.product.name}, not {said}")
    return lines


def spoil(pantry: Pantry, book: Book, wanted: Wanted) -> list[AnyLine]:
    """The lines that take out spoiled jars: from the shelf, or from among the suspect or held."""
    first: BookTrouble | None = None
    for state in dict.fromkeys((wanted.state, "suspect", "held")):
        try:
            return take(pantry, book, _in_state(wanted, state))
        except BookTrouble as trouble:
            first = first or trouble
    assert first is not None  # the loop ran at least once
    raise first


def _in_state(wanted: Wanted, state: LotState) -> Wanted:
    return Wanted(wanted.said, wanted.reason, wanted.lot, wanted.place, state, wanted.sourced, wanted.note)


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


def total(found: list[OnHand]) -> Fraction:
    """How many containers in all."""
    return sum((here.count for here in found), Fraction(0))
