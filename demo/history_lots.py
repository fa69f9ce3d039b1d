"""The lots of the demo's book: what came of each, and what it held at each 1 May.

Figures are those of season.yaml and stock.csv; the seasons of 2023 and 2024 are made up in
proportion where season.yaml has none.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.actions.book.pantry import facts_of
from pantrymeals.book.lines import LotFacts
from pantrymeals.records import Lot, LotState, Product, Reason

STARTS = {2023: date(2023, 5, 1), 2024: date(2024, 5, 1), 2025: date(2025, 5, 1)}
COUNT_DAY = date(2026, 1, 17)
GIFTS_IN = frozenset({"Pumpkin butter (gift)", "Tomato soup, half-gallon (gift)"})


class ShelfLot(Struct):
    """One lot at one place: when it came, how many, and how many are there at each 1 May and at the end."""

    facts: LotFacts
    place: str
    state: LotState
    came: list[tuple[date, Fraction]]
    reason: Reason
    ends: dict[int, Fraction] = field(default_factory=dict)

    def starts(self, season: int) -> Fraction:
        """What a season begins with of it."""
        if season == 2023:
            return sum((n for day, n in self.came if day <= STARTS[2023]), Fraction(0))
        return self.ends[season - 1]

    def arrives(self, season: int) -> Fraction:
        """What comes of it within a season, the opening day's carry-over apart."""
        return sum((n for day, n in self.came if season_of(day) == season and day > STARTS[2023]), Fraction(0))

    def goes(self, season: int) -> Fraction:
        """What must go of it within a season."""
        return self.starts(season) + self.arrives(season) - self.ends[season]


class Outflow(Struct, frozen=True):
    """What leaves the shelf in one season: given away, lost in store, used at table and tallied."""

    given: Fraction
    lost: Fraction
    used: Fraction

    @property
    def total(self) -> Fraction:
        """All of it."""
        return self.given + self.lost + self.used


NOTHING = Outflow(Fraction(0), Fraction(0), Fraction(0))


def season_of(day: date) -> int:
    """The year whose 1 May began the day's season."""
    return day.year if (day.month, day.day) >= (5, 1) else day.year - 1


def number(value: object) -> Fraction:
    """A number of the YAML, exact."""
    return Fraction(str(value))


def how_it_came(product: Product) -> Reason:
    """Bought with the co-op order, given to us, or put up."""
    if product.name in GIFTS_IN:
        return "arrived"
    return "bought" if product.deadline_kind == "order" else "put up"


