"""The pull list of a menu, and what the household has once the menu is eaten."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import ceil
from typing import Literal

from msgspec.structs import replace

from pantrymeals.larder.batch_days_done import arrivals_after, lots_made, products_after, works_within
from pantrymeals.larder.opened_life import goes_back_frozen, life_of, lifted_out, untouched
from pantrymeals.larder.table import earliest_day
from pantrymeals.larder.taking import used_of_parts, walk_through
from pantrymeals.plans.menu import AheadLine, DayUse, Fetched, FromLot, MenuPlan, PullLine, PullList
from pantrymeals.pull.cautions import pull_cautions
from pantrymeals.records import Household, PartJar
from pantrymeals.words import day_and_year, short_date

REMEMBERED_DAYS = 60
"""How far back eaten dishes are kept, so that variety reaches over the first day of the next menu."""

_FIRST_OF_ALL = {"part jar": 0}


def pull_list(household: Household, plan: MenuPlan) -> PullList:
    """What to fetch for a menu: part jars first, then place by place in walking order, oldest lot first.

    Frozen packs stand as 'lift out' on the day they must come out; steps before the day stand on
    theirs. A day before today becomes today, or the menu's first day where that is earlier.
    """
    lines = [*_part_jar_lines(household, plan), *_container_lines(household, plan), *_loose_lines(household, plan)]
    order = walking_order(household, (line.where for line in lines))
    lines.sort(key=lambda x: (_FIRST_OF_ALL.get(x.kind, 1), order[x.where], x.fetch, x.product, x.needed))
    return PullList(
        lines=tuple(lines),
        ahead=_ahead(household, plan),
        empties=_empties(household, plan),
        cautions=pull_cautions(household, plan, lines),
    )


def walking_order(household: Household, codes: Iterable[str]) -> dict[str, tuple[int, str]]:
    """Each place's turn: as the household lists its places, one it has not listed last."""
    listed = {place.code: number for number, place in enumerate(household.places)}
    return {code: (listed.get(code, len(listed)), code) for code in codes}


def put_up_words(lot: FromLot | None) -> str:
    """'6 Oct 2025', '2024', 'no date', or that nothing is there."""
    if lot is None:
        return "not on the shelf"
    if lot.put_up is None:
        return "no date"
    if lot.year_only:
        return str(lot.put_up.year)
    return day_and_year(lot.put_up)


def _dishes_using(plan: MenuPlan, day: date, product: str) -> str:
    names = [
        dish.dish
        for meal in plan.meals
        if meal.day == day
        for dish in meal.dishes
        if any(use.product == product for use in dish.uses)
    ]
    return ", ".join(dict.fromkeys(names))


def _part_jar_lines(household: Household, plan: MenuPlan) -> list[PullLine]:
    """One line for each jar that is open already: all that the menu takes of it, on the first day it does."""
    lines = []
    for part, uses in used_of_parts(household, plan):
        if uses:
            product, day = household.products[part.product], uses[0][0]
            begun = f"{'lifted out' if untouched(product, part) else 'opened'} {short_date(part.opened)}"
            count, last = _sum(uses) / product.content(part.size), life_of(product, part).last
            dish = _dishes_using(plan, day, product.name)
            line = PullLine(day, part.where, "part jar", product.name, part.size, count, begun, day, dish, last)
            lines.append(line)
    return lines


def _container_lines(household: Household, plan: MenuPlan) -> list[PullLine]:
    """Whole containers: those that dishes open, those that batch days use up, and packs for the days after."""
    rows = [(o.out, o.day, o.product, o.size, Fraction(o.count), o.lot, o.eat_by, "") for o in plan.openings]
    for got in plan.fetched:
        product = household.products[got.product]
        if product.whole:
            out = lifted_out(product, got.day)
            rows.append((out, got.day, got.product, got.size, got.count, got.lot, None, got.work))
    rows += [(x.lifted, x.night, x.product, x.size, Fraction(x.count), x.lot, x.eat_by, x.dish) for x in plan.for_later]
    lines = []
    for out, day, name, size, count, lot, last, work in rows:
        kind: Literal["lift out", "jar"] = "lift out" if household.products[name].thaw_days else "jar"
        fetch, (where, load) = max(earliest_day(household, plan.first), out), _found(lot)
        dish = work or _dishes_using(plan, day, name)
        lines.append(PullLine(fetch, where, kind, name, size, count, put_up_words(lot), day, dish, last, load))
    return lines


def _found(lot: FromLot | None) -> tuple[str, str]:
    """Where a lot stands, and its load."""
    return (lot.where, lot.load) if lot else ("", "")


def _loose_lines(household: Household, plan: MenuPlan) -> list[PullLine]:
    """One line for each day, product, place and batch day of what is dipped into, its lots oldest first."""
    heaps: dict[tuple[date, str, str, str], list[Fetched]] = {}
    for got in plan.fetched:
        if not household.products[got.product].whole:
            heaps.setdefault((got.day, got.product, _found(got.lot)[0], got.work), []).append(got)
    return [_loose_line(plan, where, heap) for (_, _, where, _), heap in heaps.items()]


