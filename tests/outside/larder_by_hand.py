"""Tiny kitchens gone through menu by menu, without the planner: the judge of its answers.

Every kitchen has one supper a day with one main. The rules read: DEVELOPERS.md, lines 3, 4, 5, 7 and 8.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product as every
from math import ceil, floor

from msgspec.structs import replace

from pantrymeals.records import Dish, Household
from tests.kitchens import tiny

ENDLESS = Fraction(10**6)


def random_kitchen(seed: int) -> Household:
    """A kitchen of three or four products and dishes, with what it takes to run out within a fortnight."""
    rng = random.Random(seed)
    names = ["Beans", "Carrots", "Stock", "Oats"][: rng.choice((3, 4))]
    products = []
    for name in names:
        price = Fraction(rng.choice((50, 110, 175, 320, 415)), 100)
        if name in ("Carrots", "Oats"):
            products.append(tiny.loose(name, price_usd=price))
        else:
            products.append(tiny.jar(name, opened_days=rng.choice((None, 2, 3)), price_usd=price))
    lots = [tiny.lot(p.name, rng.randrange(0, 4), p.sizes[0].name) for p in products]
    dishes = []
    for number in range(rng.choice((3, 4))):
        uses = []
        for p in rng.sample(products, rng.choice((1, 2))):
            half = rng.choice(("1/2", "1"))
            uses.append(f"{half} {p.sizes[0].name} {p.name}")
        if rng.random() < 0.4:
            other = rng.choice(products)
            uses[0] += f" or 1 {other.sizes[0].name} {other.name}"
        dishes.append(
            tiny.dish(f"Dish {number}", uses, days_between=rng.choice((1, 2, 3)), tags=rng.sample(["a", "b"], 1))
        )
    arrivals = [
        tiny.arrival(p.name, f"1 {p.sizes[0].name}", tiny.day(rng.randrange(0, 6)), "from the garden")
        for p in products
        if rng.random() < 0.3
    ]
    stands = [tiny.standing(names[0], f"{rng.choice(('1/2', '1'))} {products[0].sizes[0].name}")]
    return tiny.kitchen(
        products=products,
        lots=lots,
        dishes=dishes,
        arrivals=tuple(arrivals),
        standing=tuple(stands) if rng.random() < 0.5 else (),
        rules=tiny.rules(at_most={"a": rng.choice((3, 4, 9))}, not_running=["b"] if rng.random() < 0.3 else []),
    )


def longest_by_trying(household: Household, most: int, endless: Iterable[str] = ()) -> int:
    """The most days (up to ``most``) that some row of dishes fills, by trying them all."""
    return _Trying(household, most, frozenset(endless)).best()


def standing_lacks(household: Household, days: int, name: str) -> Fraction:
    """Base measure that standing use of a product lacks by the end of so many days (line 4)."""
    wanted, held = _wanted(household, name, days - 1), _held(household, name, days - 1)
    if household.products[name].whole:
        size = household.products[name].sizes[0].content
        held = floor(held / size) * size
    return max(Fraction(0), wanted - held)


def _wanted(household: Household, name: str, day: int) -> Fraction:
    total = sum((s.weekly[0] / 7 for s in household.standing if s.product == name), Fraction(0)) * (day + 1)
    product = household.products[name]
    size = product.sizes[0].content
    return ceil(total / size) * size if product.whole else total


def _held(household: Household, name: str, day: int) -> Fraction:
    shelf = sum(
        (x.count * household.products[name].sizes[0].content for x in household.lots if x.product == name), Fraction(0)
    )
    came = sum(
        (a.amount for a in household.arrivals if a.product == name and 0 <= (a.day - household.today).days <= day),
        Fraction(0),
    )
    return shelf + came


class _Trying:
    """Goes through the days, opening a jar only when one is needed: to open sooner never helps."""

    def __init__(self, household: Household, most: int, endless: frozenset[str]) -> None:
        self.household, self.most, self.endless = household, most, endless
        self.longest = 0
        self.taken: dict[str, list[Fraction]] = {n: [Fraction(0)] * most for n in household.products}

    def best(self) -> int:
        self._day(0, [], dict.fromkeys(self.household.products, ()))
        return self.longest

    def _day(self, day: int, eaten: list[Dish], jars: Mapping[str, tuple[tuple[Fraction, int], ...]]) -> None:
        self.longest = max(self.longest, day)
        if day == self.most or self.longest == self.most:
            return
        for dish in self.household.dishes.values():
            if not self._may_follow(dish, eaten):
                continue
            for options in every(*(use.options for use in dish.uses)):
                before = {n: list(days) for n, days in self.taken.items()}
                after = self._take(day, options, jars)
                if after is not None:
                    self._day(day + 1, [*eaten, dish], after)
                self.taken = before

    def _may_follow(self, dish: Dish, eaten: list[Dish]) -> bool:
        apart = dish.days_between or 1
        if any(old.name == dish.name for old in eaten[max(0, len(eaten) - apart + 1) :]):
            return False
        for tag, most in self.household.rules.at_most.items():
            if tag in dish.tags and sum(tag in d.tags for d in eaten[-6:]) >= most:
                return False
        running = self.household.rules.not_running
        return not (eaten and any(t in running and t in eaten[-1].tags for t in dish.tags))

    def _take(self, day, options, jars):  # type: ignore[no-untyped-def]
        now = {n: tuple(j for j in open_jars if j[1] >= day) for n, open_jars in jars.items()}
        for option in options:
            product = self.household.products[option.product]
            if not product.whole:
                self.taken[product.name][day] += option.amount
                continue
            need = option.amount
            left = []
            for amount, last in now[product.name]:
                used = min(amount, need)
                need -= used
                if amount > used:
                    left.append((amount - used, last))
            size = product.sizes[0].content
            while need > 0:
                self.taken[product.name][day] += size
                last = self.most if product.opened_days is None else day + product.opened_days - 1
                if size > need:
                    left.append((size - need, last))
                need -= min(size, need)
            now[product.name] = tuple(sorted(left, key=lambda jar: jar[1]))
        return now if self._covered(day) else None

    def _covered(self, day: int) -> bool:
        """Standing use first: what is taken and what stands stay within what is held, on every day so far."""
        for name, taken in self.taken.items():
            if name in self.endless:
                continue
            so_far = sum(taken[: day + 1], Fraction(0))
            held = _held(self.household, name, day)
            if self.household.products[name].whole:
                size = self.household.products[name].sizes[0].content
                stood = min(_wanted(self.household, name, day), floor(held / size) * size)
            else:
                stood = min(_wanted(self.household, name, day), held)
            if so_far and so_far + stood > held:
                return False
        return True


def with_bought(household: Household, bought: Mapping[str, int]) -> Household:
    """The household with so many containers more on its first day."""
    more = [tiny.lot(name, count, household.products[name].sizes[0].name) for name, count in bought.items() if count]
    return replace(household, lots=(*household.lots, *more))
