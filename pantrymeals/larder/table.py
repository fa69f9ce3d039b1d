"""Who sits at which meal, and what they must not eat."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import ceil
from typing import TypeVar

from msgspec import Struct

from pantrymeals.records import (
    WEEKDAYS,
    Dish,
    Household,
    HouseRules,
    Instead,
    MealName,
    MealRoles,
    Occasion,
    Person,
    Role,
    RulesDuring,
    in_span,
)

T = TypeVar("T")


class Table(Struct, frozen=True):
    """One meal of one day: who is there, how many portions, which roles, and whether it is an occasion.

    tins: whether it is carried away in lunch tins.
    """

    day: date
    meal: MealName
    roles: tuple[Role, ...]
    eaters: tuple[Person, ...]
    portions: Fraction
    occasions: tuple[Occasion, ...]
    tins: bool = False

    @property
    def kinds(self) -> frozenset[str]:
        """'feast', 'crew', both or none."""
        return frozenset(o.kind for o in self.occasions if o.kind)

    @property
    def own_kinds(self) -> frozenset[str]:
        """'feast', 'crew', both or none: of the occasions that name this meal."""
        return frozenset(o.kind for o in self.occasions if o.kind and self.meal in o.meals)


FEAST_ROLES: tuple[Role, ...] = ("main", "side", "sweet")


def feast_roles(roles: MealRoles) -> tuple[Role, ...]:
    """What a feast's supper has: main, side and sweet, so far as the household's suppers ever have them."""
    ever = frozenset().union(*roles.roles.values())
    return tuple(role for role in FEAST_ROLES if role in ever)


def earliest_day(household: Household, first: date) -> date:
    """The first day on which anything can be done for a menu: today, where it begins later than today."""
    return min(first, household.today)


def weekday(day: date) -> str:
    """'Mon' … 'Sun'."""
    return WEEKDAYS[day.weekday()]


def _of_day(
    usual: Mapping[str, T], rules: HouseRules, ours: Callable[[RulesDuring], Mapping[str, T]], day: date
) -> T | None:
    """What a rule says on a day: the last row that speaks of it, else what is usual for its weekday."""
    value = usual.get(weekday(day))
    for row in rules.during:
        if in_span((day.month, day.day), row.first, row.last):
            value = ours(row).get(weekday(day), value)
    return value


def hands_on_limit(rules: HouseRules, day: date) -> int | None:
    """The most minutes of hands-on work of a day; None: no limit."""
    return _of_day(rules.hands_on_minutes, rules, lambda row: row.hands_on_minutes, day)


def longest_dish(rules: HouseRules, day: date) -> int | None:
    """The most minutes that a dish of a day may take; None: no limit."""
    return _of_day(rules.longest_minutes, rules, lambda row: row.longest_minutes, day)


def night_of(rules: HouseRules, day: date) -> str | None:
    """The tag that a day's supper is to carry by the house rules alone."""
    return _of_day(rules.fixed, rules, lambda row: row.fixed, day) or None


def waits_in(rules: HouseRules, dish: Dish, day: date) -> str:
    """The name of the days of the year in which a dish waits, a tag of it being left out then; '' where it does not."""
    for row in rules.during:
        if row.without & dish.tags and in_span((day.month, day.day), row.first, row.last):
            return row.name
    return ""


def occasions_on(household: Household, day: date) -> tuple[Occasion, ...]:
    """The occasions that fall on a day."""
    return tuple(
        o for o in household.occasions if o.first <= day <= o.last and (not o.weekdays or weekday(day) in o.weekdays)
    )


def own_of(occasions: Iterable[Occasion], name: str) -> bool:
    """Whether a dish is the own dish of one of these occasions."""
    return any(occasion.dish == name for occasion in occasions)


def those_at_home(household: Household, day: date) -> tuple[Person, ...]:
    """Those of the household whom no occasion of a day takes away."""
    away = frozenset().union(*(o.away for o in occasions_on(household, day)))
    return tuple(person for person in household.people if person.name not in away)


def fixed_night(household: Household, meal: MealName, day: date) -> str | None:
    """The tag that the house asks of a supper's main that day; None where an occasion's dish or a feast is before."""
    on = occasions_on(household, day)
    asked = meal == "supper" and not any(o.dish or (o.kind == "feast" and meal in o.meals) for o in on)
    return night_of(household.rules, day) if asked else None


def table_for(household: Household, roles: MealRoles, day: date) -> Table | None:
    """The table laid for one meal of a day; None when nobody eats it or it has no roles."""
    name = weekday(day)
    occasions = occasions_on(household, day)
    feast = roles.meal == "supper" and any(o.kind == "feast" and roles.meal in o.meals for o in occasions)
    meal_roles = feast_roles(roles) if feast else tuple(roles.roles.get(name, ()))
    at_home = those_at_home(household, day)
    spared = frozenset().union(*(o.no_tins for o in occasions))
    carriers = {p.name for p in at_home if name in p.lunch_tin_days}
    who = roles.eaters.get(name, "all")
    if who == "tins" and carriers and carriers <= spared:
        who = "all"
    eaters = tuple(p for p in at_home if who == "all" or (who == "tins") == (p.name in carriers - spared))
    guests = sum((o.guests for o in occasions if roles.meal in o.meals), Fraction(0))
    portions = sum((p.portion for p in eaters), Fraction(0)) + guests
    if not meal_roles or portions <= 0:
        return None
    return Table(day, roles.meal, meal_roles, eaters, portions, occasions, tins=who == "tins")


