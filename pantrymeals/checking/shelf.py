"""Rules 3, 4 and 5: what the shelf holds day by day, standing use first, whole containers opened."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct, field

from pantrymeals.checking.words import day_words, planned_dishes, so_much
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household, Product
from pantrymeals.units import as_words

ZERO = Fraction(0)


def day_of(plan: MenuPlan, number: int) -> date:
    """The plan's day of that number, counted from 0."""
    return plan.first + timedelta(days=number)


def number_of(plan: MenuPlan, day: date) -> int:
    """A day's number in the plan, counted from 0."""
    return (day - plan.first).days


def on_the_shelf(household: Household, product: Product) -> Fraction:
    """Lots without a state, above the reserve (base measure); part jars apart."""
    held = ZERO
    for lot in household.lots:
        if lot.product == product.name and lot.state == "" and (size := product.size(lot.size)) is not None:
            held += lot.count * size.content
    return max(ZERO, held - product.reserve)


def supplied(household: Household, plan: MenuPlan, product: Product) -> list[Fraction]:
    """What shelf and arrivals have held by the end of each day of the plan (base measure)."""
    coming = [ZERO] * plan.days
    for arrival in household.arrivals:
        if arrival.product == product.name and 0 <= (number := number_of(plan, arrival.day)) < plan.days:
            coming[number] += arrival.amount
    held, out = on_the_shelf(household, product), []
    for amount in coming:
        held += amount
        out.append(held)
    return out


def a_week_of(household: Household, product: str, day: date) -> Fraction:
    """What a week of standing use like that of a day takes (base measure): its month's, and of what has it."""
    on, total = day.strftime("%m%d"), ZERO
    for use in (use for use in household.standing if use.product == product):
        total += use.weekly[int(on[:2]) - 1]
        for first, last, amount in use.within:
            begin, end = (f"{month:02}{number:02}" for month, number in (first, last))
            inside = begin <= on <= end if begin <= end else not end < on < begin
            total += amount if inside else ZERO
    return total


def stood(household: Household, plan: MenuPlan, product: Product) -> list[Fraction]:
    """What standing use has taken by the end of each day (base measure).

    Whole containers of the first size where the product is opened whole, and never more
    than has been supplied.
    """
    container = product.sizes[0].content
    total, out = ZERO, []
    for number, held in enumerate(supplied(household, plan, product)):
        total += a_week_of(household, product.name, day_of(plan, number)) / 7
        if product.whole:
            out.append(min(ceil(total / container), floor(held / container)) * container)
        else:
            out.append(min(total, held))
    return out


def gone_through(household: Household, plan: MenuPlan, product: Product) -> Fraction:
    """What standing use goes through in the plan's days (base measure), parts of containers told as such."""
    days = (day_of(plan, number) for number in range(plan.days))
    total = sum((a_week_of(household, product.name, day) for day in days), ZERO) / 7
    return min(total, supplied(household, plan, product)[-1])


def used(plan: MenuPlan, product: str) -> list[Fraction]:
    """What the menu uses of a product on each day (base measure)."""
    out = [ZERO] * plan.days
    for meal, planned in planned_dishes(plan):
        for use in planned.uses:
            if use.product == product and 0 <= number_of(plan, meal.day) < plan.days:
                out[number_of(plan, meal.day)] += use.amount
    return out


def opened(plan: MenuPlan, product: Product, size: str = "") -> list[Fraction]:
    """The content of what is opened each day (base measure), of one size or of all."""
    out = [ZERO] * plan.days
    for opening in plan.openings:
        number, of_size = number_of(plan, opening.day), product.size(opening.size)
        if opening.product == product.name and of_size and 0 <= number < plan.days and size in ("", of_size.name):
            out[number] += opening.count * of_size.content
    return out


def products_touched(household: Household, plan: MenuPlan) -> list[Product]:
    """The products that the menu uses or opens, or that are open already, by name."""
    names = {use.product for _, planned in planned_dishes(plan) for use in planned.uses}
    names |= {opening.product for opening in plan.openings}
    names |= {part.product for part in household.part_jars} | {w.product for w in plan.waste}
    return [household.products[name] for name in sorted(names)]


