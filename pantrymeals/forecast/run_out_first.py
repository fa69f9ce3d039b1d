"""When each product runs out at the menu's and the standing pace, day by day, and what that means.

One pace for each product (how it is found: ``depletion``), and no chance in it: the book's own
history and its odds are in ``forecast``.

The shelf itself remembers a little: of a product put up since, jars more than a year old say that
more is made than eaten (a glut); jars more than two years old, with none put up since, are sitters
unless standing use takes them. Where none was put up in the last year, the reason says so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.forecast.depletion import (
    LONG_MENU_DAYS,
    ZERO,
    Ages,
    Going,
    Pace,
    Stores,
    ages_of,
    dishes_reaching,
    go_down,
    months_reached,
    pace_of,
)
from pantrymeals.forecast.words import so_much, so_much_a_week
from pantrymeals.larder.batch_days_done import made_by, with_batches_done, works_within
from pantrymeals.larder.evenness import averaged
from pantrymeals.larder.on_hand import on_shelf, usable
from pantrymeals.larder.supply import stands
from pantrymeals.plans.menu import Mark, MenuPlan, RunOutRow
from pantrymeals.records import Household, Lot, Product
from pantrymeals.words import month_name, short_date

SHORT_WEEKS = 2
TIGHT_CONTAINERS = 2
TIGHT_WEEKS = 4
GLUT_COVER = Fraction(3, 2)
GLUT_LEFT = 3
EAT_FIRST_WEEKS = 6
EAT_FIRST_LEFT = Fraction(1, 10)
"""A keeper is to be eaten first when more than this part of it, and a container, would go over."""

_UNTIL = {
    "new crop": "the new crop is",
    "keeps to": "it keeps to",
    "season ends": "its season ends",
    "order": "the next order is",
    "next batch": "the next batch is",
}


@dataclass(frozen=True, slots=True)
class _Case:
    """One product's facts, from which its mark and its reason are said."""

    product: Product
    first: date
    in_hand: Fraction
    pace: Pace
    going: Going
    ages: Ages
    states: frozenset[str]
    coming_weekly: Fraction

    @property
    def due(self) -> date | None:
        """The day it must last to."""
        return self.product.must_last_to


def first_run_out(household: Household, plan: MenuPlan | None = None) -> tuple[RunOutRow, ...]:
    """One row for each product with something in store, in the household's own order.

    Without a menu every product that a dish reaches goes at the even hand's pace. What a menu's batch days
    take is gone from its first day, and what they make is there; ``on_hand`` stays what there is now.
    """
    first = plan.first if plan else household.today
    now, noted = household.lots, batch_notes(household, plan) if plan else {}
    household = with_batches_done(household, plan) if plan else household
    stores = Stores(household, plan, first, averaged(household, first, plan.days if plan else 7))
    there, reach = usable(household, first), dishes_reaching(household)
    rows = []
    for product in household.products.values():
        states = frozenset(lot.state for lot in household.lots if lot.product == product.name)
        in_hand = there[product.name] / product.sizes[0].content
        months = months_reached(product, reach.get(product.name, ()))
        pace = pace_of(stores, product, in_hand, months)
        if states or in_hand or any(pace.standing) or pace.menu:
            going = go_down(household, product, in_hand, pace, first)
            ages = ages_of(household, product, first)
            coming = _coming_weekly(household, product, first)
            row = _row(now, _Case(product, first, in_hand, pace, going, ages, states, coming))
            said = "; ".join([row.reason, *noted.get(product.name, ())])
            rows.append(replace(row, reason=said))
    return tuple(rows)