def tables(household: Household, first: date, days: int) -> tuple[Table, ...]:
    """Every table laid in the days asked, in order."""
    laid = (table_for(household, roles, first + timedelta(d)) for d in range(days) for roles in household.meals)
    return tuple(t for t in laid if t is not None)


def days_between(household: Household, dish: Dish) -> int:
    """Days from one cooking of a dish to its next: its own, else the house's for its role, else 1."""
    own = dish.days_between
    return household.rules.days_between.get(dish.role, 1) if own is None else own


def portions_left(dish: Dish, batches: Fraction, portions: Fraction) -> Fraction:
    """How many what a dish leaves can feed, made in so many batches for so many portions; 0 where it leaves nothing."""
    if dish.leaves is None:
        return Fraction(0)
    return max(Fraction(0), dish.serves * batches - portions) if dish.leaves.over else dish.leaves.portions * batches


PARTS_OF_A_BATCH = (Fraction(1, 3), Fraction(1, 2), Fraction(2, 3))
FINEST_PART = 4
"""No part of a batch has a jar measured finer than by quarters."""


def batches(household: Household, dish: Dish, portions: Fraction) -> Fraction:
    """How often the recipe is made for so many portions, each batch stretched a little.

    The least that is enough: in halves, under one batch in thirds too, where that cuts no container too fine.
    """
    least = portions / (dish.serves * (1 + household.rules.stretch))
    whole = Fraction(max(1, ceil(least)))
    if dish.whole_batches or (dish.leaves is not None and not dish.leaves.over):
        return whole
    halves = PARTS_OF_A_BATCH if least < 1 else (Fraction(ceil(2 * least), 2),)
    return next((part for part in halves if part >= least and _may_be_parted(household, dish, part)), whole)


def _may_be_parted(household: Household, dish: Dish, part: Fraction) -> bool:
    """Whether a part of a batch cuts no container or piece finer than a cook would; a third needs one to stay whole."""
    whole_ones = 0
    for option in (option for use in dish.uses for option in use.options):
        product = household.products[option.product]
        if product.whole or product.measure == "each":
            ones = [size.content for size in product.sizes] if product.whole else [Fraction(1)]
            written, parted = (
                min((a / one).denominator for one in ones) for a in (option.amount, option.amount * part)
            )
            if parted > (written if written == 1 or product.thaw_days else max(written, FINEST_PART)):
                return False
            whole_ones += written == 1
    return part.denominator != 3 or whole_ones > 0


def is_baby(person: Person, day: date) -> bool:
    """Under twelve months on that day."""
    if person.born is None:
        return False
    try:
        birthday = person.born.replace(year=person.born.year + 1)
    except ValueError:  # born on 29 February
        birthday = date(person.born.year + 1, 3, 1)
    return day < birthday


def must_not(person: Person, day: date) -> frozenset[str]:
    """Marks that bar food for this person that day; honey before the first birthday is always one.

    Source: CDC, American Academy of Pediatrics and NHS advice on infants and honey.
    """
    return person.must_not | {"honey"} if is_baby(person, day) else person.must_not


def helps(instead: Instead, person: Person, mark: str, day: date) -> bool:
    """Whether an alternative lets this person sit by a mark: by name, by the mark, for low salt, or as a baby."""
    whom = instead.whom.casefold()
    return (
        whom in (person.name.casefold(), mark.casefold())
        or (whom == "low salt" and mark.casefold() == "salty")
        or (whom == "baby" and is_baby(person, day))
    )


def is_for(instead: Instead, person: Person, day: date) -> bool:
    """Whether an alternative is for this person: named, a baby, or because of a mark they must not have."""
    return any(helps(instead, person, mark, day) for mark in ("", *must_not(person, day)))


def barred_marks(dish: Dish, eaters: Iterable[Person], day: date) -> frozenset[str]:
    """Marks that bar food from this dish for someone at the table without a noted alternative."""
    return frozenset(
        mark
        for person in eaters
        for mark in must_not(person, day)
        if not any(helps(instead, person, mark, day) for instead in dish.instead)
    )


def marks_of_dish(household: Household, dish: Dish) -> frozenset[str]:
    """A dish's own marks, and those of what it is made from: of each dish that leaves it, and all that may be in that.

    Marks of the products that the dish itself takes come with its options.
    """
    marks, seen, makers = dish.contents, {dish.name}, [dish]
    while makers:
        left = makers.pop().needs_left
        for maker in household.dishes.values() if left else ():
            if maker.leaves is not None and maker.leaves.name == left and maker.name not in seen:
                seen.add(maker.name)
                makers.append(maker)
                marks |= maker.contents.union(
                    *(household.products[o.product].contents for use in maker.uses for o in use.options)
                )
    return marks


def refusals(dish: Dish, eaters: Iterable[Person]) -> tuple[str, ...]:
    """Names of those who will not eat this dish and have no alternative noted."""
    noted = {i.whom.casefold() for i in dish.instead}
    return tuple(p.name for p in eaters if p.will_not & dish.tags and p.name.casefold() not in noted)
