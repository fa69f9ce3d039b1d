"""Energy and protein: what the people at table need, and what stock and dishes hold.

Needs follow the Dietary Reference Intakes (IOM 2002/2005): estimated energy requirement by sex, age,
activity, height and weight, and the protein RDA. A household does not write down heights and weights,
so those of the same publication's reference people stand in (from memory). A guide for counting
stores, nothing medical.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from pantrymeals.errors import PantryError
from pantrymeals.records import Household, Person, Product

Sex = Literal["female", "male"]
Activity = Literal["sedentary", "low active", "active", "very active"]

ACTIVITY_WORDS: Mapping[str, Activity] = {"low": "sedentary", "moderate": "low active", "active": "active"}
"""A household's own words, and the level of the publication that each stands for."""
USUAL_AGE = 30
"""Taken for someone whose birth date is not written down."""
_INFANT_KCAL_PER_KG, _INFANT_CONSTANT = 89.0, -100.0
_GROWTH_KCAL = {"child": 20.0, "youth": 25.0}
"""Energy laid down in growth: 20 kcal at 3-8 years, 25 at 9-18 (note of the same equations)."""


class NeedTable(Struct, frozen=True):
    """The published figures, by (sex, first age of the band).

    equations: (constant, per year, per kg, per m). activity: (sex, band, level) -> factor.
    bodies: (height in m, weight in kg). protein_g: a day. infant_growth: by first month, kcal.
    """

    equations: Mapping[tuple[str, int], tuple[float, float, float, float]]
    activity: Mapping[tuple[str, int, str], float]
    bodies: Mapping[tuple[str, int], tuple[float, float]]
    protein_g: Mapping[tuple[str, int], float]
    infant_growth: Mapping[int, float]


class Food(Struct, frozen=True):
    """One food of the nutrient table: kcal and g of protein in 1 g eaten, and the share that is eaten."""

    name: str
    kcal: float
    protein_g: float
    eaten: float


class Nutrition(Struct, frozen=True):
    """Energy and protein of something."""

    kcal: float = 0.0
    protein_g: float = 0.0

    def __add__(self, other: Nutrition) -> Nutrition:
        return Nutrition(self.kcal + other.kcal, self.protein_g + other.protein_g)

    def times(self, factor: float) -> Nutrition:
        """So many times as much."""
        return Nutrition(self.kcal * factor, self.protein_g * factor)


def need_table(rows: Iterable[Mapping[str, str]]) -> NeedTable:
    """The published figures from the rows of ``energy_need.csv``."""
    parts: dict[tuple[str, int], dict[str, float]] = {}
    bodies: dict[tuple[str, int], dict[str, float]] = {}
    activity, protein, growth = {}, {}, {}
    for row in rows:
        band, value = int(row["age_low"]), float(row["value"])
        for sex in ("female", "male") if row["sex"] == "both" else (row["sex"],):
            match row["record_type"], row["quantity"]:
                case "eer_2005_coefficient", quantity:
                    parts.setdefault((sex, band), {})[quantity] = value
                case "eer_2005_pa", _:
                    activity[sex, band, row["activity"]] = value
                case "reference_body", quantity:
                    bodies.setdefault((sex, band), {})[quantity] = value
                case "protein_rda", "g_per_day":
                    protein[sex, band] = value
                case "eer_2005_infant", _:
                    growth[band] = value
    names = ("constant", "age_coefficient", "weight_coefficient", "height_coefficient")
    return NeedTable(
        {key: (p[names[0]], p[names[1]], p[names[2]], p[names[3]]) for key, p in parts.items()},
        activity,
        {key: (b["height_m"], b["weight_kg"]) for key, b in bodies.items()},
        protein,
        growth,
    )


def food_table(rows: Iterable[Mapping[str, str]]) -> dict[str, Food]:
    """Foods by their NDB number, from the rows of ``foods.csv`` (USDA SR27)."""
    return {
        row["ndb_no"]: Food(
            row["food"],
            float(row["kcal_100g"]) / 100,
            float(row["protein_g"]) / 100,
            1 - float(row["refuse_pct"] or 0) / 100,
        )
        for row in rows
    }


def _band(ages: Iterable[int], age: float) -> int:
    """The band of ages that begins last, at or before ``age``."""
    return max(a for a in ages if a <= age)


def energy_requirement(
    table: NeedTable, sex: Sex, age_years: float, activity: Activity, height_m: float, weight_kg: float
) -> float:
    """Estimated energy requirement, kcal a day, from three years of age on.

    EER = constant - a x age + PA x (w x kg + h x m), and growth under 19.
    """
    if age_years < 3:
        raise ValueError("for those under three years use infant_requirement")
    band = _band((a for s, a in table.equations if s == sex), age_years)
    constant, per_year, per_kg, per_m = table.equations[sex, band]
    factor = table.activity[sex, band, activity]
    growth = 0.0 if age_years >= 19 else _GROWTH_KCAL["child" if age_years < 9 else "youth"]
    return constant - per_year * age_years + factor * (per_kg * weight_kg + per_m * height_m) + growth


