"""Makes put-up-book.csv: the Tarrow household's book from 1 May 2023 to the count of 17 January 2026.

Every figure comes from season.yaml (three seasons of the book) and stock.csv (the count); chance,
from a fixed seed, only spreads them over the days. Where season.yaml has no figures for the two
earlier seasons they are made up in proportion to this one, so that what was carried over agrees.
For each product: carried over + put up - given - lost - used = on hand, season by season.

Run from the repository: python demo/make_history.py [FILE]
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import yaml
from history_days import LOSSES, UNTALLIED, Piece, Spread, last_came, short_of_count
from history_lots import COUNT_DAY, STARTS, LotsOfSeasons, ShelfLot, season_of
from msgspec import Struct

from pantrymeals.actions.book.pantry import Pantry, glass_in_season, part_line, read_pantry
from pantrymeals.actions.larder import lots_in, part_jars_in
from pantrymeals.book.book import Book
from pantrymeals.book.connect import make_in_memory
from pantrymeals.book.lines import (
    HOUSEHOLD,
    AnyLine,
    FailedLine,
    GlassLine,
    Line,
    LotFacts,
    NewEntry,
    PartLine,
    ServedLine,
)
from pantrymeals.book.twin import as_csv
from pantrymeals.book.writing import fill_with
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.stock import read_open, read_stock
from pantrymeals.records import Lot, LotState, PartJar, Product, Reason

DEMO = Path(__file__).parent
SEED = 1705
HELD_SINCE = {"Elderberry jelly": date(2024, 2, 10), "Marrow and ginger jam": date(2024, 2, 10)}
# Jars that did not seal in the season of 2025, by product and put-up day; nine in all.
FAILED_2025 = {
    ("Strawberry jam", "2025-06-25"): 1, ("Raspberry jam", "2025-07-24"): 1, ("Green beans", "2025-08-04"): 1,
    ("Applesauce", "2025-10-06"): 1, ("Applesauce", "2025-10-19"): 1, ("Salsa", "2025-09-06"): 1,
    ("Peaches in syrup", "2025-08-15"): 1, ("Chicken pieces", "2025-08-10"): 1,
    ("Dilly beans", "2025-08-20"): 1,
}  # fmt: skip
WIDE_MOUTHS = frozenset({"Peaches in syrup", "Pears in syrup", "Dill cucumbers", "Sauerkraut"})
LIDS_BOUGHT = {date(2024, 4, 20): (640, 180), date(2025, 4, 19): (760, 240)}
JARS_BACK = (date(2024, 1, 20), date(2024, 7, 13), date(2025, 1, 18), date(2025, 7, 12), date(2026, 1, 10))
FRESH = {"Milk": (0, 2, 4, 5), "Eggs, fresh": (1, 4), "Cream": (2,)}  # weekdays on which they come
FRESH_AMOUNT = {"Milk": Fraction(1), "Eggs, fresh": Fraction(12), "Cream": Fraction(1)}
WHO = ("Maren", "Maren", "Maren", "Joss", "Edda")


class Act(Struct, frozen=True):
    """One thing that was done, on a day; order: what comes in goes before what goes out.

    together: acts of one day with the same words are one entry.
    """

    day: date
    order: int
    command: str
    who: str
    lines: tuple[AnyLine, ...]
    together: bool = False


class Scribe:
    """Writes pieces down as acts."""

    def __init__(self, pantry: Pantry, opened: Mapping[tuple[str, date], PartJar], chance: random.Random) -> None:
        self.pantry = pantry
        self.opened = dict(opened)
        self.chance = chance
        self.acts: list[Act] = []

    def came(self, product: Product, lots: list[ShelfLot]) -> None:
        """What was put up, bought or carried over; and what has since been held back."""
        for lot in lots:
            for day, count in lot.came:
                state = _state(lot, day)
                if day == STARTS[2023]:
                    line = Line(lot.facts, lot.place, count, "counted", state)
                    self.acts.append(Act(day, 0, "count enter 1 May 2023: carried over", "Maren", (line,), True))
                else:
                    self._put_up(product, lot, day, count, state)
            since = HELD_SINCE.get(product.name)
            if since is not None and lot.state == "held":
                there = lot.ends[2023]
                lines = _into_state(lot, there, "", "held")
                self.acts.append(Act(since, 3, f"hold {there} {lot.facts.size} {product.name}", "Maren", lines))

    def _put_up(self, product: Product, lot: ShelfLot, day: date, count: Fraction, state: LotState) -> None:
        lines: list[AnyLine] = [Line(lot.facts, lot.place, count, lot.reason, state)]
        said = f"{_plain(count)} {lot.facts.size} {product.name.lower()}"
        jar = self.pantry.jar_size(product, lot.facts.size)
        if lot.reason == "put up" and jar:
            failed = FAILED_2025.get((product.name, day.isoformat()), 0)
            if season_of(day) < 2025 and self.chance.random() < 0.11:
                failed = 1
            filled = int(count) + failed
            wide = jar == "qt" and (product.acid == "low" or product.name in WIDE_MOUTHS)
            lines += [FailedLine(lot.facts, failed)] if failed else []
            lines.append(GlassLine("empties", jar, -int(count)))
            if product.kind == "jar":
                lines += [GlassLine("lids", "wide" if wide else "regular", -filled)]
            said += f" --failed {failed}" if failed else ""
        verb = "put-up" if lot.reason == "put up" else "bring-in"
        self.acts.append(Act(day, 1, f"{verb} {said}", "Maren", tuple(lines)))

    def went(self, product: Product, piece: Piece) -> None:
        """One piece, in the household's words."""
        jar = self.opened.pop((product.name, piece.day), None) if piece.kind == "used" else None
        if jar is not None:
            self._opened(piece, jar)
            return
        reason, note, word = self._reason(product, piece)
        facts, day = piece.lot.facts, piece.day
        lines: list[AnyLine] = [Line(facts, piece.lot.place, -piece.count, reason, _state(piece.lot, day), note)]
        size = self.pantry.jar_size(product, facts.size)
        if size and piece.kind == "used":
            lines.append(GlassLine("empties", size, int(piece.count)))
        if size and piece.kind == "given":
            lines.append(GlassLine("out", size, int(piece.count)))
        if word == "pull":
            season = season_of(day)
            saturday = day - timedelta(days=(day.weekday() - 5) % 7)
            day = max(saturday, last_came(piece.lot, season), STARTS[season] + timedelta(days=1))
            self.acts.append(Act(day, 2, "pull the week's list", "Maren", tuple(lines), True))
        elif word == "tally" and not product.whole and day.weekday() == 5:
            self.acts.append(Act(day, 2, "tally the week's loose goods", "Maren", tuple(lines), True))
        else:
            said = f"{word} {_plain(piece.count)} {facts.size} {product.name.lower()}"
            self.acts.append(Act(day, 2, said, self.chance.choice(WHO), tuple(lines)))

    def _reason(self, product: Product, piece: Piece) -> tuple[Reason, str, str]:
        if piece.kind == "given":
            return "given", "", "give"
        if piece.kind == "lost":
            if product.name in LOSSES and LOSSES[product.name][0] == piece.day:
                return LOSSES[product.name][1], LOSSES[product.name][2], "spoiled"
            if product.kind == "cellar":
                rotten = self.chance.random() < 0.5
                return ("compost", "gone over", "compost") if rotten else ("to the hens", "gone over", "hens")
            return (
                ("failed seal", "let go", "spoiled --let-go") if product.kind == "jar" else ("spoiled", "", "spoiled")
            )
        if product.whole and product.kind == "jar" and self.chance.random() < 0.7:
            return "pulled", "", "pull"
        return "eaten", "", "tally"

    def _opened(self, piece: Piece, jar: PartJar) -> None:
        """A jar opened on its day, of which some is left in the fridge."""
        left = part_line(self.pantry, jar)
        lines: list[AnyLine] = [
            Line(piece.lot.facts, piece.lot.place, Fraction(-1), "pulled", piece.lot.state),
            PartLine(left.part, Fraction(1), "pulled"),
        ]
        if left.count < 1:
            lines.append(PartLine(left.part, left.count - 1, "eaten"))
        self.acts.append(Act(piece.day, 2, f"open 1 {jar.size} {jar.product.lower()}", "Edda", tuple(lines)))

    def untallied(self, product: Product, lots: list[ShelfLot]) -> None:
        """What the mid-winter count found other than the book said."""
        lot = short_of_count(lots)
        line = Line(lot.facts, lot.place, Fraction(UNTALLIED[product.name]), "counted", lot.state)
        self.acts.append(Act(COUNT_DAY, 9, "count enter mid-winter.csv", "Maren", (line,), True))

    def load_held(self, lots: list[ShelfLot]) -> None:
        """Load 3 of the August beans: held when two of it let go, looked over, put back."""
        lot = next(lot for lot in lots if lot.facts.load.endswith("load 3"))
        there = lot.ends[2025]
        hold, back = _into_state(lot, there, "", "held"), _into_state(lot, there, "held", "")
        self.acts.append(Act(date(2025, 11, 9), 3, f"hold load {lot.facts.load}", "Maren", hold))
        self.acts.append(Act(date(2025, 11, 23), 3, f"release load {lot.facts.load}", "Maren", back))

    def bird_lifted_out(self, lots: list[ShelfLot], jar: PartJar) -> None:
        """Friday's bird for Sunday's roast."""
        lot = next(lot for lot in lots if lot.facts.put_up == "2025-07-18")
        self._opened(Piece(lot, jar.opened, "used", Fraction(1)), jar)

    def fresh(self, product: Product, lot: Lot) -> None:
        """What comes and goes within the week: milk and cream by barter, eggs from the hens."""
        day, whole = date(2025, 11, 1), FRESH_AMOUNT[product.name]
        assert lot.put_up is not None
        while day <= lot.put_up:
            if day.weekday() in FRESH[product.name]:
                facts = LotFacts(product.name, lot.size, day.isoformat(), "", "", lot.note if day == lot.put_up else "")
                left = lot.count if day == lot.put_up else Fraction(0)
                lines = (Line(facts, lot.where, whole, "arrived"), Line(facts, lot.where, left - whole, "eaten"))
                self.acts.append(Act(day, 1, "bring-in and tally what came fresh", "Maren", lines, True))
            day += timedelta(days=1)


