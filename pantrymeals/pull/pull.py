"""The pull list of a menu, and what the household has once the menu is eaten."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.batch_days_done import (
    arrivals_after,
    lots_made,
    products_after,
    works_within,
)
from pantrymeals.larder.opened_life import life_from, lifted_out
from pantrymeals.larder.taking import Fetched, PartUsed, Walk, walk_through
from pantrymeals.plans.menu import AheadLine, MenuPlan, PullLine, PullList
from pantrymeals.records import Household, Lot, PartJar
from pantrymeals.words import day_and_year, short_date

REMEMBERED_DAYS = 35
"""How far back eaten dishes are kept, so that variety reaches over the first day of the next menu."""

BEFORE_OPENING = (
    "Before opening: the lid tight and dipped; no leak, streak, bulge, rising bubbles, cloud or mould. "
    "On opening: no spurt, foam or wrong smell. Any of these: do not taste it, hold the jar."
)
"""Caution C11: after USDA, the National Center for Home Food Preservation and CDC; our own words."""

ONCE_OPENED = (
    "Once opened: into the fridge, the day written on it. Low-acid food keeps 3 to 4 days, acid fruit and "
    "tomatoes about a week, pickles and jam longer; the last day stands beside each line."
)
"""Caution C15: after the USDA FSIS storage chart (fruit, pickle and jam figures: common practice)."""

TO_THAW = "Thaw in the fridge, never overnight on the counter: small packs one day, birds and joints two to three."
"""Caution C17: after USDA FSIS; our own words."""

_FIRST_OF_ALL = {"part jar": 0}


def pull_list(household: Household, plan: MenuPlan) -> PullList:
    """What to fetch for a menu: part jars first, then place by place in walking order, oldest lot first.

    Frozen packs stand as 'lift out' on the day they must come out; steps before the day stand on
    theirs. A day before today becomes today, or the menu's first day where that is earlier.
    """
    walk = walk_through(household, plan)
    lines = [
        *_part_jar_lines(plan, walk),
        *_container_lines(household, plan, walk),
        *_loose_lines(plan, walk),
    ]
    order = _walking_order(household, lines)
    lines.sort(key=lambda x: (_FIRST_OF_ALL.get(x.kind, 1), order[x.where], x.fetch, x.product, x.needed))
    return PullList(
        lines=tuple(lines),
        ahead=_ahead(household, plan),
        empties=_empties(household, walk),
        cautions=_cautions(household, lines),
    )


def earliest_day(household: Household, plan: MenuPlan) -> date:
    """The first day on which anything can be done for a menu: today, where it begins later than today."""
    return min(plan.first, household.today)


def _walking_order(household: Household, lines: Iterable[PullLine]) -> dict[str, tuple[int, str]]:
    """Each place's turn: as the household lists its places, one it has not listed last."""
    listed = {place.code: number for number, place in enumerate(household.places)}
    return {line.where: (listed.get(line.where, len(listed)), line.where) for line in lines}


def _put_up(lot: Lot | None) -> str:
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


def _part_jar_lines(plan: MenuPlan, walk: Walk) -> list[PullLine]:
    """One line for each jar that is open already: all that the menu takes of it, on the first day it does."""
    lines: dict[PartJar, PullLine] = {}
    for used in walk.parts:
        part, count = used.part, used.amount / used.content
        before = lines.get(part)
        if before is None:
            dish = _dishes_using(plan, used.day, part.product)
            lines[part] = PullLine(
                used.day, part.where, "part jar", part.product, part.size, count,
                _begun(used), used.day, dish, used.last,
            )  # fmt: skip
        else:
            lines[part] = replace(before, count=before.count + count)
    return list(lines.values())


def _begun(used: PartUsed) -> str:
    whole = used.part.left >= used.content
    return f"{'lifted out' if whole else 'opened'} {short_date(used.part.opened)}"


def _container_lines(household: Household, plan: MenuPlan, walk: Walk) -> list[PullLine]:
    lines = []
    for got in walk.opened:
        product = household.products[got.product]
        thaws = product.thaw_days > 0
        fetch = max(earliest_day(household, plan), lifted_out(product, got.day))
        lines.append(
            PullLine(
                fetch,
                got.lot.where if got.lot else "",
                "lift out" if thaws else "jar",
                got.product,
                got.size,
                got.count,
                _put_up(got.lot),
                got.day,
                got.work or _dishes_using(plan, got.day, got.product),
                None if got.work else life_from(product, got.day).last,
                got.lot.load if got.lot else "",
            )
        )
    return lines


