"""The numbered rules of DEVELOPERS.md about tables, shelves and shares, written once more for tests that judge.

Nothing of the planner, the checker or ``larder`` is used here: records and fractions alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor
from typing import Any

from pantrymeals.records import (
    ROLES,
    WEEKDAYS,
    Dish,
    Household,
    Instead,
    MealName,
    Occasion,
    Person,
    Product,
    Role,
    StandingUse,
    Use,
)

ZERO = Fraction(0)
Choice = tuple[tuple[str, Fraction, int], ...]
"""Of one use: product, amount (base measure), and how far down the list it stands (a stand-in three further)."""


def weekday_of(day: date) -> str:
    return WEEKDAYS[day.weekday()]


def occasions_of(home: Household, day: date) -> list[Occasion]:
    return [o for o in home.occasions if o.first <= day <= o.last and (not o.weekdays or weekday_of(day) in o.weekdays)]


def is_own_there(home: Household, dish: Dish, day: date) -> bool:
    """Whether an occasion of a day asks for that dish."""
    return any(o.dish == dish.name for o in occasions_of(home, day))


def kinds_of(home: Household, day: date) -> set[str]:
    return {o.kind for o in occasions_of(home, day)} - {""}


def own_kinds(home: Household, meal: MealName, day: date) -> set[str]:
    """Of the occasions that name the meal: feast, crew."""
    return {o.kind for o in occasions_of(home, day) if meal in o.meals} - {""}


def goes_before_the_night(home: Household, day: date) -> bool:
    """Rule 9: whether an occasion's dish or a feast goes before a supper's fixed night."""
    return any(o.dish for o in occasions_of(home, day)) or "feast" in own_kinds(home, "supper", day)


def said_for(home: Household, what: str, day: date) -> Any:
    """Rules 9 and 10: what the house rules say of a day (fixed, hands_on_minutes, longest_minutes); None: nothing."""
    said = getattr(home.rules, what).get(weekday_of(day))
    for row in home.rules.during:
        over = row.last < row.first
        after, before = (day.month, day.day) >= row.first, (day.month, day.day) <= row.last
        if (after or before) if over else (after and before):
            said = getattr(row, what).get(weekday_of(day), said)
    return said or None if what == "fixed" else said


def done_without(home: Household, day: date) -> set[str]:
    """Rule 10: the tags that no dish of a day may have."""
    on = (day.month, day.day)
    rows = (r for r in home.rules.during if on in {(d.month, d.day) for d in days_of_the_year(r.first, r.last)})
    return set[str]().union(*(row.without for row in rows))


def days_of_the_year(first: tuple[int, int], last: tuple[int, int]) -> Iterator[date]:
    """From one day to the next time that the other comes."""
    day = date(2024, *first)
    while (day.month, day.day) != last:
        yield day
        day += timedelta(days=1)
    yield day


def tins_of(home: Household, day: date) -> set[str]:
    """Rule 1: who carries a lunch tin."""
    spared = set[str]().union(*(o.no_tins for o in occasions_of(home, day)))
    return {p.name for p in home.people if weekday_of(day) in p.lunch_tin_days and p.name not in spared}


def who_eats(home: Household, meal: MealName, day: date) -> str:
    who = next((m.eaters.get(weekday_of(day), "all") for m in home.meals if m.meal == meal), "all")
    away = set[str]().union(*(o.away for o in occasions_of(home, day)))
    usual = {p.name for p in home.people if weekday_of(day) in p.lunch_tin_days} - away
    return "all" if who == "tins" and usual and not usual & tins_of(home, day) else who


def eaters_of(home: Household, meal: MealName, day: date) -> list[Person]:
    """Rule 1."""
    away = set[str]().union(*(o.away for o in occasions_of(home, day)))
    asked: Mapping[str, Callable[[Person], bool]] = {
        "all": lambda _: True,
        "tins": lambda p: p.name in tins_of(home, day),
        "home": lambda p: p.name not in tins_of(home, day),
    }
    return [p for p in home.people if p.name not in away and asked[who_eats(home, meal, day)](p)]


def portions_of(home: Household, meal: MealName, day: date) -> Fraction:
    """Rule 1."""
    guests = sum((o.guests for o in occasions_of(home, day) if meal in o.meals), ZERO)
    return guests + sum((p.portion for p in eaters_of(home, meal, day)), ZERO)


def roles_of(home: Household, meal: MealName, day: date) -> tuple[Role, ...]:
    """Rules 1 and 6."""
    laid = next((m for m in home.meals if m.meal == meal), None)
    if laid and meal == "supper" and "feast" in own_kinds(home, meal, day) and portions_of(home, meal, day) > 0:
        ever = {role for roles in laid.roles.values() for role in roles}
        return tuple(r for r in ROLES if r in ever & {"main", "side", "sweet"})
    return tuple(laid.roles.get(weekday_of(day), ())) if laid and portions_of(home, meal, day) > 0 else ()


def batches_of(home: Household, dish: Dish, portions: Fraction) -> Fraction:
    """Rule 1: the least number of sixths that makes halves, or under one thirds, and keeps whole things whole."""
    sixths = 1
    while not (_enough(home, dish, portions, sixths) and _can_be(home, dish, sixths)):
        sixths += 1
    return Fraction(sixths, 6)


def _enough(home: Household, dish: Dish, portions: Fraction, sixths: int) -> bool:
    return dish.serves * sixths * (1 + home.rules.stretch) >= 6 * portions


def _can_be(home: Household, dish: Dish, sixths: int) -> bool:
    if sixths % 6 == 0:
        return True
    if sixths % 3 and (sixths > 6 or sixths % 2):
        return False
    if dish.whole_batches or (dish.leaves and not dish.leaves.over):
        return False
    whole_things = 0
    for option in [o for use in dish.uses for o in use.options]:
        product = home.products[option.product]
        if product.whole:
            units = {size.content for size in product.sizes}
        elif product.measure == "each":
            units = {Fraction(1)}
        else:
            continue
        whole_things += _comes_in(option.amount, units, 1)
        parts = next(n for n in range(1, 10_000) if _comes_in(option.amount, units, n))
        if parts > 1 and not product.thaw_days:
            parts = max(parts, 4)
        if not any(_comes_in(option.amount * sixths / 6, units, n) for n in range(1, parts + 1)):
            return False
    return sixths % 3 == 0 or whole_things > 0


def _comes_in(amount: Fraction, units: set[Fraction], parts: int) -> bool:
    """Whether an amount is a number of such parts of a container of some size."""
    return any(amount * parts % unit == 0 for unit in units)


def gap_of(home: Household, dish: Dish) -> int:
    """Rule 7: its own days between, else the house's for its role, else 1."""
    return home.rules.days_between.get(dish.role, 1) if dish.days_between is None else dish.days_between


