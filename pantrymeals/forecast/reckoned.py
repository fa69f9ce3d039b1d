"""The household as it is reckoned for a day months ahead: what its count leaves when usual life goes on till then.

Day by day, each product by itself: what comes in joins as a lot of its own, then what is usually used goes, of what
is open first and of the oldest lot next, never below the reserve; standing use is part of it. Usual use is the
book's pace where the book is old enough to tell one, else an even hand's. What is opened whole leaves whole; a
container that is begun on the way is not followed, for nobody knows on which day it will be open. Gone are part jars
past their days, lots past the household's own keeping (``keeps_months``), fresh things past theirs, what was there
before its day to be eaten by, what stood in the fridge at the count and has no keeping written down, and of what comes
again and again (milk, eggs, bread) all but the last that came. What is left is told in whole thousandths of a
container, rounded down: it is reckoned, and no kitchen has finer parts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from msgspec.structs import replace

from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.planned import Menus, PlannedPace
from pantrymeals.forecast.shelf import belongs_to_next_crop
from pantrymeals.larder.fresh import gone_by
from pantrymeals.larder.must_reach import YEAR, keeps_to, must_reach, season_days
from pantrymeals.larder.on_hand import age, put_up_about
from pantrymeals.larder.opened_life import life_of
from pantrymeals.records import Arrival, Household, Lot, PartJar, Product

ZERO = Fraction(0)
FINEST = 1_000_000
"""The book's pace, a chance's mean, is taken as a fraction of no finer parts than this."""
TOLD_PARTS = 1000
AGAIN_AND_AGAIN = 4
"""So many comings up to the day, and a product without a day to last to counts as coming all the while."""
_MONTH_DAYS = Fraction(1461, 48)
Daily = Callable[[date], Fraction]


def reckoned(household: Household, day: date, pace: BookPace) -> Household:
    """The household on the morning of ``day``, as it is reckoned from its count (see the module's first lines).

    day: the household's own or later. Its ``reckoned_from`` is the day of the count. What was lately eaten of each
    product is not known then, so nothing is taken as passed over.
    """
    shelf, parts, products = list[Lot](), list[PartJar](), dict(household.products)
    menus = Menus(household, None)
    for name, product in household.products.items():
        going = _Going(household, product, _usual(household, menus, product, pace))
        going.walk(day)
        good = [lot for lot in going.lots if not gone_by(household, product, lot, day)]
        shelf += [replace(lot, count=told) for lot in good if (told := _told(lot.count))]
        parts += [
            replace(p, left=left) for p in going.parts if (left := _told(p.left / (c := product.content(p.size))) * c)
        ]
        products[name] = _next_round(product, going.lots, day)
    shelf += [lot for lot in household.lots if lot.state != ""]
    return replace(
        household,
        today=day,
        reckoned_from=household.reckoned_from or household.today,
        products=products,
        lots=tuple(shelf),
        part_jars=tuple(parts),
        arrivals=tuple(a for a in household.arrivals if a.day >= day),
        taken=(),
        known_since={},
    )


def _told(count: Fraction) -> Fraction:
    """A count as it is told: whole thousandths of a container, no more than there is."""
    return Fraction(floor(count * TOLD_PARTS), TOLD_PARTS)


def _usual(household: Household, menus: Menus, product: Product, pace: BookPace) -> Daily:
    """What of a product is usually used on a day (base measure), standing use among it."""
    content = product.sizes[0].content
    if pace.old_enough:
        rate = pace.rates.of[product.name]
        months = [Fraction(rate.weekly * part / 7).limit_denominator(FINEST) * content for part in rate.by_month]
        return lambda day: months[day.month - 1]
    planned = menus.pace(product.name)
    due = must_reach(product, household.today) or household.today + YEAR
    later = [a for a in household.arrivals if a.product == product.name and a.day >= household.today]
    rates = [(a.day, *_account(household, product, a, due, planned)) for a in later]

    def daily(day: date) -> Fraction:
        want = planned.daily(day) if day < due else planned.standing.on(day) / 7
        want *= content
        if day.month in planned.months:
            want += sum((rate for begin, end, rate in rates if begin <= day < end), ZERO)
        return want

    return daily


def _account(
    household: Household, product: Product, arrival: Arrival, due: date, planned: PlannedPace
) -> tuple[date, Fraction]:
    """The day to which an even hand eats what comes in, and how much of it on each day of its season.

    What comes as the next crop is eaten over its own year, what comes before over the days to the old one's end;
    what standing use takes of the new crop is not eaten twice.
    """
    new = belongs_to_next_crop(household, product.name, arrival.day) or arrival.day >= due
    end = arrival.day + YEAR if new else due
    days = season_days(product, arrival.day, end)
    rate = arrival.amount / days if days else ZERO
    stands = planned.standing.on(arrival.day) * product.sizes[0].content / 7 if new else ZERO
    return end, max(ZERO, rate - stands)


def _next_round(product: Product, lots: Iterable[Lot], day: date) -> Product:
    """A product whose day to be eaten by is behind keeps to the next one, where something newer is there."""
    due = product.must_last_to
    if keeps_to(product) and due is not None and due < day and any(lot.count for lot in lots):
        return replace(product, must_last_to=must_reach(product, day))
    return product


class _Going:
    """One product on its way: lots on the shelf (oldest first), part jars, and what is owed to use.

    due: used, and not yet taken from the shelf; below nothing: what is left of a container begun on the way.
    """

    def __init__(self, household: Household, product: Product, daily: Daily) -> None:
        self.household, self.product, self.daily, self.due = household, product, daily, ZERO
        own = (lot for lot in household.lots if (lot.product, lot.state) == (product.name, ""))
        self.lots = sorted(own, key=age)
        self.parts = sorted((p for p in household.part_jars if p.product == product.name), key=lambda p: p.opened)

    def walk(self, day: date) -> None:
        """Every day from the household's own up to that one, which is not lived through."""
        today = self.household.today
        coming = [a for a in self.household.arrivals if a.product == self.product.name and today <= a.day < day]
        fresh = self.product.must_last_to is None and len(coming) >= AGAIN_AND_AGAIN
        for number in range((day - today).days):
            now = today + timedelta(days=number)
            if arrived := [self._lot(a) for a in coming if a.day == now]:
                self.lots = arrived if fresh else [*self.lots, *arrived]
                self.due = max(ZERO, self.due) if fresh else self.due
            self._goes_over(now)
            self._use(self.daily(now), now)
        self._goes_over(day)
        if self._stands_in_the_fridge():
            self.lots = [lot for lot in self.lots if lot.put_up is not None and lot.put_up >= today]

    def _lot(self, arrival: Arrival) -> Lot:
        """What comes in, where such things usually stand."""
        size = self.product.sizes[0]
        where = next((lot.where for lot in self.household.lots if lot.product == arrival.product), "")
        return Lot(
            arrival.product, size.name, arrival.amount / size.content, arrival.day, where=where, note=arrival.note
        )

    def _goes_over(self, day: date) -> None:
        """Part jars and lots that may not be eaten on ``day`` any more are gone."""
        self.parts = [part for part in self.parts if not life_of(self.product, part).past(day)]
        self.lots = [lot for lot in self.lots if not past_keeping(self.product, lot, day)]

    def _stands_in_the_fridge(self) -> bool:
        return self.product.kind == "fridge" and self.product.keeps_months is None and self.product.must_last_to is None

    def _use(self, amount: Fraction, day: date) -> None:
        """So much is used (base measure); what is not there is not made up for later."""
        if self.due >= 0:
            amount -= self._from_open(amount, day)
        self.due += amount
        there = sum((lot.count * self.product.content(lot.size) for lot in self.lots), ZERO)
        spare = max(ZERO, there - self.product.reserve)
        left: list[Lot] = []
        for lot in self.lots:
            content = self.product.content(lot.size)
            count = min(lot.count, max(ZERO, self.due) / content, spare / content)
            if self.product.whole:
                count = Fraction(min(floor(lot.count), ceil(max(ZERO, self.due) / content), floor(spare / content)))
            self.due -= count * content
            spare -= count * content
            left += [replace(lot, count=lot.count - count)] if lot.count > count else []
        self.lots = left
        self.due = min(self.due, ZERO)

    def _from_open(self, amount: Fraction, day: date) -> Fraction:
        """What of an amount comes from what was open at the count, the oldest first."""
        taken, left = ZERO, []
        for part in self.parts:
            use = min(part.left, amount - taken) if life_of(self.product, part).good(day) else ZERO
            taken += use
            left += [replace(part, left=part.left - use)] if part.left > use else []
        self.parts = left
        return taken


def past_keeping(product: Product, lot: Lot, day: date) -> bool:
    """Whether a lot is past the household's own keeping on a day, or was there before its day to be eaten by."""
    made, due = put_up_about(lot), product.must_last_to
    if keeps_to(product) and due is not None and day > due and (made is None or made < due):
        return True
    months = product.keeps_months
    return months is not None and made is not None and day > made + timedelta(days=round(months * _MONTH_DAYS))