def _loose_lines(plan: MenuPlan, walk: Walk) -> list[PullLine]:
    """One line for each day, product, place and batch day of what is dipped into, its lots oldest first."""
    heaps: dict[tuple[date, str, str, str], list[Fetched]] = {}
    for got in walk.loose:
        where = got.lot.where if got.lot else ""
        heaps.setdefault((got.day, got.product, where, got.work), []).append(got)
    return [_loose_line(plan, where, heap) for (_, _, where, _), heap in heaps.items()]


def _loose_line(plan: MenuPlan, where: str, heap: list[Fetched]) -> PullLine:
    first, count = heap[0], sum((got.count for got in heap), Fraction(0))
    dish = first.work or _dishes_using(plan, first.day, first.product)
    put_up = ", then ".join(dict.fromkeys(_put_up(got.lot) for got in heap))
    load = first.lot.load if first.lot else ""
    return PullLine(first.day, where, "loose", first.product, first.size, count, put_up, first.day, dish, None, load)


def _ahead(household: Household, plan: MenuPlan) -> tuple[AheadLine, ...]:
    """Steps before the day; one that was due before anything can be done is put on that day, and says so."""
    lines = []
    for meal in plan.meals:
        for planned in meal.dishes:
            for step in household.dishes[planned.dish].ahead:
                due = meal.day - timedelta(days=step.days_before)
                begin = earliest_day(household, plan)
                late = f" (due {short_date(due)}: do it at once)" if due < begin else ""
                lines.append(AheadLine(max(due, begin), step.what + late, planned.dish, meal.day))
    return tuple(sorted(lines, key=lambda a: (a.day, a.dish_day, a.dish, a.what)))


def _empties(household: Household, walk: Walk) -> tuple[tuple[str, int], ...]:
    """Jars that come back empty by the menu's end, by size, the largest first."""
    content = {s.name: s.content for p in household.products.values() for s in p.sizes if p.kind == "jar"}
    return tuple(sorted(walk.emptied.items(), key=lambda item: (-content[item[0]], item[0])))


def _cautions(household: Household, lines: Iterable[PullLine]) -> tuple[str, ...]:
    """One line each: before opening a jar, once something with a clock is opened, when something thaws."""
    products = [(line, household.products[line.product]) for line in lines]
    said = []
    if any(product.kind == "jar" and line.kind in ("jar", "part jar") for line, product in products):
        said.append(BEFORE_OPENING)
    if any(line.kind != "loose" and product.opened_days is not None for line, product in products):
        said.append(ONCE_OPENED)
    if any(line.kind == "lift out" for line, _ in products):
        said.append(TO_THAW)
    return tuple(said)


def lots_left(household: Household, plan: MenuPlan) -> tuple[tuple[Lot, ...], tuple[PartJar, ...]]:
    """What shelf and fridge hold once the menu is eaten: the lots that are left, and the part jars.

    Standing use is taken too. What has come in is there; what went over is not. A jar that standing
    use has begun stays on its lot as the fraction left of it.
    """
    return _left(walk_through(household, plan))


def _left(walk: Walk) -> tuple[tuple[Lot, ...], tuple[PartJar, ...]]:
    lots = tuple(replace(s.lot, count=s.left) for s in walk.shelf)
    parts = tuple(
        replace(jar.part, left=jar.left)
        if jar.part is not None
        else PartJar(jar.product.name, jar.size, jar.left, jar.opened, jar.where)
        for jar in walk.jars
    )
    return lots, parts


def household_after(household: Household, plan: MenuPlan) -> Household:
    """The household on the morning after the menu's last day, with what it has eaten remembered.

    The menu's batch days are done: what they took is gone, what they made is there.
    """
    today = plan.first + timedelta(days=plan.days)
    walk = walk_through(household, plan)
    lots, parts = _left(walk)
    eaten = [(meal.day, dish.dish) for meal in plan.meals for dish in meal.dishes]
    oldest = today - timedelta(days=REMEMBERED_DAYS)
    before = [(day, dish) for day, dish in household.recent if day < plan.first]
    return replace(
        household,
        today=today,
        products=products_after(household, plan),
        lots=lots,
        part_jars=parts,
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
