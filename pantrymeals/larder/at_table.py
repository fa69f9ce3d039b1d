"""What the household's dishes would take at its table in a year, were each cooked in its turn.

The sign of a pace where the book has none yet: who is at table, which dishes may stand there and in which months.
Nothing of stock is in it, for what is to be put up is not bound by what there is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from functools import cached_property

from msgspec import Struct, field

from pantrymeals.larder.supply import stands
from pantrymeals.larder.table import barred_marks, batches, days_between, tables, weekday
from pantrymeals.records import Dish, Household, Option, Role
from pantrymeals.units import UNITS

YEAR_DAYS = 365
ZERO = Fraction(0)


def dishes_take(household: Household) -> Mapping[str, Fraction]:
    """Base measure a year of each product that a dish would take; standing use is not in it.

    Every dish that may stand at a place has an equal part of it, but never more than its days between allow; what one
    use may be made of shares it alike. A place is taken as covered as often as a dish of the meal covers it.
    """
    household_dishes = _by_role(household)
    taken: dict[str, Fraction] = {}
    alike = Counter(
        (table.roles, table.day.month, weekday(table.day), table.portions)
        for table in tables(household, household.today, YEAR_DAYS)
    )
    for (roles, month, name, portions), times in alike.items():
        open_part = {role: Fraction(1) for role in roles}
        for role in roles:
            there = [
                (dish, ways) for dish, ways in household_dishes.get((role, month), ())
                if not dish.weekdays or name in dish.weekdays
            ]  # fmt: skip
            for dish, ways in there:
                part = (
                    min(Fraction(1, len(there)), Fraction(1, max(1, days_between(household, dish)))) * open_part[role]
                )
                for covered in dish.covers:
                    if covered in open_part:
                        open_part[covered] = max(ZERO, open_part[covered] - part)
                many = times * part * batches(household, dish, portions)
                for options in ways:
                    for option in options:
                        taken[option.product] = taken.get(option.product, ZERO) + many * option.amount / len(options)
    return taken


PUT_UP_KINDS = frozenset({"jar", "freezer"})


def plans_take(
    household: Household, taken: Mapping[str, Fraction], per_person: Mapping[str, Fraction]
) -> Mapping[str, Fraction]:
    """Base measure a year of what no dish and no standing use takes, by published plans at this table's portions.

    per_person: quarts a year by family. Jars and packs that hold a measure of millilitres alone; a family's quarts are
    shared alike by those of its products of which nothing else speaks, and given only where nothing speaks of any.
    """
    portions = sum((person.portion for person in household.people), ZERO)
    families: dict[str, list[str]] = {}
    for name, product in household.products.items():
        if product.family.casefold() in per_person and product.kind in PUT_UP_KINDS:
            families.setdefault(product.family.casefold(), []).append(name)
    out: dict[str, Fraction] = {}
    for family, names in families.items():
        if not any(taken.get(name) or stands(household, name) for name in names):
            mine = [n for n in names if household.products[n].measure == "ml" and household.products[n].on_menus]
            for name in mine:
                out[name] = per_person[family] * portions * UNITS["qt"][1] / len(mine)
    return out


class AtTable(Struct, frozen=True, dict=True):
    """What dishes and published plans would have a table take, each reckoned once, when it is first asked for."""

    household: Household
    per_person: Mapping[str, Fraction] = field(default_factory=dict)

    @cached_property
    def dishes(self) -> Mapping[str, Fraction]:
        """See ``dishes_take``."""
        return dishes_take(self.household)

    @cached_property
    def plans(self) -> Mapping[str, Fraction]:
        """See ``plans_take``."""
        return plans_take(self.household, self.dishes, self.per_person)


_Ways = tuple[tuple[Option, ...], ...]


def _by_role(household: Household) -> Mapping[tuple[Role, int], list[tuple[Dish, _Ways]]]:
    """The everyday dishes of each role and month, with what each use may be made of then."""
    out: dict[tuple[Role, int], list[tuple[Dish, _Ways]]] = {}
    fresh, waiting = _months_of_fresh(household), _months_waited(household)
    for dish in household.dishes.values():
        if dish.only_for or dish.needs_left is not None:
            continue
        for month in dish.season or range(1, 13):
            ways = tuple(
                _those_first(fresh, waiting, [o for o in use.options if _may(household, dish, o, month)], month)
                for use in dish.uses
            )
            if ways and all(ways):
                out.setdefault((dish.role, month), []).append((dish, ways))
    return out


_HALF_A_MONTH = 15


def _months_of_fresh(household: Household) -> Mapping[str, frozenset[int]]:
    """By product that is good for days alone, the months in which some of it comes in."""
    months: dict[str, set[int]] = {name: set() for name, p in household.products.items() if p.fresh_days is not None}
    for arrival in household.arrivals:
        if arrival.product in months:
            months[arrival.product].add(arrival.day.month)
    return {name: frozenset(those) for name, those in months.items()}


def _months_waited(household: Household) -> Mapping[str, frozenset[int]]:
    """By product that waits for what is fresh, the months in which it does on half of the days or more, in any year."""
    out = {}
    for name, product in household.products.items():
        days = Counter(month for month, _ in {(day.month, day.day) for day in product.waits_on})
        out[name] = frozenset(month for month, many in days.items() if many >= _HALF_A_MONTH)
    return out


def _those_first(
    fresh: Mapping[str, frozenset[int]], waiting: Mapping[str, frozenset[int]], options: list[Option], month: int
) -> tuple[Option, ...]:
    """Of what a use may be made of that month: nothing fresh that does not come then, and nothing that waits for it."""
    there = [o for o in options if month in fresh.get(o.product, (month,))]
    if not any(o.product in fresh for o in there):
        return tuple(there)
    return tuple(o for o in there if month not in waiting.get(o.product, ()))


def _may(household: Household, dish: Dish, option: Option, month: int) -> bool:
    """Whether a dish may be made of it that month, for everybody at table."""
    product = household.products.get(option.product)
    if product is None:
        return False
    marks = dish.contents | product.contents
    barred = marks & barred_marks(dish, household.people, household.today)
    return product.on_menus and (not product.eaten_in or month in product.eaten_in) and not barred
