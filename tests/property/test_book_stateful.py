"""The whole book against a plain model in memory: any run of acts, undone and done again at will.

The model is a list of snapshots of plain dictionaries. It knows nothing of lines, signs or SQL:
undo goes back to the snapshot before an act, so the book's sums must be exactly the former ones.
"""

from __future__ import annotations

import copy
import tempfile
from collections import defaultdict
from contextlib import closing
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from msgspec import Struct, field

from pantrymeals.book.book import Book
from pantrymeals.book.connect import BOOK_FILE, connect, make
from pantrymeals.book.counts import PARTS
from pantrymeals.book.keep import what_is_wrong
from pantrymeals.book.lines import (
    AnyLine,
    FailedLine,
    GlassLine,
    Line,
    LotFacts,
    NewEntry,
    PartFacts,
    PartLine,
    ServedLine,
)
from pantrymeals.book.trouble import BookTrouble, NothingToUndo
from pantrymeals.book.twin import as_csv, csv_rows, fill_from_rows
from pantrymeals.book.writing import fill_with, redo, undo, write
from tests.unit.book.kitchen import failed_seals

FIRST_DAY = date(2026, 1, 1)
LOTS = (
    LotFacts("Applesauce", "qt", "2024"),
    LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", "page 12"),
    LotFacts("Green beans", "qt", "2025-08-12", "load 3", "page 31"),
    LotFacts("Bread flour", "lb"),
)
PLACES = ("N1", "S1")
STATES = ("", "held", "seed")

lots = st.sampled_from(LOTS)
places = st.sampled_from(PLACES)
states = st.sampled_from(STATES)
days = st.integers(0, 20).map(lambda n: FIRST_DAY + timedelta(days=n))
amounts = st.sampled_from(
    [Fraction(1), Fraction(2), Fraction(7), Fraction(1, 2), Fraction(1, 3), Fraction(17, 14), Fraction("0.15")]
)


