"""What comes on to the shelf, moves about it, or is opened: put up, bring in, move, open."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.take import Wanted, candidates, fridge, open_one, shared_out
from pantrymeals.actions.book.words import Said, whole_only
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, FailedLine, GlassLine, Line, LotFacts, OnHand, PartFacts, PartLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import amount_of
from pantrymeals.files.gathering import Wrong
from pantrymeals.records import Reason
from pantrymeals.reports.words import sized


class PutUp(Struct, frozen=True):
    """A lot to be written down. failed: jars that did not seal, apart from the count.

    place: None for where this product stood last. keep_failed: the failed jars go into the
    fridge as part jars (else they are only counted: frozen, put up again, or gone).
    wide: the lids were wide ones.
    """

    said: Said
    put_up: str
    load: str = ""
    source: str = ""
    place: str | None = None
    failed: int = 0
    keep_failed: bool = True
    wide: bool = False
    note: str = ""


def put_up(pantry: Pantry, book: Book, lot: PutUp) -> list[AnyLine]:
    """The lines of a lot: its sealed jars, those that failed, and the empties and lids they took."""
    said = whole_only(lot.said)
    product, size = said.product, said.size.name
    facts = LotFacts(product.name, size, lot.put_up, lot.load, lot.source, lot.note)
    lines: list[AnyLine] = [Line(facts, _place(pantry, book, said, lot.place), said.count, "put up")]
    if lot.failed:
        lines.append(FailedLine(facts, lot.failed))
        if lot.keep_failed:
            part = PartFacts(product.name, size, pantry.today, fridge(pantry), "did not seal")
            lines.append(PartLine(part, Fraction(lot.failed), "put up"))
    jar = pantry.jar_size(product, size)
    if jar and said.count.denominator == 1:
        filled = int(said.count) + lot.failed
        lines.append(GlassLine("empties", jar, -filled))
        lines.append(GlassLine("lids", "wide" if lot.wide else "regular", -filled))
    return lines


def bring_in(
    pantry: Pantry, book: Book, said: Said, reason: Reason, place: str | None, note: str = "", source: str = ""
) -> list[AnyLine]:
    """The lines of what was bought or has arrived: a lot of this day."""
    facts = LotFacts(said.product.name, said.size.name, pantry.today.isoformat(), "", source, note)
    return [Line(facts, _place(pantry, book, said, place), said.count, reason)]


def _place(pantry: Pantry, book: Book, said: Said, place: str | None) -> str:
    """Where it goes: as said, else where this product stands now or stood last."""
    if place is not None:
        return place
    lots = [here for here in book.on_hand(said.product.name) if here.state != "held"]
    same = [here for here in lots if here.lot.size == said.size.name] or lots
    if same:
        return max(same, key=lambda here: (here.lot.put_up, here.number)).place
    moved = [m for m in book.movements(said.product.name) if m.where and m.reason != "moved"]
    if moved:
        return moved[-1].where
    if len(pantry.places) == 1:
        return pantry.places[0].code
    raise BookTrouble(f"{said.product.name} has no place yet; say where it goes", " with --place")


def move(pantry: Pantry, book: Book, wanted: Wanted, to: str) -> list[AnyLine]:
    """The lines that carry it to another place, lot by lot, in the state it is in."""
    elsewhere = [here for here in candidates(pantry, book, wanted) if here.place != to]
    given, left = shared_out(elsewhere, whole_only(wanted.said).count)
    if left:
        raise BookTrouble(
            f"the book has only {sized(wanted.said.count - left, wanted.said.size.name)} "
            f"{wanted.said.product.name} to move to {to}"
        )
    return [line for here, taken in given for line in carried(here, taken, to=to)]


def carried(here: OnHand, count: Fraction, *, to: str | None = None, into: str | None = None) -> list[AnyLine]:
    """So many of a lot out of where and how it stands, and in again elsewhere or in another state."""
    place = here.place if to is None else to
    state = here.state if into is None else into
    out = Line(here.lot, here.place, -count, "moved", state=here.state)
    back = Line(here.lot, place, count, "moved", state=state)  # type: ignore[arg-type]
    return [out, back]


def part_left(said: Said, text: str) -> Fraction | None:
    """How much of the container is left, from '1/2 qt'; None when nothing was said. Raises PantryError."""
    try:
        return amount_of(said.product, text) / said.size.content if text else None
    except Wrong as wrong:
        raise PantryError(f"--left: {wrong.wrong}; {wrong.right}") from None


def open_jars(pantry: Pantry, book: Book, wanted: Wanted, left: Fraction | None) -> list[AnyLine]:
    """One jar opened; what is left of it stays as a part jar (all of it, if not said)."""
    lines = open_one(pantry, book, wanted)
    if left is not None and left < 1:
        fresh = next(line for line in lines if isinstance(line, PartLine))
        lines.append(PartLine(fresh.part, -(1 - left), "eaten"))
    return lines
