"""Which lot everything comes from, day by day through a menu.

Lots are taken oldest first, one without a date last; so the reserve stays on the newest. What
comes in joins as a lot of its own on its day, and so does, in the evening, what a batch day makes.
Standing use goes first each day, exactly as much as it eats: a jar begun for it stays on its lot as the
part that is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from pantrymeals.larder.batch_days_done import arrivals_after, lots_made, works_within
from pantrymeals.plans.menu import ChosenUse, DayUse, Fetched, FromLot, MenuPlan, Opening
from pantrymeals.records import Household, Lot, PartJar, Product, Taken

ZERO = Fraction(0)


@dataclass(slots=True)
class ShelfLot:
    """A lot and how many of its containers are still there."""

    lot: Lot
    left: Fraction

    @property
    def found(self) -> FromLot:
        """How a cook finds it."""
        return FromLot(self.lot.where, self.lot.put_up, self.lot.year_only, self.lot.load)


@dataclass(slots=True)
class Walk:
    """What a whole menu takes from its lots.

    openings: each of one lot. fetched: what comes straight from its lot. shelf: lots as they end.
    eaten: what menu and standing use ate of each product, by day.
    """

    openings: list[Opening] = field(default_factory=list)
    fetched: list[Fetched] = field(default_factory=list)
    shelf: list[ShelfLot] = field(default_factory=list)
    eaten: list[Taken] = field(default_factory=list)


def needs_by_day(plan: MenuPlan) -> dict[date, dict[str, Fraction]]:
    """What the menu uses each day, by product (base measure)."""
    needs: dict[date, dict[str, Fraction]] = {}
    for meal in plan.meals:
        today = needs.setdefault(meal.day, {})
        for dish in meal.dishes:
            for use in dish.uses:
                today[use.product] = today.get(use.product, ZERO) + use.amount
    return needs


def age(lot: Lot) -> tuple[bool, date]:
    """Sorts lots oldest first, those without a date last."""
    return lot.put_up is None, lot.put_up or date.max


class Walker:
    """Goes through a menu's days, taking from lots."""

    def __init__(self, household: Household, plan: MenuPlan) -> None:
        self.household = household
        self.plan = plan
        self.out = Walk(shelf=[ShelfLot(lot, lot.count) for lot in household.lots])
        self.arrivals = arrivals_after(household, plan)
        self.stood: dict[str, Fraction] = {}
        self.due: dict[str, Fraction] = {}

    def walk(self) -> Walk:
        """The whole menu, day by day: what comes in, standing use, openings, loose goods, batch days."""
        needs = needs_by_day(self.plan)
        for number in range(self.plan.days):
            day = self.plan.first + timedelta(days=number)
            self._comes_in(day)
            self._standing(day)
            for opening in self.plan.openings:
                if opening.day == day:
                    self._open(opening)
            for name, amount in sorted(needs.get(day, {}).items()):
                product = self.household.products[name]
                self.out.eaten.append(Taken(day, name, amount))
                if not product.whole:
                    self._use_loose(day, product, amount)
            self._batch_days(day)
        self.out.shelf = [s for s in self.out.shelf if s.left > 0]
        return self.out

    def _comes_in(self, day: date) -> None:
        for arrival in self.arrivals:
            if arrival.day == day:
                product = self.household.products[arrival.product]
                usual = next((s.lot.where for s in self.out.shelf if s.lot.product == product.name), "")
                count = arrival.amount / product.sizes[0].content
                note = arrival.note
                lot = Lot(product.name, product.sizes[0].name, count, day, where=usual, note=note)
                self.out.shelf.append(ShelfLot(lot, count))

    def _lots(self, product: Product, size: str = "") -> Iterator[ShelfLot]:
        """Lots of a product that may be taken, oldest first."""
        fit = [
            s
            for s in self.out.shelf
            if s.left > 0 and s.lot.product == product.name and s.lot.state == "" and size in ("", s.lot.size)
        ]
        yield from sorted(fit, key=lambda s: age(s.lot))

    def _content(self, product: Product, lot: Lot) -> Fraction:
        size = product.size(lot.size)
        return size.content if size else product.sizes[0].content

    def _standing(self, day: date) -> None:
        """Takes what standing use eats, never below the reserve; what is missing is made up later."""
        for use in self.household.standing:
            self.due[use.product] = self.due.get(use.product, ZERO) + use.weekly[day.month - 1] / 7
        for name, due in self.due.items():
            product = self.household.products[name]
            held = sum((s.left * self._content(product, s.lot) for s in self._lots(product)), ZERO)
            wanted = min(due - self.stood.get(name, ZERO), max(ZERO, held - product.reserve))
            self.stood[name] = self.stood.get(name, ZERO) + wanted
            if wanted:
                self.out.eaten.append(Taken(day, name, wanted))
            first_size = sorted(self._lots(product), key=lambda s: s.lot.size != product.sizes[0].name)
            for shelf_lot in first_size:
                taken = min(wanted, shelf_lot.left * self._content(product, shelf_lot.lot))
                shelf_lot.left -= taken / self._content(product, shelf_lot.lot)
                wanted -= taken

    def _open(self, opening: Opening) -> None:
        product = self.household.products[opening.product]
        size = product.size(opening.size) or product.sizes[0]
        uses: list[DayUse] = list(opening.uses)
        for count, lot in self._fetch_whole(product, size.name, opening.count):
            mine, uses = _split(uses, count * size.content)
            self.out.openings.append(replace(opening, count=count, uses=tuple(mine), lot=lot))

    def _fetch_whole(self, product: Product, size: str, wanted: int) -> Iterator[tuple[int, FromLot | None]]:
        """So many whole containers, by lot; where only begun ones are left, from the oldest of those."""
        for shelf_lot in self._lots(product, size):
            taken = min(wanted, floor(shelf_lot.left))
            if taken:
                shelf_lot.left -= taken
                wanted -= taken
                yield taken, shelf_lot.found
        if wanted:
            begun = list(self._lots(product, size))
            enough = sum((s.left for s in begun), ZERO) >= wanted
            yield wanted, begun[0].found if enough else None
            missing = Fraction(wanted)
            for shelf_lot in begun:
                part = min(missing, shelf_lot.left)
                shelf_lot.left -= part
                missing -= part

    def _batch_days(self, day: date) -> None:
        """The day's batch work: its containers are used up whole, and what it makes goes on the shelf."""
        for work, batch in works_within(self.household, self.plan):
            if work.day == day:
                for use in work.uses:
                    self._take_for(day, use, work.name)
                made = lots_made(self.household, work, batch)
                self.out.shelf += [ShelfLot(lot, lot.count) for lot in made]

    def _take_for(self, day: date, use: ChosenUse, work: str) -> None:
        product = self.household.products[use.product]
        if not product.whole:
            self._use_loose(day, product, use.amount, work)
            return
        size = product.sizes[0]
        for count, lot in self._fetch_whole(product, size.name, floor(use.amount / size.content)):
            self.out.fetched.append(Fetched(day, product.name, size.name, Fraction(count), lot, work))

    def _use_loose(self, day: date, product: Product, amount: Fraction, work: str = "") -> None:
        unit = product.sizes[0]
        for shelf_lot in self._lots(product):
            taken = min(amount, shelf_lot.left * self._content(product, shelf_lot.lot))
            if taken > 0:
                shelf_lot.left -= taken / self._content(product, shelf_lot.lot)
                amount -= taken
                self.out.fetched.append(
                    Fetched(day, product.name, unit.name, taken / unit.content, shelf_lot.found, work)
                )
        if amount > 0:
            self.out.fetched.append(Fetched(day, product.name, unit.name, amount / unit.content, None, work))