def infant_requirement(table: NeedTable, age_months: float, weight_kg: float) -> float:
    """Estimated energy requirement under three years, kcal a day: 89 x kg - 100, and growth."""
    growth = table.infant_growth[_band(table.infant_growth, age_months)]
    return _INFANT_KCAL_PER_KG * weight_kg + _INFANT_CONSTANT + growth


def age_in_years(person: Person, day: date) -> float:
    """Years since birth, whole from two on and in twelfths below; USUAL_AGE where it is not known."""
    if person.born is None:
        return float(USUAL_AGE)
    months = (day.year - person.born.year) * 12 + day.month - person.born.month - (day.day < person.born.day)
    return float(months // 12) if months >= 24 else max(0, months) / 12


def daily_need(person: Person, day: date, table: NeedTable) -> Nutrition:
    """What one person needs a day, at the reference height and weight of their age.

    Where the sex is not written down, the mean of both.
    """
    sexes: tuple[Sex, ...] = (person.sex,) if person.sex else ("female", "male")
    needs = [_need_of(sex, age_in_years(person, day), ACTIVITY_WORDS[person.activity], table) for sex in sexes]
    return Nutrition(sum(n.kcal for n in needs) / len(needs), sum(n.protein_g for n in needs) / len(needs))


def _need_of(sex: Sex, age: float, activity: Activity, table: NeedTable) -> Nutrition:
    height_m, weight_kg = reference_body(sex, age, table)
    protein = table.protein_g[sex, _band((a for s, a in table.protein_g if s == sex), age)]
    if age < 3:
        return Nutrition(infant_requirement(table, age * 12, weight_kg), protein)
    return Nutrition(energy_requirement(table, sex, age, activity, height_m, weight_kg), protein)


_MIDDLES = {0: 0.75, 1: 2.5, 4: 6.5, 9: 11.5, 14: 16.5, 19: 19.0}
"""The age in years for which each band's reference body is taken: the middle of the band; grown at 19."""


def reference_body(sex: Sex, age_years: float, table: NeedTable) -> tuple[float, float]:
    """Height (m) and weight (kg) of the reference people, in a straight line between the bands' middles."""
    points = [(_MIDDLES[band], table.bodies[s, band]) for s, band in sorted(table.bodies) if s == sex]
    heights, weights = ([(age, body[which]) for age, body in points] for which in (0, 1))
    return in_between(heights, age_years), in_between(weights, age_years)


def in_between(points: Sequence[tuple[float, float]], x: float) -> float:
    """The height at ``x`` of the straight lines through points that rise in x; beyond the ends, the end's own."""
    if x <= points[0][0]:
        return points[0][1]
    for (left, low), (right, high) in pairwise(points):
        if x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return points[-1][1]


def grams_of(product: Product, amount: Fraction) -> float | None:
    """An amount (base measure) in grams; None where no weight is written down."""
    per_base = Fraction(1) if product.measure == "g" else product.grams_per_base
    return None if per_base is None else float(amount * per_base)


def household_need(household: Household, day: date, table: NeedTable) -> Nutrition:
    """What all the household's people need a day; guests and days away are not in it."""
    total = Nutrition()
    for person in household.people:
        total += daily_need(person, day, table)
    return total


def amount_nutrition(product: Product, amount: Fraction, foods: Mapping[str, Food]) -> Nutrition | None:
    """What an amount of a product (base measure) holds; None where no food or weight is written down.

    Bones, peel and cores are taken off by the food's usual share, save in jars, which hold what is eaten.
    Raises PantryError for a food number that the table does not have.
    """
    if not product.food:
        return None
    food = foods.get(product.food)
    if food is None:
        raise PantryError(f"{product.place}: {product.name}: no food {product.food} in the nutrient table")
    grams = grams_of(product, amount)
    if grams is None:
        return None
    grams *= 1.0 if product.kind == "jar" else food.eaten
    return Nutrition(grams * food.kcal, grams * food.protein_g)


def held_in(
    household: Household, amounts: Mapping[str, Fraction], foods: Mapping[str, Food]
) -> tuple[Nutrition, tuple[str, ...]]:
    """What amounts of products (base measure) hold together, and those of which nothing is known."""
    found = {name: amount_nutrition(household.products[name], amount, foods) for name, amount in amounts.items()}
    known = (held for held in found.values() if held is not None)
    return sum(known, Nutrition()), tuple(name for name, held in found.items() if held is None)
