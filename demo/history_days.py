"""When it went: a season's outflow spread over its days and over its lots, oldest first."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from history_lots import COUNT_DAY, STARTS, Outflow, ShelfLot, number, season_of
from msgspec import Struct

from pantrymeals.records import Product, Reason

RECENT_DAYS = 42

# What the count of 17 January found: book against shelf (the rest agreed).
UNTALLIED = {"Applesauce": -3, "Dill cucumbers": -3, "Raspberry jam": -4, "Venison chunks": 2, "Onions": -12}
WINTER_FOOD = frozenset(
    {"Vegetable soup base", "Bean and ham soup", "Chili base, no beans", "Sauerkraut", "Split pea soup",
     "Chicken stock", "Beef chunks", "Ground beef, canned"}
)  # fmt: skip
FAVOURITES = frozenset(
    {"Raspberry jam", "Dill cucumbers", "Peaches in syrup", "Strawberry jam", "Pears in syrup", "Raspberries"}
)
# Lost on a day of its own: (day, reason, why).
LOSSES: Mapping[str, tuple[date, Reason, str]] = {
    "Whole chicken": (date(2025, 10, 10), "spoiled", "woodshed freezer lid propped on a bag overnight"),
    "Eggs, beaten": (date(2025, 12, 20), "spoiled", "ice storm, upright past its day"),
    "Goat cheese": (date(2025, 12, 20), "spoiled", "ice storm, upright past its day"),
    "Green beans": (date(2025, 11, 9), "failed seal", "two of load 3 let go in store; thrown out untasted"),
}


class Piece(Struct, frozen=True):
    """So much of one lot that went on one day. kind: given, lost or used."""

    lot: ShelfLot
    day: date
    kind: str
    count: Fraction


class Spread:
    """Spreads what went over the days. rows: season.yaml's rows of 2025, by product."""

    def __init__(self, rows: Mapping[str, Any], chance: random.Random) -> None:
        self.rows = rows
        self.chance = chance

    # --- what left, and when --------------------------------------------------------------------------

    def leave(
        self, product: Product, lots: list[ShelfLot], season: int, out: Outflow, fixed: list[date]
    ) -> list[Piece]:
        """Everything of a product that went in one season. fixed: days on which one was surely opened."""
        last = COUNT_DAY - timedelta(days=1) if season == 2025 else date(season + 1, 4, 30)
        found = UNTALLIED.get(product.name, 0) if season == 2025 else 0
        lost, used = out.lost, out.used
        if found < 0:  # what was never tallied is entered by the count
            cut = min(lost, Fraction(-found)) if product.name == "Onions" else Fraction(0)
            lost, used = lost - cut, used + found + cut
        else:
            used += found
        pieces = [(day, "given", n) for day, n in self._few(out.given, season, last)]
        pieces += [(day, "lost", n) for day, n in self._losses(product, lost, season, last)]
        pieces += [(day, "used", n) for day, n in self._uses(product, lots, used, season, last, fixed)]
        pieces.sort(key=lambda piece: (piece[1] != "lost" or product.name not in LOSSES, piece[0]))
        return list(self._hand_out(product, lots, season, pieces, last))

    def _few(self, count: Fraction, season: int, last: date) -> Iterator[tuple[date, Fraction]]:
        """Gifts: mostly in the fortnight before Christmas, the rest when there was company."""
        for _ in range(int(count)):
            if self.chance.random() < 0.6:
                yield date(season, 12, 10) + timedelta(days=self.chance.randint(0, 14)), Fraction(1)
            else:
                yield self._any_day(season, last), Fraction(1)

    def _any_day(self, season: int, last: date) -> date:
        return STARTS[season] + timedelta(days=self.chance.randint(20, (last - STARTS[season]).days - 3))

    def _losses(self, product: Product, count: Fraction, season: int, last: date) -> Iterator[tuple[date, Fraction]]:
        if not count:
            return
        if season == 2025 and product.name in LOSSES:
            yield LOSSES[product.name][0], count
            return
        goes = 1 if product.whole and product.kind != "cellar" else max(2, int(count) // 4)
        left = count
        while left > 0:
            piece = min(left, Fraction(goes))
            left -= piece
            yield self._any_day(season, last), piece

    def _uses(
        self, product: Product, lots: list[ShelfLot], count: Fraction, season: int, last: date, fixed: list[date]
    ) -> Iterator[tuple[date, Fraction]]:
        for day in fixed:
            yield day, Fraction(1)
        left = count - len(fixed)
        if left <= 0:
            return
        days = [STARTS[season] + timedelta(days=n) for n in range(1, (last - STARTS[season]).days)]
        weights = [self._appetite(product, lots, day, season) for day in days]
        weights = _as_stock_allows(lots, season, days, weights)
        if season == 2025:
            recent = number(self.rows[product.name]["a_week_now"]) * RECENT_DAYS / 7
            recent = min(recent, left * 3 / 5)
            weights = self._towards_now(days, weights, float(recent / left), last)
        if not any(weights):
            weights = [1.0] * len(days)
        if product.whole or (left.denominator == 1 and product.measure == "each"):
            for _ in range(int(left)):
                yield self.chance.choices(days, weights)[0], Fraction(1)
            return
        yield from self._by_the_week(days, weights, left)

    def _towards_now(self, days: list[date], weights: list[float], share: float, last: date) -> list[float]:
        """Scale the last six weeks so that they take their share of the season: the present pace."""
        edge = last - timedelta(days=RECENT_DAYS)
        late = sum(w for d, w in zip(days, weights, strict=True) if d >= edge)
        early = sum(weights) - late
        if not late or not early or not 0 < share < 1:
            return weights
        up = share / (1 - share) * early / late
        return [w * up if d >= edge else w for d, w in zip(days, weights, strict=True)]

    def _by_the_week(self, days: list[date], weights: list[float], left: Fraction) -> Iterator[tuple[date, Fraction]]:
        """Loose goods, written up each Saturday in quarters of a pound; the last one takes what is over."""
        saturdays = [d for d in days if d.weekday() == 5]
        heft = dict.fromkeys(saturdays, 0.0)
        for day, weight in zip(days, weights, strict=True):
            ahead = day + timedelta(days=(5 - day.weekday()) % 7)
            if ahead in heft:
                heft[ahead] += weight * self.chance.uniform(0.75, 1.25)
        total, done, so_far = sum(heft.values()), Fraction(0), 0.0
        for day in saturdays:
            so_far += heft[day]
            upto = left if day == saturdays[-1] else Fraction(math.floor(4 * float(left) * so_far / total), 4)
            if upto > done:
                yield day, upto - done
                done = upto

    def _appetite(self, product: Product, lots: list[ShelfLot], day: date, season: int) -> float:
        """How likely a product is to be taken on a day: by the time of year, and how new it is."""
        came = [d for lot in lots for d, _ in lot.came if d <= day]
        if not came or (not any(lot.starts(season) for lot in lots) and max(came) < STARTS[season]):
            return 0.0
        weight = 1.0
        if product.eaten_in and day.month not in product.eaten_in:
            weight *= 0.02
        if product.name in WINTER_FOOD:
            weight *= 1.0 if day.month in (10, 11, 12, 1, 2, 3, 4) else 0.06
        elif product.kind == "jar" and day.month in (7, 8, 9):
            weight *= 0.45  # the garden feeds the table then
        elif product.kind == "freezer" and product.family in ("berry", "vegetable") and day.month in (6, 7, 8):
            weight *= 0.3
        if product.name in FAVOURITES:
            weight *= 1 + 2.5 * math.exp(-(day - max(came)).days / 30)
        return weight

    def _hand_out(
        self, product: Product, lots: list[ShelfLot], season: int, pieces: list[tuple[date, str, Fraction]], last: date
    ) -> Iterator[Piece]:
        """Give each piece to the oldest lot that has still to shrink and is there by then."""
        owed = {id(lot): lot.goes(season) for lot in lots}
        if season == 2025 and product.name in UNTALLIED:
            owed[id(short_of_count(lots))] += UNTALLIED[product.name]
        for day, kind, count in pieces:
            left = count
            due = oldest_first(lots)
            if kind == "lost" and season == 2025 and product.name == "Green beans":
                due = [lot for lot in due if lot.facts.load.endswith("load 3")]
            while left > 0:
                lot, when = self._source_lot([x for x in due if owed[id(x)] > 0], season, day, last)
                piece = min(left, owed[id(lot)])
                owed[id(lot)] -= piece
                left -= piece
                yield Piece(lot, when, kind, piece)
        assert not any(owed.values()), (product.name, season, list(owed.values()))

    def _source_lot(self, due: list[ShelfLot], season: int, day: date, last: date) -> tuple[ShelfLot, date]:
        for lot in due:
            if last_came(lot, season) <= day:
                return lot, day
        soon = last_came(due[0], season) + timedelta(days=self.chance.randint(1, 20))
        return due[0], min(soon, last)


def _as_stock_allows(lots: list[ShelfLot], season: int, days: list[date], weights: list[float]) -> list[float]:
    """Before the new crop, no more is eaten than was carried over: those days weigh that much in all."""
    going = [lot for lot in lots if lot.goes(season) > 0]
    new = [last_came(lot, season) for lot in going if lot.arrives(season)]
    if not new:
        return weights
    first_new, total = min(new), float(sum((lot.goes(season) for lot in going), Fraction(0)))
    share = float(sum((lot.goes(season) for lot in going if not lot.arrives(season)), Fraction(0))) / total
    early = sum(w for d, w in zip(days, weights, strict=True) if d < first_new)
    late = sum(weights) - early
    if not early or not late or share >= 1 or early / (early + late) <= share:
        return weights
    down = share / (1 - share) * late / early
    return [w * down if d < first_new else w for d, w in zip(days, weights, strict=True)]


def last_came(lot: ShelfLot, season: int) -> date:
    """The last day on which some of it came, up to this season's end: it is all there from then on."""
    return max(day for day, _ in lot.came if season_of(day) <= season)


def oldest_first(lots: list[ShelfLot]) -> list[ShelfLot]:
    """The order in which a careful household takes them."""
    return sorted(lots, key=lambda lot: (lot.facts.put_up, lot.came[0][0], lot.facts.load, lot.place))


def short_of_count(lots: list[ShelfLot]) -> ShelfLot:
    """The lot on which the count's difference is entered: the oldest that is still there."""
    return next(lot for lot in oldest_first(lots) if lot.ends[2025])