def batch_notes(household: Household, plan: MenuPlan) -> dict[str, list[str]]:
    """By product: '40 pounds of mid-season apples less for the batch day of 17 Jan', or more from it."""
    out: dict[str, list[str]] = {}
    for work, batch in works_within(household, plan):
        taken = {use.product: use.amount / household.products[use.product].sizes[0].content for use in work.uses}
        made = {name: count * work.times for name, count in made_by(household, batch).items()}
        for amounts, words in ((taken, "less for"), (made, "more from")):
            for name, count in amounts.items():
                unit = household.products[name].sizes[0].name
                said = f"{so_much(unit, count)} {words} the batch day of {_day(work.day, plan.first)}"
                out.setdefault(name, []).append(said)
    return out


def _coming_weekly(household: Household, product: Product, first: date) -> Fraction:
    """Containers a week that come in over the next four weeks, of what has no day to last to."""
    soon = first + timedelta(days=LONG_MENU_DAYS)
    if product.must_last_to is not None:
        return ZERO
    amounts = (a.amount for a in household.arrivals if a.product == product.name and first <= a.day < soon)
    return sum(amounts, ZERO) / product.sizes[0].content * 7 / LONG_MENU_DAYS


def _row(lots: Iterable[Lot], case: _Case) -> RunOutRow:
    product, going, mark = case.product, case.going, _mark(case)
    goes = mark not in ("held", "not on menus", "sitter") and not case.coming_weekly
    late = mark in ("short", "tight") and going.lacking > 0
    container = product.sizes[0].content
    on_hand = sum(
        (
            lot.count * size.content
            for lot in lots
            if lot.product == product.name and lot.state == "" and (size := product.size(lot.size))
        ),
        ZERO,
    )
    return RunOutRow(
        product=product.name,
        on_hand=on_hand / container,
        reserve=product.reserve / container,
        weekly=case.pace.weekly(case.first),
        out=going.out if goes else None,
        must_last_to=product.must_last_to,
        mark=mark,
        reason=_reason(case, mark),
        gap_weeks=_weeks_without(case) if late else 0.0,
    )


def _weeks_without(case: _Case) -> float:
    """Weeks from the day after the last one goes up to the day it must last to."""
    if case.due is None or case.going.out is None:
        return 0.0
    return max(0, (case.due - case.going.out).days - 1) / 7


def _mark(case: _Case) -> Mark:
    """The first mark, in this order, that fits."""
    product, pace, going, ages = case.product, case.pace, case.going, case.ages
    if case.states and "" not in case.states and case.in_hand <= 0:
        return "held"
    if not product.on_menus:
        return "not on menus"
    if case.in_hand > 0 and not any(pace.standing) and (not pace.months or (ages.oldest and not ages.new)):
        return "sitter"
    if _goes_over(case):
        return "eat first"
    due = case.due
    if due is not None and due > case.first and going.lacking > 0:
        return "tight" if _weeks_without(case) <= SHORT_WEEKS or going.lacking <= 1 else "short"
    if ages.new and ages.old >= GLUT_LEFT and product.deadline_kind != "keeps to":
        return "glut"
    if due is None or due <= case.first or case.coming_weekly:
        return "reaches"
    weeks = Fraction((due - case.first).days, 7)
    if going.cover_weeks > GLUT_COVER * weeks and going.left > GLUT_LEFT:
        return "glut"
    little = min(Fraction(TIGHT_CONTAINERS), TIGHT_WEEKS * pace.weekly(case.first))
    rationed = pace.even and pace.menu > 0
    return "tight" if going.left <= little and not rationed else "reaches"


def _goes_over(case: _Case) -> bool:
    """A keeper of the cellar whose day is near, or of which a good part would be left on it."""
    product, due = case.product, case.due
    if product.kind != "cellar" or product.deadline_kind != "keeps to" or due is None or case.in_hand <= 0:
        return False
    soon = due <= case.first + timedelta(weeks=EAT_FIRST_WEEKS)
    return soon or case.going.left > max(Fraction(1), EAT_FIRST_LEFT * case.in_hand)


def _weeks(number: Fraction | float) -> str:
    whole = round(number)
    return "a week" if whole == 1 else f"{whole} weeks" if whole else "a few days"


