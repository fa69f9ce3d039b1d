"""Taking from the shelf: the oldest first, a whole jar at a time, part jars before a fresh one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.words import Said
from pantrymeals.book.book import Book
from pantrymeals.book.counts import ROUNDING
from pantrymeals.book.lines import AnyLine, GlassLine, Line, LotFacts, OnHand, PartFacts, PartLine, PartOnHand
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.larder.opened_life import goes_back_frozen
from pantrymeals.records import LotState, Reason
from pantrymeals.reports.words import sized
from pantrymeals.units import as_words
from pantrymeals.words import either

if TYPE_CHECKING:
    from pantrymeals.plans.menu import FromLot

EMPTIED: frozenset[Reason] = frozenset({"pulled", "eaten", "made over", "to the hens", "compost"})
"""Reasons after which a jar comes back as an empty. A spoiled jar is bagged and goes, glass and all."""

AWAY: frozenset[Reason] = frozenset({"given", "bartered"})
"""Reasons after which the jar is out, and hoped back."""


class Wanted(Struct, frozen=True):
    """What is to be taken, and from where if that matters.

    lot: only this lot. place: only there. state: from among lots in this state.
    sourced: only lots whose tested source is written down. named: the lot a pull list names is taken before others.
    """

    said: Said
    reason: Reason
    lot: int | None = None
    place: str | None = None
    state: LotState = ""
    sourced: bool = False
    note: str = ""
    named: FromLot | None = None


def take(pantry: Pantry, book: Book, wanted: Wanted, after: Sequence[AnyLine] = ()) -> list[AnyLine]:
    """The lines that take it. Raises BookTrouble when the book has not that much.

    after: lines already decided in the same breath, so that one jar is not taken twice.
    """
    said = wanted.said
    if not said.product.whole:
        return _from_lots(pantry, book, wanted, said.count, after)
    whole = Fraction(said.count.numerator // said.count.denominator)
    lines = _from_lots(pantry, book, wanted, whole, after) if whole else []
    if said.count != whole:
        lines += _part_of_a_jar(pantry, book, wanted, said.count - whole, (*after, *lines))
    return lines


def candidates(pantry: Pantry, book: Book, wanted: Wanted, after: Sequence[AnyLine] = ()) -> list[OnHand]:
    """What it may be taken from, the oldest first, then in walking order; less what ``after`` takes."""
    gone: dict[tuple[LotFacts, str, str], Fraction] = {}
    for line in after:
        if isinstance(line, Line):
            key = (line.lot, line.place, line.state)
            gone[key] = gone.get(key, Fraction(0)) + line.count
    left = (
        replace(here, count=here.count + gone.get((here.lot, here.place, here.state), Fraction(0)))
        for here in book.on_hand(wanted.said.product.name)
    )
    found = [
        here
        for here in left
        if here.count > 0
        and here.lot.size == wanted.said.size.name
        and here.state == wanted.state
        and (wanted.lot is None or here.number == wanted.lot)
        and (wanted.place is None or here.place == wanted.place)
        and (not wanted.sourced or here.lot.source)
    ]
    return sorted(found, key=lambda here: (not _is(here, wanted.named), *_age(here), pantry.place_order(here.place)))


def _age(here: OnHand) -> tuple[bool, str, int]:
    """Sorts lots oldest first, those without a date last, as a pull list does."""
    return not here.lot.put_up, here.lot.put_up, here.number


def _is(here: OnHand, named: FromLot | None) -> bool:
    """Whether a lot of the book is the one that a plan named."""
    return named is not None and (here.place, here.lot.load, *here.lot.day) == (
        named.where, named.load, named.put_up, named.year_only
    )  # fmt: skip


def _from_lots(pantry: Pantry, book: Book, wanted: Wanted, count: Fraction, after: Sequence[AnyLine]) -> list[AnyLine]:
    given, left = shared_out(candidates(pantry, book, wanted, after), count)
    if left:
        raise _not_enough(book, wanted, count - left)
    lines: list[AnyLine] = [
        Line(here.lot, here.place, -taken, wanted.reason, state=here.state, note=wanted.note) for here, taken in given
    ]
    return lines + _glass_after(pantry, wanted, count)


def shared_out(lots: Iterable[OnHand], count: Fraction) -> tuple[list[tuple[OnHand, Fraction]], Fraction]:
    """What each lot gives of so many containers, in their order; and how many are lacking."""
    given, left = [], count
    for here in lots:
        if left <= 0:
            break
        taken = all_or(left, here.count)
        left -= min(taken, left)
        given.append((here, taken))
    return given, left if left > ROUNDING else Fraction(0)


def all_or(wanted: Fraction, there: Fraction) -> Fraction:
    """What is taken of what is there: all of it, where only a rounding would be left (eleven times 1/11 lb)."""
    return there if there - wanted <= ROUNDING else wanted


def _glass_after(pantry: Pantry, wanted: Wanted, count: Fraction) -> list[AnyLine]:
    jar = pantry.jar_size(wanted.said.product, wanted.said.size.name)
    if not jar or count.denominator != 1:
        return []
    if wanted.reason in EMPTIED:
        return [GlassLine("empties", jar, int(count))]
    if wanted.reason in AWAY:
        return [GlassLine("out", jar, int(count), wanted.note)]
    return []


def _part_of_a_jar(
    pantry: Pantry, book: Book, wanted: Wanted, count: Fraction, after: Sequence[AnyLine]
) -> list[AnyLine]:
    """Less than a jar: from the part jars, the oldest opened first; then one more is opened."""
    said = wanted.said
    open_now = [
        jar for jar in book.part_jars() if (jar.part.product, jar.part.size) == (said.product.name, said.size.name)
    ]
    lines: list[AnyLine] = []
    left = count
    for jar in open_now:
        taken = all_or(left, jar.left)
        if left <= 0:
            break
        left -= min(taken, left)
        lines += eat_from(pantry, jar, taken, wanted.reason)
    if left > ROUNDING:
        opened = open_one(pantry, book, wanted, after)
        fresh = next(line for line in opened if isinstance(line, PartLine))
        lines += opened
        lines.append(PartLine(fresh.part, -left, wanted.reason))
    return lines


def eat_from(pantry: Pantry, jar: PartOnHand, taken: Fraction, reason: str) -> list[AnyLine]:
    """The lines that take so much from a part jar; its glass comes back when it is empty."""
    lines: list[AnyLine] = [PartLine(jar.part, -taken, reason)]
    product = pantry.product(jar.part.product)
    size = pantry.jar_size(product, jar.part.size) if product is not None else ""
    if taken == jar.left and size:
        lines.append(GlassLine("empties", size, 1))
    return lines


def open_one(pantry: Pantry, book: Book, wanted: Wanted, after: Sequence[AnyLine] = ()) -> list[AnyLine]:
    """One jar off the shelf and into the fridge as a part jar, its clock begun."""
    for here in candidates(pantry, book, wanted, after):
        if here.count >= 1:
            product = wanted.said.product
            stands = here.place if goes_back_frozen(product) else fridge(pantry)
            part = PartFacts(product.name, wanted.said.size.name, pantry.today, stands, "")
            return [
                Line(here.lot, here.place, Fraction(-1), "pulled", state=here.state),
                PartLine(part, Fraction(1), "pulled"),
            ]
    raise _not_enough(book, wanted, Fraction(0))


def fridge(pantry: Pantry) -> str:
    """Where part jars stand: the household's fridge, or '' where it names none."""
    return next((place.code for place in pantry.places if place.kind == "fridge"), "")


