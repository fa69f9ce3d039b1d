"""Says what was entered, in a sentence a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.book.lines import SAID, AnyLine, FailedLine, Line, LotFacts, PartLine, ServedLine, is_a_meal
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import sized
from pantrymeals.units import as_words
from pantrymeals.words import ahead_words, near_day, plural


def not_come_yet(pantry: Pantry, said: str, day: date) -> str:
    """That a day which was said is ahead of the calendar's and the household's; '' where it has come."""
    return ahead_words(said, pantry.latest_day) if day > pantry.latest_day else ""


def label_words(lot: LotFacts) -> str:
    """'put up 6 Oct 2025, load 3'; nothing where nothing is known."""
    parts = [f"put up {put_up_words(lot.put_up)}"] if lot.put_up else []
    return ", ".join([*parts, *([lot.load] if lot.load else [])])


def told(lines: Iterable[AnyLine], today: date) -> list[str]:
    """Each jar, part jar and failed seal of an entry, in the order written; glass goes without saying."""
    said = []
    served = 0
    for line in _together(lines):
        if isinstance(line, Line):
            said.append(_jars(line))
        elif isinstance(line, PartLine):
            said.append(_part(line, today))
        elif isinstance(line, FailedLine):
            said.append(f"  {sized(Fraction(line.count), line.lot.size)} did not seal: not counted as put up")
        elif isinstance(line, ServedLine) and line.meal.startswith(SAID):
            said.append(f"  {line.dish}: '{line.meal.removeprefix(SAID)}'{'' if line.times > 0 else ', taken back'}")
        elif isinstance(line, ServedLine) and is_a_meal(line.meal):
            served += 1
    if served:
        said.append(f"  {plural(served, 'dish')} written down as served")
    return said


def _together(lines: Iterable[AnyLine]) -> list[AnyLine]:
    """The lines with jars of one lot, taken from one place for one reason, said once."""
    merged: dict[object, AnyLine] = {}
    for number, line in enumerate(lines):
        key: object = number
        if isinstance(line, Line):
            key = (line.lot, line.place, line.state, line.reason, line.note, line.count > 0)
        before = merged.get(key)
        if isinstance(line, Line) and isinstance(before, Line):
            line = replace(line, count=line.count + before.count)
        merged[key] = line
    return list(merged.values())


def _jars(line: Line) -> str:
    sign = "+" if line.count > 0 else "-"
    label = label_words(line.lot)
    place = f" {'to' if line.count > 0 else 'from'} {line.place}" if line.place else ""
    state = f", {line.state}" if line.state else ""
    note = f" ({line.note})" if line.note else ""
    what = f"{sized(abs(line.count), line.lot.size)} {line.lot.product}"
    return f"  {sign} {what}{place}{state}{f', {label}' if label else ''}{note}"


def _part(line: PartLine, today: date) -> str:
    what = f"{sized(abs(line.count), line.part.size)} {line.part.product}"
    if line.count < 0:
        return f"  - part jar: {what}"
    later = f", to be opened {near_day(line.part.opened, today)}" if line.part.opened > today else ""
    return f"  + part jar: {what}{later}"


_FEW = 4
"""Products of an entry of which it is said what there is now."""


def now_on_the_shelf(book: Book, lines: Sequence[AnyLine]) -> list[str]:
    """'On the shelf now: 15 qt Tomatoes, crushed' for the products of an entry, if they are few."""
    products = list(dict.fromkeys(line.lot.product for line in lines if isinstance(line, Line)))
    if len(products) > _FEW:
        return []
    said = []
    for product in products:
        by_size: dict[str, Fraction] = {}
        held = Fraction(0)
        for here in book.on_hand(product):
            if here.state == "":
                by_size[here.lot.size] = by_size.get(here.lot.size, Fraction(0)) + here.count
            elif here.state in ("held", "suspect"):
                held += here.count
        there = " and ".join(sized(count, size) for size, count in by_size.items()) or "none"
        back = f", and {as_words(held)} held back" if held else ""
        said.append(f"On the shelf now: {there} {product}{back}.")
    return said


def any_before(book: Book, entry: int) -> bool:
    """Whether anything was entered earlier that day, so that the standing line may be short."""
    found = book.db.execute(
        "SELECT 1 FROM entry AS before JOIN entry AS this ON this.id = ?1 AND before.day = this.day "
        "WHERE before.id < ?1 LIMIT 1",
        (entry,),
    ).fetchone()
    return found is not None