def _baby(person: Person, day: date) -> bool:
    if person.born is None:
        return False
    return (day.year - person.born.year) * 10000 + (
        day.month - person.born.month
    ) * 100 + day.day - person.born.day < 10000


def marks_against(person: Person, day: date) -> set[str]:
    """Rule 11."""
    return {m.casefold() for m in person.must_not} | ({"honey"} if _baby(person, day) else set())


def is_for(note: Instead, person: Person, day: date) -> bool:
    """Rule 11: whom a noted alternative is for."""
    whom, marks = note.whom.casefold(), marks_against(person, day)
    named = whom == person.name.casefold() or whom in marks
    return named or (whom == "low salt" and "salty" in marks) or (whom == "baby" and _baby(person, day))


def bars(dish: Dish, eaters: list[Person], day: date) -> set[str]:
    """Rule 11: marks that someone at table must not have, with no alternative noted against it."""
    out = set()
    for person in eaters:
        for mark in marks_against(person, day):
            against = {person.name.casefold(), mark} | ({"low salt"} if mark == "salty" else set())
            against |= {"baby"} if _baby(person, day) else set()
            if not any(note.whom.casefold() in against for note in dish.instead):
                out.add(mark)
    return out


def on_shelf(home: Household, product: Product) -> Fraction:
    """Rule 3."""
    sizes = {size.name: size.content for size in product.sizes}
    lots = [x for x in home.lots if x.product == product.name and x.state == "" and x.size in sizes]
    return max(ZERO, sum((x.count * sizes[x.size] for x in lots), ZERO) - product.reserve)