def _split(uses: Iterable[DayUse], room: Fraction) -> tuple[list[DayUse], list[DayUse]]:
    """The first uses up to so much (base measure), and the rest."""
    first, rest = [], []
    for day, amount in uses:
        taken = min(room, amount)
        room -= taken
        first += [(day, taken)] if taken else []
        rest += [(day, amount - taken)] if amount > taken else []
    return first, rest


def walk_through(household: Household, plan: MenuPlan) -> Walk:
    """What a menu takes from which lot, and what it leaves there."""
    return Walker(household, plan).walk()


def used_of_parts(household: Household, plan: MenuPlan) -> list[tuple[PartJar, list[DayUse]]]:
    """Every part jar, the oldest first, with what the menu takes of it."""
    found: list[tuple[PartJar, list[DayUse]]] = [(p, []) for p in sorted(household.part_jars, key=lambda p: p.opened)]
    for begun in plan.begun:
        uses: list[DayUse] = list(begun.uses)
        for part, mine in found:
            if (part.product, part.size, part.opened) == (begun.product, begun.size, begun.opened):
                first, uses = _split(uses, part.left - sum(amount for _, amount in mine))
                mine += first
    return found


def with_lots(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan, saying of everything it takes from the shelf which lot it comes from."""
    walk = walk_through(household, plan)
    return replace(plan, openings=tuple(walk.openings), fetched=tuple(walk.fetched))
