"""Rule 15: proposed batch days can be done, in their hours, with what the meals leave on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from itertools import product as every
from math import ceil, floor, inf

from pantrymeals.checking.evenness import days_eaten, lasts_to, open_and_good
from pantrymeals.checking.shelf import (
    ZERO,
    day_of,
    first_thawed,
    number_of,
    on_the_shelf,
    opened,
    part_jars,
    stood,
    supplied,
    used,
)
from pantrymeals.checking.table import longest_minutes
from pantrymeals.checking.words import day_words, list_of, so_much
from pantrymeals.plans.menu import BatchWork, MenuPlan
from pantrymeals.records import WEEKDAYS, BatchDay, Household, Option, Product
from pantrymeals.units import as_words

SIX_OR_SO, A_THIRD, FIFTEEN_WEEKS = 5.5, 0.33, 15
TWO_YEARS, MOST_OF_IT = 104, 0.7


def where(work: BatchWork) -> str:
    """'Sat 17 January, batch day Kraut'."""
    return f"{day_words(work.day)}, batch day {work.name}"


def unknown_names(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Batch days, and products that they take, which are not the household's."""
    for work in plan.batch_work:
        if work.name not in household.batch_days:
            yield f"{where(work)}: no such batch day in the recipes"
        for use in work.uses:
            if use.product not in household.products:
                yield f"{where(work)}: takes {use.product}, which is no product of this household"


