"""What can be written in the put-up book, and what can be read from it: frozen, plain."""

from __future__ import annotations

import uuid
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct, field

if TYPE_CHECKING:
    from pantrymeals.records import LotState, Reason

GlassThing = Literal["empties", "out", "lids"]


def new_key() -> str:
    """A key no other entry has."""
    return uuid.uuid4().hex


class LotFacts(Struct, frozen=True):
    """What the label says. put_up: '2025-10-06', '2024', or '' where it is not known."""

    product: str
    size: str
    put_up: str = ""
    load: str = ""
    source: str = ""
    note: str = ""

    @property
    def day(self) -> tuple[date | None, bool]:
        """The label's day; 1 January of its year (then True) or None where no day is known."""
        if len(self.put_up) == 4:
            return date(int(self.put_up), 1, 1), True
        return (date.fromisoformat(self.put_up) if self.put_up else None), False


class Line(Struct, frozen=True):
    """So many containers of a lot come (+) or go (-) at one place, in one state."""

    lot: LotFacts
    place: str
    count: Fraction
    reason: Reason
    state: LotState = ""
    note: str = ""
    day: date | None = None


class PartFacts(Struct, frozen=True):
    """One opened jar or thawing pack, and the day its clock began."""

    product: str
    size: str
    opened: date
    place: str = ""
    note: str = ""


class PartLine(Struct, frozen=True):
    """So much of a container comes into a part jar (+) or goes out of it (-)."""

    part: PartFacts
    count: Fraction
    reason: str
    day: date | None = None


class GlassLine(Struct, frozen=True):
    """Empties or jars out by size ('qt'), lids by kind ('regular', 'wide')."""

    thing: GlassThing
    size: str
    count: int
    note: str = ""
    day: date | None = None


class FailedLine(Struct, frozen=True):
    """Jars of a lot that did not seal in the canner: never on the shelf."""

    lot: LotFacts
    count: int
    day: date | None = None


RELEASED = "released: "
"""How the note of a line begins that lets held jars go; what follows is the reason that was typed."""

PULLED, LEFT_OUT = "pulled", "left out"
"""In a meal's place: not a dish, but a product of that day's list, pulled by itself or left for later."""

HOUSEHOLD = "household"
"""In a meal's place: not a dish, but the name of the household whose book it is; the latest counts."""

SAID = "said: "
"""How a meal's place begins where it holds the table's word on a dish: 'said: not again'."""


def is_a_meal(meal: str) -> bool:
    """Whether a meal's place holds a meal, and the line a dish that came to table."""
    return meal not in (PULLED, LEFT_OUT, HOUSEHOLD) and not meal.startswith(SAID)


class ServedLine(Struct, frozen=True):
    """A dish that came to table; under PULLED or LEFT_OUT, what became of one product of a day's pull list.

    Under SAID, what was said of a dish after it.
    """

    served: date
    meal: str
    dish: str
    times: int = 1


AnyLine = Line | PartLine | GlassLine | FailedLine | ServedLine


class NewEntry(Struct, frozen=True):
    """Who did what, on which day. The same key is entered once, however often it comes."""

    day: date
    command: str
    who: str = ""
    key: str = field(default_factory=new_key)


class Written(Struct, frozen=True):
    """The entry's number; again: it was there already, and nothing was added."""

    entry: int
    lines: tuple[AnyLine, ...] = ()
    again: bool = False


class OnHand(Struct, frozen=True):
    """What is there of one lot, at one place, in one state. number: the lot's."""

    number: int
    lot: LotFacts
    place: str
    state: LotState
    count: Fraction


class PartOnHand(Struct, frozen=True):
    """What is left in one part jar, as a part of its container."""

    part: PartFacts
    left: Fraction


class EntryLine(Struct, frozen=True):
    """One entry, with its lines in plain words; undone: it no longer counts."""

    number: int
    day: date
    command: str
    who: str
    undoes: int | None
    undone: bool
