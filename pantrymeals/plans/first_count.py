"""A household's own list as it was understood: what counts, what is left out and why, and what is still to be asked."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct


class Understood(Struct, frozen=True):
    """One line of the list. product: what the household will call it; thing: what the catalogue calls it.

    count: containers of ``size``, exact. put_up: as stock.csv has it. guesses: what was taken for granted.
    untested: what is in the jar that no process is tested for, so that it is written as held; '' for all else.
    """

    number: int
    written: str
    product: str
    thing: str
    kind: str
    size: str
    count: Fraction
    put_up: str = ""
    place: str = ""
    load: str = ""
    source: str = ""
    note: str = ""
    loose: bool = False
    guesses: tuple[str, ...] = ()
    untested: str = ""


class Question(Struct, frozen=True):
    """A line that is not clear: what is asked, and what may be answered."""

    number: int
    written: str
    asked: str
    choices: tuple[str, ...] = ()


class LeftOut(Struct, frozen=True):
    """A line that is not counted, and why."""

    number: int
    written: str
    why: str


class FirstCount(Struct, frozen=True):
    """A list, line by line. order_asked: whether days or months come first must be said.

    new_products: products that products.csv will have. already: lines that stock.csv has as they are.
    """

    lines: tuple[Understood, ...]
    questions: tuple[Question, ...]
    left_out: tuple[LeftOut, ...]
    order: str = ""
    order_asked: bool = False
    encoding: str = ""
    new_products: tuple[str, ...] = ()
    already: int = 0
