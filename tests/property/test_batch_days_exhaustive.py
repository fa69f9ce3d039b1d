"""Proposed batch days against every plan of batch days, in random small cellars.

The worth of a plan is reckoned here anew, from what DEVELOPERS says it is: nothing is cooked, so what is
left, missing or eaten follows from stock, standing use and days by plain sums.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product as every

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Struct

from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.checking.menu import broken_rules
from pantrymeals.records import FreeHours, Household
from tests.kitchens.batch_larder import batch, cellar, idle
from tests.kitchens.tiny import arrival, day, jar, loose, lot, standing

DAYS = 14
SATURDAYS = (5, 12)
COMES_ON = 9


class Stuff(Struct, frozen=True):
    """A product: pounds or jars on the shelf, a week's standing use, the day it must last to, and what comes in."""

    stock: int
    weekly: int
    due: int
    comes: int = 0

    def left(self, number: int) -> Fraction:
        """What standing use leaves at the end of a day."""
        here = self.stock + (self.comes if number >= COMES_ON else 0)
        return here - Fraction(self.weekly * (number + 1), 7)

    def over(self) -> Fraction:
        """What is left on its day."""
        return self.left(self.due - 1)

    def missing(self) -> Fraction:
        """What is missing up to its day."""
        return max(Fraction(0), self.wanted() - self.stock)

    def wanted(self) -> Fraction:
        """What is wanted up to its day."""
        return Fraction(self.weekly * self.due, 7)


class Work(Struct, frozen=True):
    """A batch day: pounds of A and B, jars that it makes, minutes."""

    a: int
    b: int
    makes: int
    minutes: int


plenty = st.builds(Stuff, st.integers(20, 40), st.integers(0, 4), st.integers(15, 35), st.sampled_from([0, 9]))
little = st.builds(Stuff, st.integers(0, 6), st.integers(1, 4), st.integers(15, 60))
work = st.builds(Work, st.integers(1, 15), st.integers(0, 12), st.integers(1, 9), st.sampled_from([30, 60, 120]))


def household(a: Stuff, b: Stuff, jam: Stuff, works: list[Work], minutes: int) -> Household:
    """A keeps to its day, B waits for its new crop, jam is made of both."""
    weekly = (standing("A", f"{a.weekly} lb"), standing("B", f"{b.weekly} lb"), standing("Jam", f"{jam.weekly} pt"))
    products = [
        loose("A", must_last_to=day(a.due), deadline_kind="keeps to"),
        loose("B", must_last_to=day(b.due), deadline_kind="new crop", family="other"),
        jar("Jam", sizes=("pt",), must_last_to=day(jam.due), deadline_kind="new crop"),
    ]
    batches = [
        batch(f"Work {n}", [f"{w.a} lb A", *([f"{w.b} lb B"] if w.b else [])], [f"{w.makes} pt Jam"], w.minutes)
        for n, w in enumerate(works)
    ]
    return cellar(
        products=products,
        lots=[lot("A", a.stock, "lb"), lot("B", b.stock, "lb"), lot("Jam", jam.stock, "pt")],
        standing=weekly,
        arrivals=tuple(arrival(name, f"{x.comes} lb", day(COMES_ON)) for name, x in (("A", a), ("B", b)) if x.comes),
        batches=batches,
        batch_hours=(FreeHours("Sat", minutes),),
    )


Plan = dict[tuple[int, int], int]
"""Goes by (Saturday's day number, number of the batch day)."""


def possible(a: Stuff, b: Stuff, works: list[Work], minutes: int, plan: Plan) -> bool:
    """Within the hours, and with what standing use needs until each product's day."""
    for number in SATURDAYS:
        if sum(works[w].minutes * n for (d, w), n in plan.items() if d == number) > minutes:
            return False
    for thing, each in ((a, [w.a for w in works]), (b, [w.b for w in works])):
        for number in range(DAYS):
            taken = sum(each[w] * n for (d, w), n in plan.items() if d <= number)
            if taken and taken > thing.left(number):
                return False
        if sum(each[w] * n for (_, w), n in plan.items()) > thing.over():
            return False
    return True


def worth(a: Stuff, jam: Stuff, works: list[Work], plan: Plan) -> Fraction:
    """Saved and closed as shares, less a hundredth an hour and a little for each later day."""
    out = Fraction(0)
    took = sum(works[w].a * n for (_, w), n in plan.items())
    made = sum(works[w].makes * n for (_, w), n in plan.items())
    if a.stock:
        out += min(Fraction(took), a.over()) / (a.stock + a.comes)
    if jam.missing():
        out += min(Fraction(made), jam.missing()) / jam.wanted()
    for (number, w), n in plan.items():
        out -= n * (Fraction(works[w].minutes, 6000) + Fraction(number, 100000))
    return out


def plans(works: list[Work], most: int) -> Iterator[Plan]:
    """Every plan with at most so many goes of each batch day on each Saturday."""
    places = list(every(SATURDAYS, range(len(works))))
    for counts in every(range(most + 1), repeat=len(places)):
        yield dict(zip(places, counts, strict=True))


@settings(max_examples=50, deadline=None)
@given(a=plenty, b=plenty, jam=little, works=st.lists(work, min_size=1, max_size=2), minutes=st.sampled_from([60, 120]))
def test_no_plan_of_batch_days_is_worth_more(a: Stuff, b: Stuff, jam: Stuff, works: list[Work], minutes: int) -> None:
    home = household(a, b, jam, works, minutes)
    plan = with_batch_days(home, idle(home, DAYS))
    assert [x for x in broken_rules(home, plan) if "batch" in x] == []
    found: Plan = {}
    for done in plan.batch_work:
        found[((done.day - plan.first).days, int(done.name.split()[1]))] = done.times
    assert possible(a, b, works, minutes, found)
    most = minutes // min(w.minutes for w in works)
    best = max(worth(a, jam, works, p) for p in plans(works, most) if possible(a, b, works, minutes, p))
    mine = worth(a, jam, works, found)
    assert abs(mine - best) < Fraction(1, 100000), (float(mine), float(best), found)
    assert not plan.batch_work or mine > 0