def batch_days_have_their_time(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A batch day lies within the plan and its season, and is done at least once."""
    for work in plan.batch_work:
        season = household.batch_days[work.name].season
        if not 0 <= number_of(plan, work.day) < plan.days:
            yield f"{where(work)}: outside the menu's days"
        if season and work.day.month not in season:
            yield f"{where(work)}: out of its season"
        if work.times < 1:
            yield f"{where(work)}: done {work.times} times"


def _off_the_shelf(product: Product, amount: Fraction, times: int) -> Fraction:
    """What leaves the shelf for an amount, so many times; each time whole containers of what is opened whole."""
    container = product.sizes[0].content
    return (ceil(amount / container) * container if product.whole else amount) * times


def _would_take(household: Household, chosen: tuple[Option, ...], times: int) -> dict[str, Fraction]:
    each: dict[str, Fraction] = {}
    for option in chosen:
        each[option.product] = each.get(option.product, ZERO) + option.amount
    return {name: _off_the_shelf(household.products[name], amount, times) for name, amount in each.items()}


def batch_days_take_their_own(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each use takes one of its options, as often as the batch day is done."""
    for work in plan.batch_work:
        stated: dict[str, Fraction] = {}
        for use in work.uses:
            stated[use.product] = stated.get(use.product, ZERO) + use.amount
        batch = household.batch_days[work.name]
        choices = every(*(use.options for use in batch.uses))
        if not any(_would_take(household, chosen, work.times) == stated for chosen in choices):
            yield f"{where(work)}: takes {list_of(household, stated)}, not what it takes {work.times} times"


def batch_products_may_be_taken(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Nothing that is kept off the menus, past the day it keeps to, or still frozen."""
    for work in plan.batch_work:
        for use in work.uses:
            product = household.products[use.product]
            if not product.on_menus:
                yield f"{where(work)}: {product.name} is kept off the menus"
            if _past_keeping(household, product, work.day):
                yield f"{where(work)}: {product.name} kept to {day_words(product.must_last_to or work.day)}"
            if number_of(plan, work.day) < first_thawed(household, plan, product):
                yield f"{where(work)}: {product.name} cannot be thawed by then"


def _past_keeping(household: Household, product: Product, day: date) -> bool:
    keeps = product.must_last_to
    if product.deadline_kind != "keeps to" or keeps is None or keeps >= day:
        return False
    return not any(a.product == product.name and keeps <= a.day <= day for a in household.arrivals)


def batch_days_make_nothing_in_glut(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Not all that a batch day makes would be over on its day at the pace of the weeks before."""
    for work in plan.batch_work:
        made = {option.product for option in household.batch_days[work.name].makes}
        if made and all(_in_glut(household, plan, household.products[name]) for name in made):
            yield f"{where(work)}: makes {', '.join(sorted(made))}, of which there is more than will be eaten"


def _in_glut(household: Household, plan: MenuPlan, product: Product) -> bool:
    today = household.today
    known = min([today, *household.known_since.values()])
    begin = max(known, today - timedelta(days=56))
    weeks = Fraction(days_eaten(product, begin, today), 7)
    if today - begin < timedelta(days=28) or weeks == 0:
        return False
    taken = [t.amount for t in household.taken if t.product == product.name and begin <= t.day < today]
    weekly = sum(taken, ZERO) / weeks
    until = min(lasts_to(product, plan.first), plan.first + timedelta(days=730))
    there = on_the_shelf(household, product) + open_and_good(household, product, today)
    there += sum(a.amount for a in household.arrivals if a.product == product.name and plan.first <= a.day < until)
    left = there - weekly * Fraction(days_eaten(product, today, until), 7)
    if there <= 0:
        return False
    part, count = float(max(ZERO, left) / there), float(max(ZERO, left) / product.sizes[0].content)
    cover = float(there / weekly) if weekly else inf
    if product.must_last_to and count >= SIX_OR_SO:
        return part >= A_THIRD and cover - (until - today).days / 7 >= FIFTEEN_WEEKS
    return cover > TWO_YEARS and part >= MOST_OF_IT


def minutes_free(household: Household, day: date) -> int:
    """Minutes for batch days: as the hours written for them say, else as long as a dish of that weekday may take."""
    weekday, when = WEEKDAYS[day.weekday()], (day.month, day.day)
    if not household.batch_hours:
        return longest_minutes(household, day) or 0
    found = [0]
    for row in household.batch_hours:
        over_new_year = row.last < row.first
        after, before = when >= row.first, when <= row.last
        if row.weekday == weekday and (after or before if over_new_year else after and before):
            found.append(row.minutes)
    return max(found)


def batch_days_keep_the_hours(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The batch days of one day together take no longer than is free."""
    for day in sorted({work.day for work in plan.batch_work}):
        works = [work for work in plan.batch_work if work.day == day]
        takes = sum(household.batch_days[w.name].minutes * w.times for w in works)
        free = minutes_free(household, day)
        if takes > free:
            names = ", ".join(w.name for w in works)
            yield f"{day_words(day)}: {takes} minutes of batch days ({names}), {free} are free"


def batch_days_leave_the_meals_theirs(household: Household, plan: MenuPlan) -> Iterator[str]:
    """On every day, meals, batch days and standing use so far take no more than shelf and arrivals held.

    Reserve and lots with a state are not on the shelf. Of what is opened whole, a batch day takes
    containers of the first size, which must be there in that size.
    """
    for name in sorted({use.product for work in plan.batch_work for use in work.uses}):
        product = household.products[name]
        batches = [ZERO] * plan.days
        for work in plan.batch_work:
            for use in work.uses:
                if use.product == name and 0 <= number_of(plan, work.day) < plan.days:
                    batches[number_of(plan, work.day)] += use.amount
        meals = opened(plan, product) if product.whole else used(plan, name)
        of_size = opened(plan, product, product.sizes[0].name)
        there, there_of_size = _there(household, plan, product)
        total = total_of_size = ZERO
        for number, batch in enumerate(batches):
            total += batch + meals[number]
            total_of_size += batch + of_size[number]
            short = max(total - there[number], total_of_size - there_of_size[number] if product.whole else ZERO)
            if short > 0 and any(batches[: number + 1]):
                yield (
                    f"{day_words(day_of(plan, number))}: {so_much(product, short)} more is taken by meals and "
                    "batch days than shelf and arrivals hold above standing use and reserve"
                )
                break


def _there(household: Household, plan: MenuPlan, product: Product) -> tuple[list[Fraction], list[Fraction]]:
    """By the end of each day what may have been taken in all, and of the first size (base measure)."""
    size = product.sizes[0]
    lots = [x for x in household.lots if (x.product, x.size, x.state) == (product.name, size.name, "")]
    of_size = sum((lot.count for lot in lots), ZERO) * size.content
    shelf = on_the_shelf(household, product)
    in_part = ZERO if product.whole else sum((left for _, _, left in part_jars(household, plan, product)), ZERO)
    held, standing = supplied(household, plan, product), stood(household, plan, product)
    both = list(zip(held, standing, strict=True))
    return [h + in_part - s for h, s in both], [of_size + h - shelf - s for h, s in both]


def jars_stand_empty(household: Household, plan: MenuPlan) -> Iterator[str]:
    """No more jars of a size are filled than the season's file counts as empty; a size not counted is free."""
    filled: dict[str, int] = {}
    for work in plan.batch_work:
        for size, count in _jars(household, household.batch_days[work.name]).items():
            filled[size] = filled.get(size, 0) + count * work.times
    empty = household.season.empties
    for size, count in sorted(filled.items()):
        if size in empty and count > empty[size]:
            yield f"batch days fill {as_words(Fraction(count))} {size} jars, {empty[size]} stand empty"


def _jars(household: Household, batch: BatchDay) -> dict[str, int]:
    """Jars that one go fills, by size."""
    made: dict[str, Fraction] = {}
    for option in batch.makes:
        made[option.product] = made.get(option.product, ZERO) + option.amount
    out: dict[str, int] = {}
    for name, amount in made.items():
        product = household.products[name]
        size = product.sizes[0]
        if product.kind == "jar":
            out[size.name] = out.get(size.name, 0) + floor(amount / size.content)
    return out


RULES = (
    batch_days_have_their_time,
    batch_days_make_nothing_in_glut,
    batch_days_take_their_own,
    batch_products_may_be_taken,
    batch_days_keep_the_hours,
    batch_days_leave_the_meals_theirs,
    jars_stand_empty,
)