def shelf_is_never_overdrawn(household: Household, plan: MenuPlan) -> Iterator[str]:
    """On every day, what was taken so far is no more than shelf and arrivals held, standing use first."""
    for product in (p for p in products_touched(household, plan) if p.fresh_days is None):
        takes = opened(plan, product) if product.whole else used(plan, product.name)
        held, standing = supplied(household, plan, product), stood(household, plan, product)
        in_part = ZERO if product.whole else sum((left for _, _, left in part_jars(household, plan, product)), ZERO)
        total = ZERO
        for number, amount in enumerate(takes):
            total += amount
            there = held[number] + in_part - standing[number]
            if total > there:
                yield (
                    f"{day_words(day_of(plan, number))}: {so_much(product, total)} taken so far; shelf and "
                    f"arrivals less standing use and reserve leave {so_much(product, max(there, ZERO))}"
                )
                break


def fresh_each_morning(household: Household, plan: MenuPlan, product: Product) -> list[Fraction]:
    """Rule 16: what there is of a fresh product on each day, what comes that day with it; less than 0 where too little.

    Day by day, what came first is eaten first, and what is over goes.
    """
    good = product.fresh_days or 0
    heaps: list[list[Fraction | int]] = []
    for lot in household.lots:
        size = product.size(lot.size)
        if (lot.product, lot.state) == (product.name, "") and size is not None:
            came = household.today if lot.put_up is None or lot.year_only else lot.put_up
            heaps.append([min(0, number_of(plan, came)), lot.count * size.content])
    for arrival in household.arrivals:
        if arrival.product == product.name and 0 <= number_of(plan, arrival.day) < plan.days:
            heaps.append([number_of(plan, arrival.day), arrival.amount])
    heaps.sort(key=lambda heap: heap[0])
    eaten, out = used(plan, product.name), []
    for number in range(plan.days):
        there = [heap for heap in heaps if number - good < heap[0] <= number]
        held = sum((Fraction(heap[1]) for heap in there), ZERO)
        out.append(held if held >= eaten[number] else held - eaten[number])
        need = eaten[number]
        for heap in there:
            taken = min(Fraction(heap[1]), need)
            heap[1] -= taken
            need -= taken
    return out