def _into_state(lot: ShelfLot, count: Fraction, out: LotState, into: LotState) -> tuple[AnyLine, ...]:
    return (Line(lot.facts, lot.place, -count, "moved", out), Line(lot.facts, lot.place, count, "moved", into))


def _state(lot: ShelfLot, day: date) -> LotState:
    """What is held back later was on the open shelf while it was still being tried."""
    since = HELD_SINCE.get(lot.facts.product)
    return "" if since is not None and day < since else lot.state


def _plain(count: Fraction) -> str:
    return str(count) if count.denominator == 1 else f"{float(count):g}"


def all_acts(
    pantry: Pantry, stock: tuple[Lot, ...], open_now: tuple[PartJar, ...], season: Mapping[str, Any]
) -> list[Act]:
    """Everything that was ever done, in no order."""
    chance = random.Random(SEED)
    seasons = LotsOfSeasons(stock, season, chance)
    spread = Spread(seasons.rows, chance)
    opened = {(jar.product, jar.opened): jar for jar in open_now}
    scribe = Scribe(pantry, opened, chance)
    for name in seasons.rows:
        product = pantry.known.by_name[name]
        lots, outflow = seasons.lots_of(product)
        if name == "Whole chicken":
            scribe.bird_lifted_out(lots, next(jar for jar in open_now if jar.product == name))
        scribe.came(product, lots)
        fixed = [day for (opened_name, day) in opened if opened_name == name and name != "Whole chicken"]
        for year in (2023, 2024, 2025):
            out = outflow[year]
            for piece in spread.leave(product, lots, year, out, fixed if year == 2025 else []):
                scribe.went(product, piece)
        if name in UNTALLIED:
            scribe.untallied(product, lots)
        if name == "Green beans":
            scribe.load_held(lots)
    for lot in stock:
        if lot.product in FRESH:
            scribe.fresh(pantry.known.by_name[lot.product], lot)
    return scribe.acts