def _day(day: date, today: date) -> str:
    words = short_date(day)
    return words if abs((day - today).days) < 335 else f"{words} {day.year}"


def _reason(case: _Case, mark: Mark) -> str:
    """Why, in one plain sentence."""
    product, due, going, ages = case.product, case.due, case.going, case.ages
    unit = product.sizes[0].name
    if mark == "held":
        return f"All of it is {' or '.join(sorted(case.states))}: on no menu"
    if mark == "not on menus":
        return "Kept off the menus"
    if mark == "sitter":
        if not case.pace.months:
            return "No dish and no standing use takes it"
        return f"{so_much(unit, ages.oldest)} put up over two years ago, and none in the last year"
    if mark == "eat first" and due is not None:
        if due <= case.first:
            return f"It kept to {_day(due, case.first)}: look it over, what is sound goes first"
        over = f"; {so_much(unit, going.left)} would be left at this pace" if going.left >= 1 else ""
        return f"It keeps to {_day(due, case.first)}{over}"
    if case.coming_weekly:
        return f"It comes in as it goes: about {so_much_a_week(unit, case.coming_weekly).removeprefix('about ')}"
    return "; ".join([_how_long(case), *_how_it_ends(case, mark)])


def _how_long(case: _Case) -> str:
    """'7 weeks at 0.7 qt a week', 'More than two years at an even pace of 0.1 hp a week'."""
    weekly, unit = case.pace.weekly(case.first), case.product.sizes[0].name
    even = "an even pace of " if case.pace.even and case.pace.menu else ""
    at = f"at {even}{so_much_a_week(unit, weekly)}"
    if case.in_hand <= 0:
        return f"Nothing above the reserve, {at}"
    if not weekly:
        month = month_name(case.first)
        return f"None is used in {month}" + (
            f"; the last goes {_day(case.going.out, case.first)}" if case.going.out else ""
        )
    return f"{_weeks(case.going.cover_weeks)} {at}" if case.going.out else f"More than two years {at}"


def _how_it_ends(case: _Case, mark: Mark) -> list[str]:
    product, due, going, ages = case.product, case.due, case.going, case.ages
    unit = product.sizes[0].name
    said = []
    if due is not None:
        until = f"{_UNTIL.get(product.deadline_kind, 'it must last to')} {_day(due, case.first)}"
        short = f", {_weeks(_weeks_without(case))} short" if mark in ("short", "tight") and going.lacking else ""
        said.append(until + short)
    else:
        said.append("no day is set that it must last to")
    if mark == "glut" and ages.new and ages.old >= GLUT_LEFT:
        since = f"with {round(ages.new)} put up since"
        said.append(f"{so_much(unit, ages.old)} are over a year old, {since}")
    elif mark == "glut":
        said.append(f"{so_much(unit, going.left)} would be left then")
    elif ages.old and not ages.new and product.deadline_kind == "new crop":
        said.append("none was put up in the last year")
    return said


def unreachable(household: Household) -> tuple[tuple[str, str], ...]:
    """Products in store above their reserve that no dish and no standing use takes in any month, and why."""
    shelf, reach = on_shelf(household), dishes_reaching(household)
    out = []
    for name, product in household.products.items():
        if not product.on_menus or shelf[name] <= 0 or any(stands(household, name)):
            continue
        dishes = reach.get(name, [])
        if months_reached(product, dishes):
            continue
        if dishes:
            names = ", ".join(sorted(dish.name for dish in dishes))
            out.append((name, f"in the months it is eaten, {names} is out of season"))
        else:
            work = sorted(
                b.name for b in household.batch_days.values()
                if any(o.product == name for use in b.uses for o in use.options)
            )  # fmt: skip
            out.append((name, f"only the batch day '{work[0]}' takes it" if work else "no dish takes it"))
    return tuple(out)