def fresh_is_eaten_in_its_days(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Rule 16: what is fresh is eaten within the days that it is good, and no more than came in them."""
    for product in (p for p in products_touched(household, plan) if p.fresh_days is not None):
        for number, there in enumerate(fresh_each_morning(household, plan, product)):
            if there < 0:
                day = day_words(day_of(plan, number))
                yield f"{day}: {so_much(product, -there)} more is eaten than came in within its days"


def sizes_are_on_the_shelf(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Size by size, no more is opened than stands there; arrivals and standing use are of the first size."""
    for product in products_touched(household, plan):
        if not product.whole or len(product.sizes) < 2:
            continue
        standing = stood(household, plan, product)
        arrived = [s - on_the_shelf(household, product) for s in supplied(household, plan, product)]
        for number_of_size, size in enumerate(product.sizes):
            lots = [x for x in household.lots if (x.product, x.size, x.state) == (product.name, size.name, "")]
            count, total = sum((lot.count for lot in lots), ZERO), ZERO
            for number, amount in enumerate(opened(plan, product, size.name)):
                total += amount / size.content
                moved = ZERO if number_of_size else (arrived[number] - standing[number]) / size.content
                there = max(ZERO, count + moved)
                if total > there:
                    yield (
                        f"{day_words(day_of(plan, number))}: {as_words(total)} x {size.name} {product.name} "
                        f"opened so far, {as_words(there)} of that size there"
                    )
                    break


def first_thawed(household: Household, plan: MenuPlan, product: Product) -> int:
    """The first day of the plan (0 or later) on which a container lifted out today can be used.

    Today (the day of the count, where the household is reckoned from it), or the plan's first day where today is past
    it: then the pack was lifted out on that day.
    """
    begin = min(household.reckoned_from or household.today, plan.first)
    return max(0, number_of(plan, begin + timedelta(days=product.thaw_days)))


def openings_can_be_made(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Only whole-container products are opened, at least one, on a day of the plan, thawed by then."""
    for opening in plan.openings:
        product, when = household.products[opening.product], day_words(opening.day)
        number = number_of(plan, opening.day)
        if not product.whole:
            yield f"{when}: {product.name} is dipped into, it has no container to open"
        if opening.count < 1:
            yield f"{when}: {opening.count} x {opening.size} {product.name} opened"
        if not 0 <= number < plan.days:
            yield f"{when}: {opening.size} {product.name} is opened outside the menu's days"
        elif number < (ready := first_thawed(household, plan, product)):
            yield (
                f"{when}: {opening.size} {product.name} takes {product.thaw_days} days to thaw; lifted out "
                f"on {day_words(day_of(plan, ready - product.thaw_days))} it is ready on "
                f"{day_words(day_of(plan, ready))}"
            )


def part_jars(household: Household, plan: MenuPlan, product: Product) -> list[tuple[int, int, Fraction]]:
    """Opened jars as (first day usable, last day good, left), days numbered in the plan, oldest first.

    A full pack lifted out to thaw is ready after its thaw days; a part-used one is ready now.
    One past its last day before the plan begins is nothing. Without a clock it is good throughout.
    """
    found = []
    for part in sorted((p for p in household.part_jars if p.product == product.name), key=lambda p: p.opened):
        size = product.size(part.size) or product.sizes[0]
        ready = number_of(plan, part.opened) + (product.thaw_days if part.left >= size.content else 0)
        last = plan.days
        if product.opened_days is not None:
            last = number_of(plan, part.opened) + product.thaw_days + product.opened_days - 1
        if last >= 0:
            found.append((max(0, ready), last, part.left))
    return found


class OpenLife(Struct):
    """How a product's opened containers fared.

    missing: (day number, base measure) where more was used than was open and good.
    waste: (day number, base measure) left on an opened one's last day.
    morning: what is open and good at the beginning of each day, before that day's openings.
    at_the_end: what is open and good when the last day is over.
    """

    missing: list[tuple[int, Fraction]] = field(default_factory=list)
    waste: list[tuple[int, Fraction]] = field(default_factory=list)
    morning: list[Fraction] = field(default_factory=list)
    at_the_end: Fraction = ZERO


def opened_life(household: Household, plan: MenuPlan, product: Product) -> OpenLife:
    """Day by day through the plan: oldest opened first, what is left on the last day goes over."""
    life = OpenLife()
    line: deque[list[Fraction | int]] = deque([r, e, left] for r, e, left in part_jars(household, plan, product))
    opens, uses = opened(plan, product), used(plan, product.name)
    for number in range(plan.days):
        life.morning.append(Fraction(sum(jar[2] for jar in line if jar[0] <= number)))
        if opens[number]:
            last = plan.days if product.opened_days is None else number + product.opened_days - 1
            line.append([number, last, opens[number]])
            line = deque(sorted(line, key=lambda jar: jar[1]))
        need = uses[number]
        for jar in line:
            if jar[0] <= number:
                taken = min(Fraction(jar[2]), need)
                jar[2] -= taken
                need -= taken
        if need:
            life.missing.append((number, need))
        over = Fraction(sum(jar[2] for jar in line if jar[1] == number))
        if over:
            life.waste.append((number, over))
        line = deque(jar for jar in line if jar[1] > number and jar[2] > 0)
    life.at_the_end = Fraction(sum(jar[2] for jar in line if jar[0] < plan.days))
    return life


def opened_is_enough(household: Household, plan: MenuPlan) -> Iterator[str]:
    """What is open and within its time is enough for each day's dishes."""
    for product in products_touched(household, plan):
        if product.whole:
            for number, missing in opened_life(household, plan, product).missing:
                day = day_of(plan, number)
                dishes = sorted(
                    {
                        planned.dish
                        for meal, planned in planned_dishes(plan)
                        if meal.day == day and any(use.product == product.name for use in planned.uses)
                    }
                )
                yield (
                    f"{day_words(day)}: {so_much(product, missing)} more is used ({', '.join(dishes)}) "
                    "than is open and within its time"
                )


def waste_is_told(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The plan states as waste exactly what is left on the last day of what was opened."""
    for product in products_touched(household, plan):
        right = ZERO
        if product.whole:
            right = sum((amount for _, amount in opened_life(household, plan, product).waste), ZERO)
        said = sum((w.amount for w in plan.waste if w.product == product.name), ZERO)
        if said != right:
            over, stated = so_much(product, right), so_much(product, said)
            yield f"{product.name}: {over} goes over, the plan states {stated}"


RULES = (
    shelf_is_never_overdrawn,
    fresh_is_eaten_in_its_days,
    sizes_are_on_the_shelf,
    openings_can_be_made,
    opened_is_enough,
    waste_is_told,
)
