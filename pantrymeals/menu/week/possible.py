"""Which dishes could stand at which table, and with which of their products."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.must_reach import may_be_planned
from pantrymeals.larder.table import (
    Table,
    barred_marks,
    batches,
    days_between,
    fixed_night,
    is_baby,
    is_for,
    longest_dish,
    marks_of_dish,
    must_not,
    waits_in,
    weekday,
)
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import Dish, Household, HouseRules, Instead, Option, Product, Use

UseOptions = tuple[tuple[Option, Fraction], ...]
"""For one use: each option that may stand, with the exact amount for all batches."""

Standing = tuple[Fraction, tuple[UseOptions, ...], tuple[str, ...]]


class Possible(Struct, frozen=True):
    """A dish at a table: batches, for each use its options with exact amounts, and alternatives beside it."""

    table: int
    day: int
    dish: Dish
    batches: Fraction
    uses: tuple[UseOptions, ...]
    instead: tuple[str, ...]


def possible_dishes(
    household: Household, tables: tuple[Table, ...], table_day: tuple[int, ...], stocked: frozenset[str]
) -> list[Possible]:
    """Every dish at every table where its season, the table's rules and the larder let it stand."""
    products = household.products.values()
    away_on: dict[date, frozenset[str]] = {}
    kinds: dict[tuple[object, ...], int] = {}
    seen: dict[tuple[str, int], Standing | None] = {}
    out = []
    for index, (table, day) in enumerate(zip(tables, table_day, strict=True)):
        if table.day not in away_on:
            may = {p.name for p in products if may_be_planned(household, p, table.day)} & stocked
            away_on[table.day] = frozenset(household.products) - may
        away = away_on[table.day]
        alike = (
            table.meal,
            table.portions,
            table.kinds,
            longest_dish(household.rules, table.day),
            table.day.month,
            away,
            tuple((p.name, must_not(p, table.day), is_baby(p, table.day)) for p in table.eaters),
        )
        kind = kinds.setdefault(alike, len(kinds))
        for dish in household.dishes.values():
            if dish.role not in table.roles or not _suits(household.rules, dish, table):
                continue
            key = (dish.name, kind)
            if key not in seen:
                seen[key] = _stands(household, table, dish, away)
            found = seen[key]
            if found is not None:
                out.append(Possible(index, day, dish, *found))
    return out


def _suits(rules: HouseRules, dish: Dish, table: Table) -> bool:
    """Whether a dish has its weekday and days of the year here, can be carried in tins, and is for a feast.

    Asked apart from all else, so that tables alike but for their weekday still share their uses.
    """
    if dish.weekdays and weekday(table.day) not in dish.weekdays:
        return False
    if table.tins and "tins" in dish.not_for:
        return False
    if waits_in(rules, dish, table.day):
        return False
    return not ("feast" in table.own_kinds and "feast" in dish.not_for)


def _stands(household: Household, table: Table, dish: Dish, away: frozenset[str]) -> Standing | None:
    """Batches, viable options with exact amounts, and alternatives; None when it cannot stand there."""
    day = table.day
    if dish.season and day.month not in dish.season:
        return None
    if dish.only_for and dish.only_for not in table.kinds:
        return None
    longest = longest_dish(household.rules, day)
    if longest is not None and dish.minutes > longest and not table.kinds:
        return None
    barred = barred_marks(dish, table.eaters, day)
    if barred & marks_of_dish(household, dish):
        return None
    times = batches(household, dish, table.portions)
    uses = []
    for use in dish.uses:
        viable = _viable(household.products, use, away, barred)
        if not viable:
            return None
        uses.append(tuple((o, o.amount * times) for o in viable))
    notes = []
    for instead in alternatives(table, dish):
        theirs = frozenset(m for p in table.eaters if is_for(instead, p, day) for m in must_not(p, day))
        for use in instead.uses:
            viable = _viable(household.products, use, away, theirs)
            if not viable:
                return None
            uses.append(tuple((o, o.amount) for o in viable))
        notes.append(f"{instead.whom}: {instead.what}")
    return times, tuple(uses), tuple(notes)


def alternatives(table: Table, dish: Dish) -> tuple[Instead, ...]:
    """The noted alternatives that are served beside a dish: those that are for someone at the table."""
    return tuple(i for i in dish.instead if any(is_for(i, p, table.day) for p in table.eaters))


def _viable(
    products: Mapping[str, Product], use: Use, away: frozenset[str], barred: frozenset[str]
) -> tuple[Option, ...]:
    """The options of a use that may stand, in the order liked."""
    return tuple(o for o in use.options if o.product not in away and not (products[o.product].contents & barred))


def too_lately(household: Household, request: MenuRequest, dish: Dish, table: Table) -> bool:
    """Whether a dish was eaten, before this menu, too lately to come again at this table."""
    between = days_between(household, dish)
    return any(
        name == dish.name and day < request.first and (table.day - day).days < between for day, name in household.recent
    )


def asked_night(household: Household, request: MenuRequest, table: Table) -> str | None:
    """The tag that the house asks of a supper's main; None where a feast's dish or a pinned main goes before it."""
    pinned = any(
        pin.day == table.day
        and pin.meal in (None, table.meal)
        and pin.dish in household.dishes
        and household.dishes[pin.dish].role == "main"
        for pin in request.pinned
    )
    return None if pinned or "main" not in table.roles else fixed_night(household, table.meal, table.day)
