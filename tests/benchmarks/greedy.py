"""A list-keeper: day by day, the dish whose products are furthest behind an even hand, every rule kept.

It stands for what a careful cook does with a list on the press door, and is scored in the same points
as the planner's menus (``tests.kitchens.own_score``).
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct, field

from pantrymeals.checking.table import occasions_of
from pantrymeals.records import Role
from tests.kitchens.own_reading import ZERO, Cooking, Draw, Question, Stock
from tests.kitchens.own_score import Cooked, clash, gap_of, leavings_are_there, minutes_are_there, score

DEEP = 20_000


class Jars(Struct):
    """One product as the days go by: what is open, what was taken off the shelf, what was drawn."""

    stock: Stock
    room: list[Fraction]
    open: list[tuple[int, int, Fraction]] = field(default_factory=list)
    taken: Fraction = ZERO
    drawn: Fraction = ZERO

    def could_give(self, day: int, amount: Fraction) -> bool:
        """Whether this much can be had that day, and what is promised to standing use later still be there."""
        if not self.stock.product.whole:
            return self.taken + amount <= self.room[day]
        ready = sum((left for first, last, left in self.open if first <= day <= last), ZERO)
        if amount <= ready:
            return True
        if day < self.stock.product.thaw_days:
            return False
        jars = -((ready - amount) // self.stock.content)
        return self.taken + jars * self.stock.content <= self.room[day]

    def give(self, day: int, amount: Fraction) -> None:
        """Take it: the oldest open one first, then whole containers."""
        self.drawn += amount
        if not self.stock.product.whole:
            self.taken += amount
            return
        left_over = []
        for first, last, left in sorted(self.open, key=lambda jar: jar[1]):
            used = min(left, amount) if first <= day <= last else ZERO
            amount -= used
            if left > used:
                left_over.append((first, last, left - used))
        self.open = left_over
        life = self.stock.product.opened_days
        while amount > 0:
            self.taken += self.stock.content
            used = min(self.stock.content, amount)
            amount -= used
            if used < self.stock.content:
                last = 10**6 if life is None else day + life - 1
                self.open.append((day, last, self.stock.content - used))


class ListKeeper:
    """Lays the table place by place and never goes back."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.jars = {name: _jars(question, stock) for name, stock in question.stocks.items()}
        self.menu: list[Cooked] = []
        self.left_open: list[Role] = []
        self.by_place: dict[int, list[Cooking]] = {}
        for c in question.cookings:
            self.by_place.setdefault(c.place, []).append(c)
        self.cooked_on: dict[int, list[Cooking]] = {}
        self.last_cooked: dict[str, int] = {}
        for when, name in question.household.recent:
            day = (when - question.first).days
            if day < 0:
                self.last_cooked[name] = max(day, self.last_cooked.get(name, day))
        self.past = [
            ((when - question.first).days, question.household.dishes[name])
            for when, name in question.household.recent
            if when < question.first and name in question.household.dishes
        ]

    def lay(self) -> tuple[list[Cooked], list[Role]]:
        """The whole menu and the roles left open."""
        for place, at in enumerate(self.question.places):
            here: list[Cooking] = []
            for role in at.roles:
                if any(role == c.role or role in c.dish.covers for c in here):
                    continue
                choices = [c for c in self.by_place.get(place, ()) if c.role == role]
                choices = [c for c in choices if not self._double(c, here) and self._fits(c, here)]
                for c in sorted(choices, key=lambda c: (-self._wanted(c), c.cost, c.number)):
                    takes = self._takes(c)
                    if takes is not None:
                        self._cook(Cooked(c, takes))
                        here.append(c)
                        break
                else:
                    self.left_open.append(role)
        return self.menu, self.left_open

    def _double(self, c: Cooking, here: Sequence[Cooking]) -> bool:
        """Whether it would fill a role that is filled already."""
        filled = {role for o in here for role in (o.role, *o.dish.covers)}
        return bool(filled & c.dish.covers)

    def _behind(self, name: str, day: int) -> float:
        """How many shares a product's draw lies behind an even hand by the end of a day."""
        even = self.question.even.get(name)
        if even is None:
            return 0.0
        jars = self.jars[name]
        share = (even.low + even.high) / 2
        part = share * (day + 1) / self.question.days
        return float((part - jars.drawn / jars.stock.content) / max(share, 1.0))

    def _wanted(self, c: Cooking) -> float:
        named = {o.dish for o in occasions_of(self.question.household, self.question.on(c.day))}
        if c.dish.name in named or self._needed_this_week(c):
            return 1e6
        behind = [max(self._behind(d.product, c.day) for d in use) for use in c.uses]
        return sum(behind) / max(1, len(behind))

    def _needed_this_week(self, c: Cooking) -> bool:
        """Whether a tag wanted each week is still missing, and few days of the week are left."""
        start = c.day - c.day % 7
        if c.role != "main" or start + 7 > self.question.days:
            return False
        for tag, least in self.question.household.rules.at_least.items():
            have = sum(
                tag in o.dish.tags and o.role == "main"
                for day in range(start, c.day)
                for o in self.cooked_on.get(day, ())
            )
            if tag in c.dish.tags and least - have > 0 and start + 7 - c.day <= 2 * (least - have) + 1:
                return True
        return False

    def _takes(self, c: Cooking) -> tuple[Draw, ...] | None:
        """For each use the option furthest behind that can be had; None when one cannot."""
        takes: list[Draw] = []
        sums: dict[str, Fraction] = {}
        for use in c.uses:
            for draw in sorted(use, key=lambda d: (-self._behind(d.product, c.day), d.cost)):
                total = sums.get(draw.product, ZERO) + draw.amount
                if self.jars[draw.product].could_give(c.day, total):
                    sums[draw.product] = total
                    takes.append(draw)
                    break
            else:
                return None
        return tuple(takes)

    def _cook(self, cooked: Cooked) -> None:
        c = cooked.cooking
        for draw in cooked.takes:
            self.jars[draw.product].give(c.day, draw.amount)
        self.menu.append(cooked)
        self.cooked_on.setdefault(c.day, []).append(c)
        self.last_cooked[c.dish.name] = c.day

    def _fits(self, c: Cooking, here: Sequence[Cooking]) -> bool:
        """Rules 7, 8, 10, 12 and 13 against what is laid already."""
        question, rules = self.question, self.question.household.rules
        before = self.last_cooked.get(c.dish.name)
        if before is not None and c.day - before < gap_of(question, c.dish):
            return False
        if any(clash(c.dish, o.dish) or c.dish.tags & o.dish.tags & rules.not_twice for o in here):
            return False
        today = [*self.cooked_on.get(c.day, ()), *here]
        if c.dish.needs_left is None and any(
            c.dish.tags & o.dish.tags & rules.not_twice_a_day for o in today if o.dish.needs_left is None
        ):
            return False
        lately = [(day, o.dish) for day in range(c.day - 6, c.day + 1) for o in self.cooked_on.get(day, ())]
        lately += [(day, dish) for day, dish in self.past if day >= c.day - 6]
        for tag in c.dish.tags & rules.at_most.keys():
            if sum(tag in dish.tags for _, dish in lately) >= rules.at_most[tag]:
                return False
        if c.role == "main" and any(
            day == c.day - 1 and dish.role == "main" and dish.tags & c.dish.tags & rules.not_running
            for day, dish in lately
        ):
            return False
        if not minutes_are_there(question, [c, *self.cooked_on.get(c.day, ())]):
            return False
        near = [o for day in range(c.day - 14, c.day + 1) for o in self.cooked_on.get(day, ())]
        return c.dish.needs_left is None or leavings_are_there(question, [*near, c])


def _jars(question: Question, stock: Stock) -> Jars:
    room = [stock.room(day) for day in range(question.days)]
    for day in range(question.days - 2, -1, -1):
        room[day] = min(room[day], room[day + 1])
    return Jars(stock, room, list(stock.parts))


def list_keepers_menu(question: Question) -> tuple[list[Cooked], list[Role], float]:
    """The list-keeper's menu, what it leaves open, and its points."""
    menu, left_open = ListKeeper(question).lay()
    sys.setrecursionlimit(max(DEEP, sys.getrecursionlimit()))
    points = score(question, menu, left_open)
    assert points is not None, "the list-keeper overdrew the shelf"
    return menu, left_open, points