class LotsOfSeasons:
    """Works out every lot of a product. chance: one seeded source of chance for the whole book."""

    def __init__(self, stock: Iterable[Lot], season: Mapping[str, Any], chance: random.Random) -> None:
        self.chance = chance
        self.stock: dict[str, list[Lot]] = {}
        for lot in stock:
            self.stock.setdefault(lot.product, []).append(lot)
        self.rows = {row["product"]: row for row in season["season_2025"]}
        self.earlier = {(row["product"], row["season"]): row for row in season.get("history", ())}
        self.harvest = {name: row for row in season["harvest"] for name in row["products"]}

    # --- lots ---------------------------------------------------------------------------------------

    def lots_of(self, product: Product) -> tuple[list[ShelfLot], dict[int, Outflow]]:
        """Every lot of a product with what it must hold at each 1 May, and each season's outflow."""
        row = self.rows[product.name]
        carried = {str(year): number(n) for year, n in (row.get("carried_over") or {}).items()}
        lots = self._lots_of_2025(product, row)
        outflow = {2025: Outflow(number(row["given"]), number(row["lost"]), number(row["used"]))}
        lots += [self._carried_lot(product, year, count) for year, count in sorted(carried.items())]
        self._earlier_seasons(product, lots, carried, outflow)
        for lot in lots:
            lot.ends = {2023: Fraction(0), 2024: Fraction(0), **lot.ends}
        return lots, outflow

    def _lots_of_2025(self, product: Product, row: Mapping[str, Any]) -> list[ShelfLot]:
        lots = []
        for put_up in row["put_up"]:
            day = put_up["day"] if isinstance(put_up["day"], date) else date.fromisoformat(str(put_up["day"]))
            left = number(put_up["count"])
            on_shelf = [lot for lot in self.stock.get(product.name, ()) if lot.put_up == day and not lot.year_only]
            if len(on_shelf) == 4 and left == 28:  # four canner loads of seven on one day
                shares = [Fraction(7)] * 4
            else:
                later = sum((lot.count for lot in on_shelf[1:]), Fraction(0))
                shares = [left - later, *(lot.count for lot in on_shelf[1:])]
            for lot, share in zip(on_shelf, shares, strict=False):
                lots.append(self._lot_on_shelf(product, lot, [(day, share)]))
            if not on_shelf:
                facts = LotFacts(product.name, row["size"], day.isoformat(), "", self._source(product), "")
                lots.append(self._gone_lot(product, facts, [(day, left)]))
        return lots

    def _carried_lot(self, product: Product, year: str, count: Fraction) -> ShelfLot:
        """A lot of an earlier year; when it came is filled in with the earlier seasons."""
        label = "" if year == "unknown" else year
        for lot in self.stock.get(product.name, ()):
            if facts_of(lot).put_up == label:
                shelf = self._lot_on_shelf(product, lot, [])
                break
        else:
            facts = LotFacts(product.name, product.sizes[0].name, label, "", self._source(product), "")
            shelf = self._gone_lot(product, facts, [])
        shelf.ends[2024] = count
        return shelf

    def _lot_on_shelf(self, product: Product, lot: Lot, came: list[tuple[date, Fraction]]) -> ShelfLot:
        shelf = ShelfLot(facts_of(lot), lot.where, lot.state, came, how_it_came(product))
        shelf.ends[2025] = lot.count
        if product.name == "Whole chicken" and lot.put_up == date(2025, 7, 18):
            shelf.ends[2025] += 1  # the bird lifted out on Friday is taken from it on its own
        return shelf

    def _gone_lot(self, product: Product, facts: LotFacts, came: list[tuple[date, Fraction]]) -> ShelfLot:
        shelf = ShelfLot(facts, self._usual_place(product), "", came, how_it_came(product))
        shelf.ends[2025] = Fraction(0)
        return shelf

    def _usual_place(self, product: Product) -> str:
        return next((lot.where for lot in self.stock.get(product.name, ()) if lot.state != "held"), "")

    def _source(self, product: Product) -> str:
        return next((lot.tested_source for lot in self.stock.get(product.name, ())), "")

    # --- the two earlier seasons ----------------------------------------------------------------------

    def _earlier_seasons(
        self, product: Product, lots: list[ShelfLot], carried: Mapping[str, Fraction], outflow: dict[int, Outflow]
    ) -> None:
        """What was carried over, put up and used in 2023 and 2024, ending in what 2025 began with."""
        by_label = {lot.facts.put_up: lot for lot in lots if 2024 in lot.ends}
        if "unknown" in carried:
            by_label[""].came = [(STARTS[2023], carried["unknown"])]
            by_label[""].ends[2023] = carried["unknown"]
            outflow[2023] = outflow[2024] = NOTHING
            return
        known = (product.name, 2024) in self.earlier
        c23, out23, c24, out24 = self._known(product) if known else self._made_up(product, carried, outflow[2025])
        outflow[2023], outflow[2024] = out23, out24
        if product.name == "Maple syrup":
            self._spring_runs(product, lots, by_label, out23.total, out24.total)
            return
        old, mid, spring = (carried.get(year, Fraction(0)) for year in ("2023", "2024", "2025"))
        keeps_old = max(c24, old)
        before = self._year_lot(product, lots, by_label, "2022")
        of_23 = self._year_lot(product, lots, by_label, "2023")
        of_24 = self._year_lot(product, lots, by_label, "2024")
        goes = min(c23, out23.total)
        before.came += [(STARTS[2023], goes)] if goes else []
        of_23.came += [(STARTS[2023], c23 - goes)] if c23 > goes else []
        of_23.came += self._days(product, 2023, out23.total + keeps_old - c23)
        of_23.ends |= {2023: keeps_old, 2024: old}
        put_up_24 = out24.total + old + mid + spring - keeps_old
        if put_up_24 < mid and not old:
            # put up in the winter of 2023-24, so that its label says 2024
            of_24.came = [(date(2024, 2, 14), count) for _, count in of_23.came]
            of_24.ends |= {2023: keeps_old, 2024: mid}
            lots[:] = [lot for lot in lots if lot.came and lot is not of_23]
            return
        if spring:
            of_25 = by_label["2025"]
            of_25.came.append((date(2025, 4, 26), spring))
            of_25.ends |= {2023: Fraction(0), 2024: spring}
            put_up_24 -= spring
        of_24.came += self._days(product, 2024, put_up_24)
        of_24.ends |= {2023: Fraction(0), 2024: mid}
        lots[:] = [lot for lot in lots if lot.came]

    def _spring_runs(
        self, product: Product, lots: list[ShelfLot], by_label: dict[str, ShelfLot], out23: Fraction, out24: Fraction
    ) -> None:
        """Sap runs in March: each spring's syrup is the next season's carry-over."""
        runs = {"2023": (STARTS[2023], out23), "2024": (date(2024, 3, 20), out24)}
        for label, (day, count) in runs.items():
            lot = self._year_lot(product, lots, by_label, label)
            lot.came = [(day, count)]
            lot.ends |= {2023: count if label == "2024" else Fraction(0), 2024: Fraction(0)}
        by_label["2025"].came = [(date(2025, 3, 22), by_label["2025"].ends[2024])]
        by_label["2025"].ends[2023] = Fraction(0)

    def _year_lot(self, product: Product, lots: list[ShelfLot], by_label: dict[str, ShelfLot], label: str) -> ShelfLot:
        if label not in by_label:
            facts = LotFacts(product.name, product.sizes[0].name, label, "", self._source(product), "")
            by_label[label] = self._gone_lot(product, facts, [])
            lots.append(by_label[label])
        return by_label[label]

    def _known(self, product: Product) -> tuple[Fraction, Outflow, Fraction, Outflow]:
        """The figures of season.yaml, with given or lost put down as given, but for every fourth."""

        def of(season: int) -> Outflow:
            row = self.earlier[product.name, season]
            away = int(row["given_or_lost"])
            return Outflow(Fraction(away - away // 4), Fraction(away // 4), number(row["used"]))

        return (
            number(self.earlier[product.name, 2023]["carried_over"]), of(2023),
            number(self.earlier[product.name, 2024]["carried_over"]), of(2024),
        )  # fmt: skip

    def _made_up(
        self, product: Product, carried: Mapping[str, Fraction], now: Outflow
    ) -> tuple[Fraction, Outflow, Fraction, Outflow]:
        """Two seasons like this one, a little more or less by chance."""
        old, mid = carried.get("2023", Fraction(0)), carried.get("2024", Fraction(0))
        spring = carried.get("2025", Fraction(0))
        if product.name in GIFTS_IN or "unknown" in carried:
            return Fraction(0), NOTHING, Fraction(0), NOTHING

        def like(count: Fraction, by: float) -> Fraction:
            return Fraction(round(float(count) * by * self.chance.uniform(0.9, 1.12)))

        year = self._used_in_a_year(product, carried, now)
        keeps = product.kind in ("jar", "freezer", "dry") and (mid or old)
        out24 = Outflow(like(now.given, 1.0), like(now.lost, 0.8), like(year, 1.0))
        out23 = Outflow(like(now.given, 0.9), like(now.lost, 0.9), like(year, 0.97))
        if not out23.total:
            out23 = replace(out23, used=Fraction(1))  # even a sitter was tried once
        c24 = old + (min(like(now.used, 0.15), out24.total) if keeps and not spring else Fraction(0))
        if mid and out24.total < c24 - old:
            c24 = old + out24.total
        if not mid and not spring:
            # nothing of 2024 was carried over, so that year's crop went, or there was none
            out24 = replace(out24, used=max(out24.used, c24 - old))
            if not self.rows[product.name]["put_up"]:
                out24 = replace(out24, given=Fraction(0), lost=Fraction(0), used=c24 - old)
        c23 = min(like(now.used, 0.1), out23.total) if keeps else Fraction(0)
        return c23, out23, c24, out24

    def _used_in_a_year(self, product: Product, carried: Mapping[str, Fraction], now: Outflow) -> Fraction:
        """About what a full year takes: 40 weeks at the present pace, but no more than there was to eat."""
        row = self.rows[product.name]
        there = sum(carried.values()) + sum(number(lot["count"]) for lot in row["put_up"]) - now.given - now.lost
        at_least = now.used * 6 / 5
        return max(at_least, min(number(row["a_week_now"]) * 40, Fraction(there)))

    def _days(self, product: Product, season: int, count: Fraction) -> list[tuple[date, Fraction]]:
        """When a season's lot was put up: about the days of 2025, or its harvest's."""
        if count <= 0:
            return []
        row = self.rows[product.name]
        days = [d["day"] if isinstance(d["day"], date) else date.fromisoformat(str(d["day"])) for d in row["put_up"]]
        if not days:
            harvest = self.harvest.get(product.name)
            month, day = map(int, str(harvest["from"]).split("-")) if harvest else (10, 5)
            days = [date(2025, month, day) + timedelta(days=5)]
        if product.name in GIFTS_IN:
            days = [date(2025, 12, 24)]
        shifted = []
        for day in days:
            year = season + (day.year - season_of(day))
            moved = date(year, day.month, min(day.day, 28)) + timedelta(days=self.chance.randint(-4, 4))
            # a label bears its year alone, so what came after New Year is written to December
            shifted.append(min(max(moved, STARTS[season] + timedelta(days=2)), date(season, 12, 12)))
        share = count // len(shifted)
        counts = [share] * (len(shifted) - 1)
        return list(zip(shifted, [*counts, count - sum(counts, Fraction(0))], strict=True))