def _loose_line(plan: MenuPlan, where: str, heap: list[Fetched]) -> PullLine:
    first, count = heap[0], sum((got.count for got in heap), Fraction(0))
    dish = first.work or _dishes_using(plan, first.day, first.product)
    put_up = ", then ".join(dict.fromkeys(put_up_words(got.lot) for got in heap))
    load = _found(first.lot)[1]
    return PullLine(first.day, where, "loose", first.product, first.size, count, put_up, first.day, dish, None, load)


def _ahead(household: Household, plan: MenuPlan) -> tuple[AheadLine, ...]:
    """Steps before the day; one that was due before anything can be done is put on that day, and says so."""
    lines = []
    for meal in plan.meals:
        for planned in meal.dishes:
            for step in household.dishes[planned.dish].ahead:
                due = step.due(meal.day)
                begin = earliest_day(household, plan.first)
                late = f" (was due {short_date(due)}: if it is not done, choose another dish)" if due < begin else ""
                lines.append(AheadLine(max(due, begin), step.what + late, planned.dish, meal.day))
    return tuple(sorted(lines, key=lambda a: (a.day, a.dish_day, a.dish, a.what)))


def _left_open(household: Household, plan: MenuPlan) -> Iterator[tuple[PartJar, int, date | None]]:
    """What the menu leaves of the part jars and of what it opens, how many containers they were, and their last day."""
    for part, uses in used_of_parts(household, plan):
        life = life_of(household.products[part.product], part)
        if not life.past(plan.first):
            yield replace(part, left=part.left - _sum(uses)), 1, life.last
    fridge = next((p.code for p in household.places if p.kind == "fridge"), "")
    for o in (*plan.openings, *(x.as_opening() for x in plan.for_later)):
        product = household.products[o.product]
        left = o.count * product.content(o.size) - _sum(o.uses)
        where = _found(o.lot)[0] if goes_back_frozen(product) else fridge
        yield PartJar(o.product, o.size, left, o.out, where), o.count, o.eat_by


def _sum(uses: Iterable[DayUse]) -> Fraction:
    return sum((amount for _, amount in uses), Fraction(0))


def _empties(household: Household, plan: MenuPlan) -> tuple[tuple[str, int], ...]:
    """Jars that come back empty by the menu's end, emptied or gone over, by size, the largest first."""
    end = plan.first + timedelta(days=plan.days)
    back: Counter[tuple[Fraction, str]] = Counter()
    for jar, count, last in _left_open(household, plan):
        product = household.products[jar.product]
        content = product.content(jar.size)
        over = last is not None and last < end
        back[content, jar.size] += 0 if product.kind != "jar" else count if over else count - ceil(jar.left / content)
    for got in plan.fetched:
        product = household.products[got.product]
        if product.kind == "jar" and product.whole:
            back[product.content(got.size), got.size] += int(got.count)
    return tuple((size, count) for (_, size), count in sorted(back.items(), key=lambda b: (-b[0][0], b[0][1])) if count)


def _parts_after(household: Household, plan: MenuPlan, today: date) -> Iterator[PartJar]:
    """What is open on that day, one container each."""
    for jar, _, last in _left_open(household, plan):
        if last is None or last >= today:
            content = household.products[jar.product].content(jar.size)
            for amount in (jar.left % content, *[content] * (jar.left // content)):
                if amount:
                    yield replace(jar, left=amount)


def household_after(household: Household, plan: MenuPlan) -> Household:
    """The household on the morning after the menu's last day, with what it has eaten remembered.

    The menu's batch days are done: what they took is gone, what they made is there.
    """
    today = plan.first + timedelta(days=plan.days)
    walk = walk_through(household, plan)
    eaten = [(meal.day, dish.dish) for meal in plan.meals for dish in meal.dishes]
    oldest = today - timedelta(days=REMEMBERED_DAYS)
    # Of the menu's own days the book tells what was pulled of them already, which the plan then has no more.
    before = [one for one in household.recent if one[0] < plan.first or (one[0] < today and one not in eaten)]
    return replace(
        household,
        today=today,
        products=products_after(household, plan),
        lots=tuple(replace(s.lot, count=s.left) for s in walk.shelf),
        part_jars=tuple(_parts_after(household, plan, today)),
        arrivals=tuple(a for a in arrivals_after(household, plan) if a.day >= today),
        recent=tuple(sorted(item for item in [*before, *eaten] if item[0] >= oldest)),
        taken=tuple(t for t in [*household.taken, *walk.eaten] if t.day >= oldest),
        known_since=_known_since(household, plan, today),
    )


def _known_since(household: Household, plan: MenuPlan, today: date) -> dict[str, date]:
    """By product, from which day all that was eaten of it is known, with nothing new come since."""
    known = dict.fromkeys(household.products, plan.first) | dict(household.known_since)
    came = [(a.product, a.day) for a in household.arrivals if plan.first <= a.day < today]
    for work, batch in works_within(household, plan):
        came += [(lot.product, work.day) for lot in lots_made(household, work, batch)]
    return known | dict(sorted(came, key=lambda c: c[1]))