def _another_lot(book: Book, wanted: Wanted) -> str:
    """What to say where the lot that was named is no lot of this product and size; '' where it is."""
    name, size = wanted.said.product.name, wanted.said.size.name
    ours = dict.fromkeys(here.number for here in book.on_hand(name) if here.lot.size == size)
    if wanted.lot is None or wanted.lot in ours:
        return ""
    lot = next((lot for number, lot in book.lots() if number == wanted.lot), None)
    if lot is not None and (lot.product, lot.size) == (name, size):
        return ""
    is_what = "there is no such lot in the book" if lot is None else f"it is {lot.product}, in {lot.size}"
    there = f"; of {size} {name} the book has lot {either(map(str, ours))}" if ours else ""
    return f"lot {wanted.lot} is no lot of {size} {name}: {is_what}{there}. Nothing was entered."


def _not_enough(book: Book, wanted: Wanted, there: Fraction) -> BookTrouble:
    said = wanted.said
    name, size = said.product.name, said.size.name
    if other := _another_lot(book, wanted):
        return BookTrouble(other)
    others = [here for here in book.on_hand(name) if (here.lot.size, here.state) != (size, wanted.state)]
    also = ", ".join(
        f"{sized(here.count, here.lot.size)}{f' {here.state}' if here.state else ''}" for here in others[:4]
    )
    where = f" at {wanted.place}" if wanted.place is not None else ""
    where += f" in lot {wanted.lot}" if wanted.lot is not None else ""
    where += " with a tested source written down" if wanted.sourced else ""
    state = f"{wanted.state} " if wanted.state else ""
    besides = f" (besides {also})" if also else ""
    anyway = " --anyway gives such as have none; say so to whoever gets it." if wanted.sourced else ""
    return BookTrouble(
        f"the book has {sized(there, size)} {state}{name}{where}{besides}, not {as_words(said.count)}.{anyway} "
        "If the shelf shows more, take the count there",
        ": 'count sheet', then 'count enter'.",
    )