class Model(Struct):
    """What is where, and what came and went, as plain sums."""

    shelf: defaultdict[tuple[LotFacts, str, str], Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    reasons: defaultdict[tuple[date, str, str], Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    parts: defaultdict[PartFacts, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    glass: defaultdict[tuple[str, str], int] = field(default_factory=lambda: defaultdict(int))
    failed: defaultdict[LotFacts, int] = field(default_factory=lambda: defaultdict(int))
    dishes: defaultdict[tuple[date, str], int] = field(default_factory=lambda: defaultdict(int))

    def add(self, line: AnyLine, day: date) -> None:
        match line:
            case Line():
                self.shelf[line.lot, line.place, line.state] += line.count
                self.reasons[day, line.lot.product, line.reason] += line.count
            case PartLine():
                self.parts[line.part] += line.count
            case GlassLine():
                self.glass[line.thing, line.size] += line.count
            case FailedLine():
                self.failed[line.lot] += line.count
            case ServedLine():
                self.dishes[line.served, line.dish] += line.times

    def sound(self) -> bool:
        return min(self.shelf.values(), default=0) >= 0 and min(self.parts.values(), default=0) >= 0


def kept(sums: dict) -> dict:  # type: ignore[type-arg]
    return {key: value for key, value in sums.items() if value}


class BookAgainstModel(RuleBasedStateMachine):
    """Every rule does the same to both; every invariant asks both the same."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / BOOK_FILE
        make(self.path, fill_with([]))
        self.book = Book(connect(self.path), self.path)
        self.model = Model()
        self.done: list[Model] = []
        self.undone: list[Model] = []
        self.keys: list[str] = []
        self.number = 0

    def teardown(self) -> None:
        if hasattr(self, "book"):
            assert what_is_wrong(self.book) == ()
            self.book.close()
            self.folder.cleanup()

    def act(self, day: date, lines: list[AnyLine]) -> None:
        self.number += 1
        key = f"key {self.number}"
        after = copy.deepcopy(self.model)
        for line in lines:
            after.add(line, day)
        if not after.sound():
            with pytest.raises(BookTrouble):
                write(self.book, NewEntry(day, "act", key=key), lambda _: lines)
            return
        write(self.book, NewEntry(day, "act", key=key), lambda _: lines)
        self.done.append(self.model)
        self.undone = []
        self.model = after
        self.keys.append(key)

    @rule(day=days, lot=lots, place=places, count=amounts, failed=st.integers(0, 2))
    def put_up(self, day: date, lot: LotFacts, place: str, count: Fraction, failed: int) -> None:
        lines: list[AnyLine] = [Line(lot, place, count, "put up"), GlassLine("lids", "regular", -1 - failed)]
        self.act(day, [*lines, *([FailedLine(lot, failed)] if failed else [])])

    @rule(
        day=days, lot=lots, place=places, state=states, count=amounts,
        why=st.sampled_from(["pulled", "eaten", "given", "spoiled"]),
    )  # fmt: skip
    def take(self, day: date, lot: LotFacts, place: str, state, count: Fraction, why) -> None:  # type: ignore[no-untyped-def]
        self.act(day, [Line(lot, place, -count, why, state), GlassLine("empties", lot.size, 1)])

    @rule(day=days, lot=lots, place=places, to=places, state=states, into=states, count=amounts)
    def move(self, day: date, lot: LotFacts, place: str, to: str, state, into, count: Fraction) -> None:  # type: ignore[no-untyped-def]
        self.act(day, [Line(lot, place, -count, "moved", state), Line(lot, to, count, "moved", into)])

    @rule(day=days, lot=lots, place=places, left=amounts)
    def open_jar(self, day: date, lot: LotFacts, place: str, left: Fraction) -> None:
        jar = PartFacts(lot.product, lot.size, day, "Fridge")
        self.act(day, [Line(lot, place, Fraction(-1), "pulled"), PartLine(jar, left, "pulled")])

    @rule(day=days, lot=lots, count=amounts)
    def eat_from_part_jar(self, day: date, lot: LotFacts, count: Fraction) -> None:
        self.act(day, [PartLine(PartFacts(lot.product, lot.size, day, "Fridge"), -count, "eaten")])

    @rule(day=days, dish=st.sampled_from(["Bean pot soup", "Monday soup"]))
    def serve(self, day: date, dish: str) -> None:
        self.act(day, [ServedLine(day, "supper", dish)])

    @precondition(lambda self: self.keys)
    @rule(data=st.data())
    def say_it_twice(self, data: st.DataObject) -> None:
        key = data.draw(st.sampled_from(self.keys))
        lines: list[AnyLine] = [Line(LOTS[0], "N1", Fraction(9), "put up")]
        assert write(self.book, NewEntry(FIRST_DAY, "again", key=key), lambda _: lines).again

    @rule(day=days)
    def undo_the_last(self, day: date) -> None:
        if not self.done:
            with pytest.raises(NothingToUndo):
                undo(self.book, NewEntry(day, "undo"))
            return
        undo(self.book, NewEntry(day, "undo"))
        self.undone.append(self.model)
        self.model = self.done.pop()

    @rule(day=days)
    def redo_the_last(self, day: date) -> None:
        if not self.undone:
            with pytest.raises(NothingToUndo):
                redo(self.book, NewEntry(day, "redo"))
            return
        redo(self.book, NewEntry(day, "redo"))
        self.done.append(self.model)
        self.model = self.undone.pop()

    @rule()
    def close_and_open(self) -> None:
        self.book.close()
        self.book = Book(connect(self.path), self.path)

    @rule()
    def out_and_in_again(self) -> None:
        """The twin makes the same book, and the run goes on in it."""
        twin = self.path.with_suffix(".csv")
        twin.write_bytes(as_csv(self.book))
        again = Path(self.folder.name) / f"again{self.number}.sqlite"
        again.unlink(missing_ok=True)
        make(again, fill_from_rows(twin.name, csv_rows(twin)))
        self.book.close()
        self.path = again
        self.book = Book(connect(again), again)

    @invariant()
    def the_same_on_the_shelf(self) -> None:
        on_hand = {(here.lot, here.place, here.state): here.count for here in self.book.on_hand()}
        assert on_hand == kept(self.model.shelf)

    @invariant()
    def the_same_history(self) -> None:
        by_day = {
            (date.fromisoformat(day), product, reason): Fraction(parts, PARTS)
            for day, product, reason, parts in self.book.db.execute(
                "SELECT day, product, reason, sum(parts) FROM history GROUP BY 1, 2, 3 HAVING sum(parts) <> 0"
            )
        }
        assert by_day == kept(self.model.reasons)
        told: defaultdict[tuple[date, str, str], Fraction] = defaultdict(Fraction)
        for line in self.book.movements():
            told[line.day, line.product, line.reason] += line.count
        assert kept(told) == kept(self.model.reasons)

    @invariant()
    def the_same_part_jars_glass_failures_and_dishes(self) -> None:
        assert {jar.part: jar.left for jar in self.book.part_jars()} == kept(self.model.parts)
        assert kept(self.book.glass()) == kept(self.model.glass)
        facts = dict(self.book.lots())
        assert {facts[n]: count for n, count in failed_seals(self.book).items()} == kept(self.model.failed)
        assert sorted(self.book.served()) == sorted(kept(self.model.dishes))

    @invariant()
    def whole_to_any_other_eye(self) -> None:
        with closing(connect(self.path)) as other:
            assert Book(other, self.path).on_hand() == self.book.on_hand()


BookAgainstModel.TestCase.settings = settings(max_examples=30, stateful_step_count=30, deadline=None)
TestBookAgainstModel = BookAgainstModel.TestCase
