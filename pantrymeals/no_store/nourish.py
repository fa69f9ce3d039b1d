"""Energy, protein and food groups of a rehearsal, for those who live in the house.

Needs: Dietary Reference Intakes by age and sex (``larder.nutrition``). Food groups: the Healthy
U.S.-Style Pattern of the Dietary Guidelines 2015-2020 at each person's own energy need, between
1600 and 2800 kcal and from two years of age. Guests eat their part of the meals they come to. What is eaten
beside menu and standing use (between meals, lunches at home that are on no menu) is not seen here.
Home-baked bread is counted as the flour that standing use takes for it.
A guide for counting stores, nothing medical.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.nutrition import (
    Food,
    NeedTable,
    Nutrition,
    age_in_years,
    daily_need,
    grams_of,
    held_in,
    household_need,
    in_between,
)
from pantrymeals.larder.plate import baked_at_home
from pantrymeals.larder.supply import going_by_day
from pantrymeals.larder.table import tables
from pantrymeals.no_store.pinch import Drawn
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.no_store import GroupRow, Nourishment
from pantrymeals.records import Household, Product

WEEK = 7
PATTERN_FROM_YEARS = 2


class FoodGroup(Struct, frozen=True):
    """A family of products, its group, and the grams (as kept) that count as one cup or ounce."""

    group: str
    grams: float


class GroupTables(Struct, frozen=True):
    """pattern: group -> ((kcal, what it asks a week), ...), rising. units: group -> unit. families: word -> group.

    parts: group -> the larger group that it is a part of.
    """

    pattern: Mapping[str, tuple[tuple[float, float], ...]]
    units: Mapping[str, str]
    families: Mapping[str, FoodGroup]
    parts: Mapping[str, str]


def group_tables(pattern: Iterable[Mapping[str, str]], families: Iterable[Mapping[str, str]]) -> GroupTables:
    """The tables from the rows of ``food_pattern.csv`` and ``food_groups.csv``."""
    points: dict[str, list[tuple[float, float]]] = {}
    units, parts = {}, {}
    for row in pattern:
        unit, _, every = row["unit"].partition("/")
        weekly = float(row["amount"]) * (WEEK if every == "day" else 1)
        points.setdefault(row["group"], []).append((float(row["kcal"]), weekly))
        units[row["group"]] = unit
        if row["part_of"]:
            parts[row["group"]] = row["part_of"]
    return GroupTables(
        {group: tuple(sorted(rows)) for group, rows in points.items()},
        units,
        {row["family"]: FoodGroup(row["group"], float(row["grams"])) for row in families},
        parts,
    )


def eaten_at_home(household: Household, plan: MenuPlan) -> dict[str, Fraction]:
    """What those at home eat of each product by the menu (base measure): their portions of all portions."""
    laid = tables(household, plan.first, plan.days)
    share = {(t.day, t.meal): sum((p.portion for p in t.eaters), Fraction(0)) / t.portions for t in laid}
    out: dict[str, Fraction] = {}
    for meal in plan.meals:
        for use in (use for dish in meal.dishes for use in dish.uses):
            part = share.get((meal.day, meal.meal), Fraction(1))
            out[use.product] = out.get(use.product, Fraction(0)) + use.amount * part
    return out


def nourishment(
    household: Household,
    plan: MenuPlan,
    lines: Mapping[str, Drawn],
    foods: Mapping[str, Food],
    needs: NeedTable,
    groups: GroupTables,
) -> Nourishment:
    """What menu and standing use hold against what those at home need."""
    _, baked = baked_at_home(household, plan.first, plan.last)
    menu = {n: amount for n, amount in eaten_at_home(household, plan).items() if n not in baked}
    standing = {n: _gone_through(household, plan, line) for n, line in lines.items() if n not in baked}
    standing = {n: amount for n, amount in standing.items() if amount > 0}
    by_menu, unknown = held_in(household, menu, foods)
    by_standing, also = held_in(household, standing, foods)
    need = Nutrition()
    for number in range(plan.days):
        need += household_need(household, plan.first + timedelta(days=number), needs)
    per_day = 1 / plan.days
    need, by_menu, by_standing = (n.times(per_day) for n in (need, by_menu, by_standing))
    all_eaten = {n: menu.get(n, Fraction(0)) + standing.get(n, Fraction(0)) for n in {*menu, *standing}}
    rows, ungrouped = _groups(household, plan, all_eaten, needs, groups)
    return Nourishment(
        need.kcal, need.protein_g, by_menu.kcal, by_menu.protein_g, by_standing.kcal, by_standing.protein_g,
        rows, tuple(sorted({*unknown, *also})), ungrouped,
    )  # fmt: skip


def _gone_through(household: Household, plan: MenuPlan, line: Drawn) -> Fraction:
    """What standing use eats within the days: of a jar opened on the last of them that day's part, not the jar."""
    return min(line.standing[-1], going_by_day(household, line.product, plan.first, plan.days)[-1])


def _groups(
    household: Household, plan: MenuPlan, eaten: Mapping[str, Fraction], needs: NeedTable, groups: GroupTables
) -> tuple[tuple[GroupRow, ...], tuple[str, ...]]:
    held: dict[str, float] = {}
    ungrouped = []
    for name in sorted(eaten):
        product = household.products[name]
        kind, grams = group_of(product, groups), grams_of(product, eaten[name])
        if kind is None or grams is None:
            ungrouped.append(name)
            continue
        if kind.group not in groups.pattern:
            continue
        amount = grams / kind.grams
        held[kind.group] = held.get(kind.group, 0.0) + amount
        whole = groups.parts.get(kind.group)
        if whole:
            held[whole] = held.get(whole, 0.0) + amount
    weeks = plan.days / WEEK
    kcals = [
        daily_need(p, plan.first, needs).kcal
        for p in household.people
        if age_in_years(p, plan.first) >= PATTERN_FROM_YEARS
    ]
    rows = [
        GroupRow(
            group, groups.units[group], held.get(group, 0.0) / weeks,
            sum(in_between(points, kcal) for kcal in kcals),
        )
        for group, points in groups.pattern.items()
    ]  # fmt: skip
    return tuple(rows), tuple(ungrouped)


def group_of(product: Product, groups: GroupTables) -> FoodGroup | None:
    """The group of a product: by its own name, or by its family."""
    for word in (product.name.casefold(), product.family.casefold()):
        if word in groups.families:
            return groups.families[word]
    return None
