"""A dish as a household has it written down: what was understood, what is a note, and what is still to be asked."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from pantrymeals.plans.first_count import LeftOut
from pantrymeals.records import Role


class ToldLine(Struct, frozen=True):
    """A line of ingredients. key: by which it is answered; under: the heading above it ('For the topping')."""

    key: str
    written: str
    under: str = ""


class DishTold(Struct, frozen=True):
    """A dish as it is written, before anything is matched.

    serves, minutes, hands_on: None where nothing says so; serves_choices: what stands there where it is no one number.
    steps: the method as it is. notes: what else stands there. left_out: what is not taken over, and why.
    guesses: what was taken for granted.
    """

    name: str
    lines: tuple[ToldLine, ...]
    steps: tuple[str, ...]
    serves: Fraction | None = None
    serves_choices: tuple[str, ...] = ()
    minutes: int | None = None
    hands_on: int | None = None
    role: Role | None = None
    notes: tuple[str, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    guesses: tuple[str, ...] = ()


class DishAsked(Struct, frozen=True):
    """What is not clear. key: a line's number, or 'role', 'serves' ...; choices: what may be answered."""

    key: str
    written: str
    asked: str
    choices: tuple[str, ...] = ()


class TakenLine(Struct, frozen=True):
    """A line that a dish takes. options: amounts of products as a recipe's file has them; note: how it is prepared."""

    key: str
    written: str
    options: tuple[str, ...]
    products: tuple[str, ...]
    note: str = ""
    guesses: tuple[str, ...] = ()


class NotedLine(Struct, frozen=True):
    """A line that is kept as a note, for nothing of it is counted; why."""

    key: str
    written: str
    why: str


class DishRead(Struct, frozen=True):
    """A dish against one larder. text: its file; '' while a question is open. file: where it would stand."""

    told: DishTold
    taken: tuple[TakenLine, ...]
    noted: tuple[NotedLine, ...]
    questions: tuple[DishAsked, ...]
    text: str = ""
    file: str = ""
    said: tuple[str, ...] = ()