def supplied(home: Household, product: Product, first: date, day: int) -> Fraction:
    """Rule 3: shelf and arrivals to the end of a day's number."""
    came = [a.amount for a in home.arrivals if a.product == product.name and 0 <= (a.day - first).days <= day]
    return on_shelf(home, product) + sum(came, ZERO)


def stands_on(use: StandingUse, on: date) -> Fraction:
    """Rule 4: a week's standing use at the pace of a day."""
    beside = (
        a
        for first, last, a in use.within
        if (on.month, on.day) in {(d.month, d.day) for d in days_of_the_year(first, last)}
    )
    return sum(beside, use.weekly[on.month - 1])


def stood(home: Household, product: Product, first: date, day: int) -> Fraction:
    """Rule 4."""
    wanted = ZERO
    for number in range(day + 1):
        on = first + timedelta(days=number)
        wanted += sum((stands_on(s, on) for s in home.standing if s.product == product.name), ZERO) / 7
    held = supplied(home, product, first, day)
    if product.whole:
        size = product.sizes[0].content
        return min(ceil(wanted / size), floor(held / size)) * size
    return min(wanted, held)


def came(home: Household, product: Product, first: date, days: int) -> list[tuple[int, Fraction]]:
    """Rule 16: (day, base measure) of what was there or comes in of what is good for days; the day may be before the
    first."""
    out = []
    for lot in (x for x in home.lots if x.product == product.name and x.state == ""):
        on = lot.put_up if lot.put_up and not lot.year_only else home.today
        content = next(s.content for s in product.sizes if s.name == lot.size)
        out.append((min(0, (on - first).days), lot.count * content))
    coming = [((a.day - first).days, a.amount) for a in home.arrivals if a.product == product.name]
    out += [(day, amount) for day, amount in coming if 0 <= day < days]
    return sorted(out)


def wasted_points(home: Household, product: Product, first: date) -> int:
    """What a container that goes over costs: 60, or 600 where a whole pack of it lay thawing on the first day."""
    for part in home.part_jars:
        size = next((s.content for s in product.sizes if s.name == part.size), product.sizes[0].content)
        if part.product == product.name and product.thaw_days and part.left >= size:
            keeps = product.opened_days
            if keeps is None or first < part.opened + timedelta(days=product.thaw_days + keeps):
                return 600
    return 60


def gone_through(home: Household, product: Product, first: date, days: int) -> Fraction:
    """Rule 14: standing use of the days, parts of containers as such, no more than there is."""
    on = [first + timedelta(days=number) for number in range(days)]
    uses = [s for s in home.standing if s.product == product.name]
    return min(sum((stands_on(s, day) for s in uses for day in on), ZERO) / 7, supplied(home, product, first, days - 1))


def part_jars(home: Household, product: Product, first: date, days: int) -> list[tuple[int, int, Fraction]]:
    """Rule 5: (first day usable, last day good, left) of what is open, ``days`` where it has no clock."""
    out = []
    for part in home.part_jars:
        if part.product != product.name:
            continue
        opened = (part.opened - first).days
        full = part.left >= next((s.content for s in product.sizes if s.name == part.size), product.sizes[0].content)
        last = days if product.opened_days is None else opened + product.thaw_days + product.opened_days - 1
        if last >= 0:
            out.append((opened + (product.thaw_days if full else 0), last, part.left))
    return out


