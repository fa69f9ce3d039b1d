"""Rule 5 as the plan states it: when containers come out, to which day they are eaten, what is taken of which lot.

The pull list and the book read these, so they are worked out here a second time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.checking.shelf import ZERO, day_of, number_of, opened_life, part_jars, products_touched, used
from pantrymeals.checking.words import day_words, so_much
from pantrymeals.plans.menu import FromLot, MenuPlan
from pantrymeals.records import Household, Product
from pantrymeals.units import as_words

_Takes = Mapping[tuple[date, date], Fraction]
"""(day opened, or ready; day of use): base measure."""


def openings_have_their_days(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each comes out its thaw days before, and is eaten up to its opened days."""
    for o in plan.openings:
        product, when = household.products[o.product], f"{day_words(o.day)}: {o.size} {o.product}"
        out = o.day - timedelta(days=product.thaw_days)
        last = o.day + timedelta(days=product.opened_days - 1) if product.opened_days else None
        if (o.lifted or o.day) != out:
            yield f"{when} comes out to thaw on {day_words(out)}, the plan states {day_words(o.lifted or o.day)}"
        if o.eat_by != last:
            said, right = (day_words(d) if d else "no day" for d in (o.eat_by, last))
            yield f"{when} is eaten up to {right}, the plan states {said}"


def _takes(household: Household, plan: MenuPlan, product: Product) -> _Takes:
    """What is taken of each container on each day, what is soonest over first."""
    line: list[tuple[date, int, int]] = []
    left: list[Fraction] = []
    for part in sorted((p for p in household.part_jars if p.product == product.name), key=lambda p: p.opened):
        for ready, last, there in part_jars(replace(household, part_jars=(part,)), plan, product):
            line.append((part.opened, ready, last))
            left.append(there)
    for o in sorted((o for o in plan.openings if o.product == product.name), key=lambda o: o.day):
        size, number = product.size(o.size), number_of(plan, o.day)
        line.append((o.day, number, number + (product.opened_days or 2 * plan.days) - 1))
        left.append(o.count * size.content if size else ZERO)
    out: dict[tuple[date, date], Fraction] = defaultdict(Fraction)
    for number, need in enumerate(used(plan, product.name)):
        for i, (opened, ready, last) in sorted(enumerate(line), key=lambda entry: entry[1][2]):
            taken = min(left[i], need) if ready <= number <= last else ZERO
            left[i] -= taken
            need -= taken
            out[opened, day_of(plan, number)] += taken
    return out


def what_is_taken_is_told(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The plan states of each container what the dishes take of it, day by day."""
    stated: dict[str, dict[tuple[date, date], Fraction]] = {}
    told = [*((b.product, b.opened, b.uses) for b in plan.begun), *((o.product, o.day, o.uses) for o in plan.openings)]
    for name, opened, uses in told:
        for day, amount in uses:
            takes = stated.setdefault(name, defaultdict(Fraction))
            takes[opened, day] += amount
    for product in products_touched(household, plan):
        if not product.whole or opened_life(household, plan, product).missing:
            continue  # that too little is open is told by another rule
        right, said = _takes(household, plan, product), stated.get(product.name, {})
        for key in sorted(set(said) | set(right)):
            amounts = [right.get(key, ZERO), said.get(key, ZERO)]
            if amounts[0] != amounts[1]:
                taken, states = (so_much(product, amount) for amount in amounts)
                when, opened_on = day_words(key[1]), day_words(key[0])
                yield f"{when}: {taken} is taken of what was opened on {opened_on}, the plan states {states}"


def lots_hold_what_is_taken(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No lot gives more than is there; what is held, promised, seed or suspect gives nothing."""
    there: dict[tuple[str, str, FromLot], Fraction] = defaultdict(Fraction)
    taken: dict[tuple[str, str, FromLot], Fraction] = defaultdict(Fraction)
    for lot in household.lots:
        if lot.state == "":
            there[lot.product, lot.size, FromLot(lot.where, lot.put_up, lot.year_only, lot.load)] += lot.count
    fetched = [*((o.product, o.size, o.lot, Fraction(o.count)) for o in plan.openings)]
    fetched += [(x.product, x.size, x.lot, Fraction(x.count)) for x in plan.for_later]
    for name, size, found, count in [*fetched, *((f.product, f.size, f.lot, f.count) for f in plan.fetched)]:
        if found is not None:
            taken[name, size, found] += count
    comes = {(a.product, a.day) for a in household.arrivals}
    comes |= {(made.product, w.day) for w in plan.batch_work for made in household.batch_days[w.name].makes}
    for (name, size, found), count in taken.items():
        if count > there[name, size, found] and (name, found.put_up) not in comes:
            put_up = day_words(found.put_up) if found.put_up else "no day"
            have = as_words(there[name, size, found])
            yield f"{name}: {as_words(count)} x {size} of the lot of {put_up} at '{found.where}', {have} are there"


RULES = (openings_have_their_days, what_is_taken_is_told, lots_hold_what_is_taken)
