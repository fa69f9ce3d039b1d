"""Batch days for a finished menu: what to turn into what, on which day, and why.

A batch day is proposed only where it saves something that would go over, or makes something that would
be missing. The menu comes first and does not draw on what a batch day makes within its own days; the
run-out table and the household of the morning after count both what was taken and what was made.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from msgspec.structs import replace

from pantrymeals.batch_days.facts import ZERO, Portion, StockCourse, courses, of_a_kind
from pantrymeals.batch_days.model import Go, cannot_wait, choose, saves, ways
from pantrymeals.plans.menu import BatchWork, ChosenUse, MenuPlan
from pantrymeals.records import Household, Product
from pantrymeals.words import counted, short_date, spoken, verb

LITTLE = Fraction(1, 20)
"""What saves less of a product's stock than this is not told, where anything else is."""


def with_batch_days(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with the batch days that are worth their hours, the soonest first."""
    if not household.batch_days:
        return replace(plan, batch_work=())
    known = courses(household, plan, _concerned(household))
    kinds = of_a_kind(household, known)
    chosen = choose(household, plan, known, kinds, household.season.empties)
    return replace(plan, batch_work=_told(household, plan, known, kinds, chosen))


def _concerned(household: Household) -> frozenset[str]:
    """Products that some batch day takes or makes, and those eaten in the place of what it takes."""
    taken = {name for way in ways(household) for name in way.takes}
    alike = frozenset().union(*of_a_kind(household, taken).values())
    return alike | {name for way in ways(household) for name in way.makes}


def _told(
    household: Household,
    plan: MenuPlan,
    known: Mapping[str, StockCourse],
    kinds: Mapping[str, frozenset[str]],
    chosen: tuple[Go, ...],
) -> tuple[BatchWork, ...]:
    """Each batch day with its reason; what one saves or closes is not told again by the next."""
    over = {name: list(course.going_over) for name, course in known.items()}
    lacking = {name: list(course.lacking) for name, course in known.items()}
    spare = {name: course.spare for name, course in known.items()}
    out = []
    for go in chosen:
        day = plan.first + timedelta(days=go.number)
        said: list[str] = []
        besides: list[str] = []
        for name, each in sorted(go.way.takes.items()):
            product, amount = household.products[name], each * go.times
            timely = [p for p in over[name] if saves(go.way.batch, day, p.day, plan.first)]
            saved = _off(over[name], timely, amount)
            little = sum((p.amount for p in saved), ZERO) < LITTLE * known[name].stock
            (besides if little else said).extend(_saved_words(product, plan.first, saved))
            others = sorted(other for other in kinds[name] - {name} if spare[other] > 0)
            if amount > spare[name] and others:
                said.append(f"{_listed([household.products[o] for o in others])} take their place")
            spare[name] = max(ZERO, spare[name] - amount)
        for name, each in sorted(go.way.makes.items()):
            days = [p for p in lacking[name] if p.day >= day]
            if days and cannot_wait(go.way.batch, day, days[0].day):
                said += _closed_words(known[name], _off(lacking[name], days, each * go.times))
        uses = tuple(
            ChosenUse(name, each * go.times * household.products[name].sizes[0].content, name in go.way.stand_ins)
            for name, each in go.way.takes.items()
        )
        out.append(BatchWork(day, go.way.batch.name, go.times, "; ".join(said or besides), uses))
    return tuple(out)


def _off(left: list[Portion], those: list[Portion], amount: Fraction) -> list[Portion]:
    """Takes an amount off those portions in order; what was taken of each. ``left`` keeps the rest."""
    taken = []
    for portion in those:
        part = min(portion.amount, amount)
        amount -= part
        if part > 0:
            taken.append(Portion(portion.day, part))
            left[left.index(portion)] = Portion(portion.day, portion.amount - part)
    return taken


def _saved_words(product: Product, first: date, saved: list[Portion]) -> list[str]:
    """'8 pounds of mid-season apples would be left on 1 Mar, when they are past keeping'."""
    past = sum((p.amount for p in saved if p.day <= first), ZERO)
    ahead = sum((p.amount for p in saved if p.day > first), ZERO)
    said = []
    if past > 0:
        said.append(f"{_so_much(product, past)} {_be(past)} past {_its(past)} best months")
    if ahead > 0:
        end = max(p.day for p in saved)
        kept = "past keeping" if product.deadline_kind == "keeps to" else f"past {_its(ahead)} best months"
        said.append(f"{_so_much(product, ahead)} would be left on {short_date(end)}, {kept}")
    return said


def _closed_words(course: StockCourse, closed: list[Portion]) -> list[str]:
    """'raspberry jam runs out on 20 Apr, 8 half-pints short of 20 Jul', or that the next batch is due."""
    if not closed:
        return []
    product, name = course.product, spoken(course.product)
    if course.next_batch and closed[-1].day == course.due:
        return [f"the next batch of {name} is due by {short_date(course.due)}"]
    short = sum((p.amount for p in course.lacking), ZERO)
    runs = f"{name} {verb(name, 'run')} out about {short_date(course.lacking[0].day)}"
    box = _so_much(product, short).split(" of ")[0]
    return [f"{runs}, {box} short of {short_date(course.due)}"]


def _so_much(product: Product, amount: Fraction) -> str:
    """Whole containers in words, rounded down; 'a little of the cabbage' below one."""
    whole = floor(amount)
    return counted(product, whole) if whole else f"a little of the {spoken(product)}"


def _be(amount: Fraction) -> str:
    return "are" if floor(amount) > 1 else "is"


def _its(amount: Fraction) -> str:
    return "their" if floor(amount) > 1 else "its"


def _listed(products: list[Product]) -> str:
    return " and ".join(spoken(p) for p in products)