def glass_acts(acts: list[Act], season: Mapping[str, object]) -> Iterator[Act]:
    """Lids bought, jars that came back, and the glass there was at first, so that the end agrees."""
    net: defaultdict[tuple[str, str], int] = defaultdict(int)
    for act in acts:
        for line in act.lines:
            if isinstance(line, GlassLine):
                net[line.thing, line.size] += line.count
    final = {(line.thing, line.size): line.count for line in glass_in_season(season)}
    lines: list[AnyLine] = []
    for (thing, size), count in final.items():
        if thing == "out":
            away = net["out", size]
            first = max(count * 3 // 5, count - away)
            back = first + away - count
            net["empties", size] += back
            yield from _came_back(size, back)
            lines.append(GlassLine("out", size, first))
    for day, (regular, wide) in LIDS_BOUGHT.items():
        bought = (GlassLine("lids", "regular", regular), GlassLine("lids", "wide", wide))
        net["lids", "regular"] += regular
        net["lids", "wide"] += wide
        yield Act(day, 1, f"lids regular {regular} --more, and wide {wide}", "Maren", bought)
    for (thing, size), count in final.items():
        if thing != "out":
            lines.append(GlassLine(thing, size, count - net[thing, size]))  # type: ignore[arg-type]
    yield Act(STARTS[2023], 0, "count enter 1 May 2023: carried over", "Maren", tuple(lines), True)


def _came_back(size: str, back: int) -> Iterator[Act]:
    for number, day in enumerate(JARS_BACK):
        count = back * (number + 1) // len(JARS_BACK) - back * number // len(JARS_BACK)
        if count:
            lines = (GlassLine("out", size, -count), GlassLine("empties", size, count))
            yield Act(day, 2, f"empties {size} {count} --back", "Edda", lines)


def as_entries(acts: Iterable[Act]) -> Iterator[tuple[NewEntry, list[AnyLine]]]:
    """The acts by day, those of one breath together, each with a key that is always the same."""
    entries: dict[tuple[object, ...], tuple[NewEntry, list[AnyLine]]] = {}
    for number, act in enumerate(sorted(acts, key=lambda act: (act.day, act.order))):
        words = (act.day, act.order, act.command) if act.together else (act.day, act.order, act.command, number)
        if words not in entries:
            entries[words] = (NewEntry(act.day, act.command, act.who, f"history {len(entries) + 1}"), [])
        entries[words][1].extend(act.lines)
    yield from entries.values()


def say_if_it_disagrees(pantry: Pantry, book: Book, stock: Iterable[Lot], open_now: Iterable[PartJar]) -> None:
    """The book must end as the count sheet says, lot by lot, or nothing is written."""

    def plain(lots: Iterable[Lot]) -> set[tuple[object, ...]]:
        return {
            (x.product, x.size, x.count, x.put_up, x.year_only, x.where, x.load, x.tested_source, x.state, x.note)
            for x in lots
        }

    wrong = plain(lots_in(pantry, book)) ^ plain(stock)
    jars = {(x.product, x.size, x.left, x.opened, x.where, x.note) for x in part_jars_in(pantry, book)}
    wrong |= jars ^ {(x.product, x.size, x.left, x.opened, x.where, x.note) for x in open_now}
    if wrong:
        raise SystemExit("\n".join(["the book does not end as the count says:", *map(str, sorted(wrong, key=str))]))
    below = book.db.execute(
        """SELECT product, day,
                  sum(parts) OVER (PARTITION BY lot, place, state ORDER BY movement.id) AS left_there
           FROM movement JOIN lot ON lot.id = lot ORDER BY left_there LIMIT 1"""
    ).fetchone()
    glass = book.db.execute(
        """SELECT thing, day, sum(count) OVER (PARTITION BY thing, size ORDER BY id) AS left_there
           FROM glass_movement ORDER BY left_there LIMIT 1"""
    ).fetchone()
    if min(below[2], glass[2]) < 0:
        raise SystemExit(f"at some time less than nothing was there: {below}, {glass}")


def main(out: Path) -> None:
    """Make the twin, once it agrees with the count."""
    pantry = read_pantry(DEMO, None, COUNT_DAY)
    gathering = Gathering()
    stock = read_stock(DEMO / "stock.csv", pantry.known, pantry.places, gathering)
    open_now = read_open(DEMO / "open.csv", pantry.known, pantry.places, gathering)
    gathering.stop_if_any()
    season = yaml.safe_load((DEMO / "season.yaml").read_text(encoding="utf-8"))
    acts = all_acts(pantry, stock, open_now, season)
    acts += glass_acts(acts, pantry.season)
    entries = list(as_entries(acts))
    first, lines = entries[0]
    lines.append(ServedLine(first.day, HOUSEHOLD, pantry.name))
    book = Book(make_in_memory(fill_with(entries)), out)
    say_if_it_disagrees(pantry, book, stock, open_now)
    out.write_bytes(as_csv(book))
    print(f"{out}: {len(book.entries())} entries, {len(book.movements())} movements of jars")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else DEMO / "put-up-book.csv")
