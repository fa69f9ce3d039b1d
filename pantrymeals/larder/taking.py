"""Which lot everything comes from, day by day through a menu.

Lots are taken oldest first, one without a date last; so the reserve stays on the newest. What
comes in joins as a lot of its own on its day, and so does, in the evening, what a batch day makes.
Standing use goes first each day, exactly as much as it eats: a jar begun for it stays on its lot as the
part that is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.larder.batch_days_done import arrivals_after, lots_made, works_within
from pantrymeals.larder.fresh import gone_by
from pantrymeals.larder.on_hand import age
from pantrymeals.plans.menu import ChosenUse, DayUse, Fetched, ForLater, FromLot, MenuPlan, Opening
from pantrymeals.records import Arrival, Household, Lot, PartJar, Product, Taken

ZERO = Fraction(0)


class ShelfLot(Struct):
    """A lot, how many of its containers are still there, and what each holds (base measure)."""

    lot: Lot
    left: Fraction
    content: Fraction

    @property
    def found(self) -> FromLot:
        """How a cook finds it."""
        return FromLot(self.lot.where, self.lot.put_up, self.lot.year_only, self.lot.load)

    def take(self, amount: Fraction) -> Fraction:
        """What of an amount (base measure) it gives."""
        taken = min(amount, self.left * self.content)
        self.left -= taken / self.content
        return taken


class MenuTaking(Struct):
    """What a whole menu takes from its lots.

    openings: each of one lot. fetched: what comes straight from its lot. shelf: lots as they end.
    for_later: packs lifted out for the days after, each of one lot: of what the menu leaves.
    eaten: what menu and standing use ate of each product, by day.
    """

    openings: list[Opening] = field(default_factory=list)
    fetched: list[Fetched] = field(default_factory=list)
    for_later: list[ForLater] = field(default_factory=list)
    shelf: list[ShelfLot] = field(default_factory=list)
    eaten: list[Taken] = field(default_factory=list)


class Walker:
    """Goes through a menu's days, taking from lots."""

    def __init__(self, household: Household, plan: MenuPlan) -> None:
        self.household = household
        self.plan = plan
        self.out = MenuTaking()
        self.stood: dict[str, Fraction] = {}
        self.due: dict[str, Fraction] = {}
        self._join(household.lots)

    def walk(self) -> MenuTaking:
        """The whole menu, day by day: what comes in, standing use, openings, loose goods, batch days."""
        needs: dict[date, dict[str, Fraction]] = {}
        for meal in self.plan.meals:
            today = needs.setdefault(meal.day, {})
            for use in (use for dish in meal.dishes for use in dish.uses):
                today[use.product] = today.get(use.product, ZERO) + use.amount
        arrivals = arrivals_after(self.household, self.plan)
        for number in range(self.plan.days):
            day = self.plan.first + timedelta(days=number)
            self._join(self._come_in(arrival) for arrival in arrivals if arrival.day == day)
            self._go_over(day)
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
        for later in self.plan.for_later:
            for count, lot in self._fetch_whole(self.household.products[later.product], later.size, later.count):
                self.out.for_later.append(replace(later, count=count, lot=lot))
        self.out.shelf = [s for s in self.out.shelf if s.left > 0]
        return self.out

    def _go_over(self, day: date) -> None:
        """What is fresh and past its days is gone."""
        products = self.household.products
        shelf = self.out.shelf
        shelf[:] = [s for s in shelf if not gone_by(self.household, products[s.lot.product], s.lot, day)]

    def _join(self, lots: Iterable[Lot]) -> None:
        for lot in lots:
            product = self.household.products[lot.product]
            content = product.content(lot.size)
            self.out.shelf.append(ShelfLot(lot, lot.count, content))

    def _come_in(self, arrival: Arrival) -> Lot:
        """What comes in, as a lot of the first size where such things usually stand."""
        size = self.household.products[arrival.product].sizes[0]
        usual = next((s.lot.where for s in self.out.shelf if s.lot.product == arrival.product), "")
        count = arrival.amount / size.content
        return Lot(arrival.product, size.name, count, arrival.day, where=usual, note=arrival.note)

    def _lots(self, product: Product, size: str = "") -> list[ShelfLot]:
        """Lots of a product that may be taken, oldest first."""
        fit = (
            s
            for s in self.out.shelf
            if s.left > 0 and s.lot.product == product.name and s.lot.state == "" and size in ("", s.lot.size)
        )
        return sorted(fit, key=lambda s: age(s.lot))

    def _standing(self, day: date) -> None:
        """Takes what standing use eats, never below the reserve; what is missing is made up later."""
        for use in self.household.standing:
            self.due[use.product] = self.due.get(use.product, ZERO) + use.on(day) / 7
        for name, due in self.due.items():
            product = self.household.products[name]
            lots = self._lots(product)
            held = sum((s.left * s.content for s in lots), ZERO)
            wanted = min(due - self.stood.get(name, ZERO), max(ZERO, held - product.reserve))
            self.stood[name] = self.stood.get(name, ZERO) + wanted
            if wanted:
                self.out.eaten.append(Taken(day, name, wanted))
            for shelf_lot in sorted(lots, key=lambda s: s.lot.size != product.sizes[0].name):
                wanted -= shelf_lot.take(wanted)

    def _open(self, opening: Opening) -> None:
        product = self.household.products[opening.product]
        size = product.size(opening.size) or product.sizes[0]
        uses: list[DayUse] = list(opening.uses)
        for count, lot in self._fetch_whole(product, size.name, opening.count):
            mine, uses = _split(uses, count * size.content)
            self.out.openings.append(replace(opening, count=count, uses=tuple(mine), lot=lot))

    def _fetch_whole(self, product: Product, size: str, wanted: int) -> Iterator[tuple[int, FromLot | None]]:
        """So many whole containers, by lot; where only begun ones are left, from the oldest of those."""
        lots = self._lots(product, size)
        for shelf_lot in lots:
            taken = min(wanted, floor(shelf_lot.left))
            if taken:
                shelf_lot.left -= taken
                wanted -= taken
                yield taken, shelf_lot.found
        if wanted:
            begun = [s for s in lots if s.left > 0]
            enough = sum((s.left for s in begun), ZERO) >= wanted
            yield wanted, begun[0].found if enough else None
            missing = Fraction(wanted)
            for shelf_lot in begun:
                missing -= shelf_lot.take(missing * shelf_lot.content) / shelf_lot.content

    def _batch_days(self, day: date) -> None:
        """The day's batch work: its containers are used up whole, and what it makes goes on the shelf."""
        for work, batch in works_within(self.household, self.plan):
            if work.day == day:
                for use in work.uses:
                    self._take_for(day, use, work.name)
                self._join(lots_made(self.household, work, batch))

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
        found: list[tuple[Fraction, FromLot | None]] = []
        for shelf_lot in self._lots(product):
            if taken := shelf_lot.take(amount):
                amount -= taken
                found.append((taken, shelf_lot.found))
        for taken, lot in [*found, (amount, None)]:
            if taken:
                self.out.fetched.append(Fetched(day, product.name, unit.name, taken / unit.content, lot, work))


def _split(uses: Iterable[DayUse], room: Fraction) -> tuple[list[DayUse], list[DayUse]]:
    """The first uses up to so much (base measure), and the rest."""
    first, rest = [], []
    for day, amount in uses:
        taken = min(room, amount)
        room -= taken
        first += [(day, taken)] if taken else []
        rest += [(day, amount - taken)] if amount > taken else []
    return first, rest


def walk_through(household: Household, plan: MenuPlan) -> MenuTaking:
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
    return replace(plan, openings=tuple(walk.openings), fetched=tuple(walk.fetched), for_later=tuple(walk.for_later))