def first_thawed(home: Household, product: Product, first: date) -> int:
    """Rule 5: the first day of the menu on which a container can be ready."""
    return max(0, (min(home.today, first) - first).days + product.thaw_days)


def why_away(home: Household, product: Product, day: date) -> bool:
    """Rule 3: whether a product may not be planned on a day."""
    keeps = product.must_last_to
    late = product.deadline_kind == "keeps to" and keeps is not None and day > keeps
    renewed = any(a.product == product.name and keeps is not None and keeps <= a.day <= day for a in home.arrivals)
    out_of_season = bool(product.eaten_in) and day.month not in product.eaten_in
    return not product.on_menus or out_of_season or (late and not renewed)


def stocked(home: Household, name: str, first: date, days: int) -> bool:
    """Something of it is there, open, or coming in within the days."""
    coming = any(a.product == name and 0 <= (a.day - first).days < days for a in home.arrivals)
    product = home.products[name]
    return coming or on_shelf(home, product) > 0 or bool(part_jars(home, product, first, days))


def fits_the_day(home: Household, dish: Dish, meal: MealName, day: date) -> bool:
    """Rules 10 and 11, of the dish alone."""
    kinds, longest = kinds_of(home, day), said_for(home, "longest_minutes", day)
    return not (
        (dish.season and day.month not in dish.season)
        or (dish.weekdays and weekday_of(day) not in dish.weekdays)
        or dish.tags & done_without(home, day)
        or who_eats(home, meal, day) in dish.not_for
        or dish.not_for & own_kinds(home, meal, day)
        or (dish.only_for and dish.only_for not in kinds)
        or (longest is not None and dish.minutes > longest and not kinds)
        or bars(dish, eaters_of(home, meal, day), day) & marks_with_leavings(home, dish)
    )


def marks_with_leavings(home: Household, dish: Dish) -> set[str]:
    """Rule 11: a dish's own marks, and all that what it is made from may have in it (a leaving of a leaving too)."""
    goes_in, more = {dish.name}, {dish.name}
    while more:
        wanted = {home.dishes[n].needs_left for n in more} - {None}
        more = {d.name for d in home.dishes.values() if d.leaves and d.leaves.name in wanted} - goes_in
        goes_in |= more
    inside = goes_in - {dish.name}
    products = {o.product for n in inside for use in home.dishes[n].uses for o in use.options}
    own = [home.dishes[n].contents for n in goes_in] + [home.products[p].contents for p in products]
    return {mark.casefold() for marks in own for mark in marks}


def uses_of(
    home: Household, dish: Dish, meal: MealName, day: date, first: date, days: int
) -> tuple[Choice, ...] | None:
    """Rules 2, 3 and 11: what each use may take at a meal; None where one finds nothing, or the dish does not fit."""
    if not fits_the_day(home, dish, meal, day):
        return None
    eaters = eaters_of(home, meal, day)
    asked: list[tuple[Use, Fraction, set[str]]] = [
        (use, batches_of(home, dish, portions_of(home, meal, day)), bars(dish, eaters, day)) for use in dish.uses
    ]
    for note in dish.instead:
        theirs = [p for p in eaters if is_for(note, p, day)]
        if theirs:
            asked += [
                (use, Fraction(1), set[str]().union(*(marks_against(p, day) for p in theirs))) for use in note.uses
            ]
    out = []
    for use, times, barred in asked:
        options = []
        for rank, option in enumerate(use.options):
            product = home.products[option.product]
            marked = barred & {m.casefold() for m in product.contents}
            if stocked(home, product.name, first, days) and not marked and not why_away(home, product, day):
                options.append((product.name, option.amount * times, rank + 3 * option.stand_in))
        if not options:
            return None
        out.append(tuple(options))
    return tuple(out)
