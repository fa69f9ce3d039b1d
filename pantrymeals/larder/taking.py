"""Which lot and which opened jar everything comes from, day by day through a menu.

Lots are taken oldest first, one without a date last; so the reserve stays on the newest. What
comes in joins as a lot of its own on its day, and so does, in the evening, what a batch day makes.
Standing use goes first each day, exactly as much as it eats: a jar begun for it stays on its lot as the
part that is left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from pantrymeals.larder.batch_days_done import arrivals_after, lots_made, works_within
from pantrymeals.larder.opened_life import OpenedLife, life_from, lifted_out, parts_not_past
from pantrymeals.plans.menu import ChosenUse, MenuPlan, Opening
from pantrymeals.records import Household, Lot, PartJar, Product, Taken

ZERO = Fraction(0)


@dataclass(slots=True)
class ShelfLot:
    """A lot and how many of its containers are still there."""

    lot: Lot
    left: Fraction


@dataclass(slots=True)
class OpenJar:
    """One opened container: what is left of it, and its days."""

    product: Product
    size: str
    content: Fraction
    left: Fraction
    opened: date
    life: OpenedLife
    where: str
    part: PartJar | None = None


@dataclass(frozen=True, slots=True)
class Fetched:
    """So many containers of a size, from one lot (None: it is not there), for use on ``day``.

    work: the batch day that they are for; '' for a dish or dishes.
    """

    day: date
    product: str
    size: str
    count: Fraction
    lot: Lot | None
    work: str = ""


@dataclass(frozen=True, slots=True)
class PartUsed:
    """So much of a jar that was open before the menu began, on ``day``.

    amount, and the content of a full one of its size, in the base measure.
    """

    day: date
    part: PartJar
    amount: Fraction
    content: Fraction
    last: date | None


@dataclass(slots=True)
class Walk:
    """What a whole menu took.

    opened, loose: fetched from lots. parts: used of jars open already. emptied: (size, count)
    of jars that were emptied or went over. shelf: lots as they end. jars: what is open at the end.
    eaten: what menu and standing use ate of each product, by day.
    """

    opened: list[Fetched] = field(default_factory=list)
    loose: list[Fetched] = field(default_factory=list)
    parts: list[PartUsed] = field(default_factory=list)
    emptied: dict[str, int] = field(default_factory=dict)
    shelf: list[ShelfLot] = field(default_factory=list)
    jars: list[OpenJar] = field(default_factory=list)
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


def begun_jar(product: Product, part: PartJar, life: OpenedLife) -> OpenJar:
    """A jar that is open already, or a pack that was lifted out."""
    size = product.size(part.size) or product.sizes[0]
    return OpenJar(product, size.name, size.content, part.left, part.opened, life, part.where, part)


def age(lot: Lot) -> tuple[bool, date]:
    """Sorts lots oldest first, those without a date last."""
    return lot.put_up is None, lot.put_up or date.max


class Walker:
    """Goes through a menu's days, taking from lots and jars."""

    def __init__(self, household: Household, plan: MenuPlan) -> None:
        self.household = household
        self.plan = plan
        self.out = Walk(shelf=[ShelfLot(lot, lot.count) for lot in household.lots])
        self.needs = needs_by_day(plan)
        self.arrivals = arrivals_after(household, plan)
        self.stood: dict[str, Fraction] = {}
        self.due: dict[str, Fraction] = {}
        open_now = parts_not_past(household, plan.first)
        jars = [begun_jar(household.products[part.product], part, life) for part, life in open_now]
        self.out.jars = sorted(jars, key=lambda jar: jar.opened)

    def walk(self) -> Walk:
        """The whole menu, day by day: what comes in, standing use, openings, dishes, what goes over."""
        for number in range(self.plan.days):
            day = self.plan.first + timedelta(days=number)
            self._comes_in(day)
            self._standing(day)
            for opening in self.plan.openings:
                if opening.day == day:
                    self._open(opening)
            for name, amount in sorted(self.needs.get(day, {}).items()):
                product = self.household.products[name]
                self.out.eaten.append(Taken(day, name, amount))
                if product.whole:
                    self._use_opened(day, product, amount)
                else:
                    self._use_loose(day, product, amount)
            self._batch_days(day)
            self._goes_over(day)
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
        self._fetch_whole(opening.day, product, size.name, Fraction(opening.count))
        lifted, life, where = lifted_out(product, opening.day), life_from(product, opening.day), self._fridge()
        for _ in range(opening.count):
            self.out.jars.append(OpenJar(product, size.name, size.content, size.content, lifted, life, where))

    def _fetch_whole(self, day: date, product: Product, size: str, wanted: Fraction, work: str = "") -> None:
        """So many whole containers, from lots that hold whole ones first."""
        for whole_only in (True, False):
            for shelf_lot in self._lots(product, size):
                there = Fraction(floor(shelf_lot.left)) if whole_only else shelf_lot.left
                taken = min(wanted, there)
                if taken > 0:
                    shelf_lot.left -= taken
                    wanted -= taken
                    self.out.opened.append(Fetched(day, product.name, size, taken, shelf_lot.lot, work))
        if wanted > 0:
            self.out.opened.append(Fetched(day, product.name, size, wanted, None, work))

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
        count = use.amount / size.content
        self._fetch_whole(day, product, size.name, count, work)
        if product.kind == "jar":
            self.out.emptied[size.name] = self.out.emptied.get(size.name, 0) + int(count)

    def _fridge(self) -> str:
        return next((p.code for p in self.household.places if p.kind == "fridge"), "")

    def _use_opened(self, day: date, product: Product, amount: Fraction) -> None:
        for jar in self.out.jars:
            if jar.product.name == product.name and jar.life.ready <= day:
                taken = min(jar.left, amount)
                jar.left -= taken
                amount -= taken
                if taken and jar.part is not None:
                    self.out.parts.append(PartUsed(day, jar.part, taken, jar.content, jar.life.last))

    def _use_loose(self, day: date, product: Product, amount: Fraction, work: str = "") -> None:
        content = product.sizes[0].content
        for shelf_lot in self._lots(product):
            taken = min(amount, shelf_lot.left * self._content(product, shelf_lot.lot))
            if taken > 0:
                shelf_lot.left -= taken / self._content(product, shelf_lot.lot)
                amount -= taken
                unit = product.sizes[0].name
                self.out.loose.append(Fetched(day, product.name, unit, taken / content, shelf_lot.lot, work))
        if amount > 0:
            unit = product.sizes[0].name
            self.out.loose.append(Fetched(day, product.name, unit, amount / content, None, work))

    def _goes_over(self, day: date) -> None:
        done = [j for j in self.out.jars if j.left <= 0 or j.life.last == day]
        for jar in done:
            if jar.product.kind == "jar":
                self.out.emptied[jar.size] = self.out.emptied.get(jar.size, 0) + 1
        self.out.jars = [jar for jar in self.out.jars if jar not in done]


def walk_through(household: Household, plan: MenuPlan) -> Walk:
    """What a menu takes from which lot and jar, and what it leaves."""
    return Walker(household, plan).walk()
