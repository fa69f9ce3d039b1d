"""What a menu puts on the plates of each meal, each day, and in all: told of by sheets, judged by what a menu costs."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

from pantrymeals.larder.plate import asked_of, asked_of_day, gives, meal_part, portion_holds, standing_part
from pantrymeals.larder.table import Table, tables
from pantrymeals.plans.fed import DayFed, Fed, MealFed
from pantrymeals.plans.menu import MenuPlan, PlannedMeal
from pantrymeals.records import Household


def fed(household: Household, plan: MenuPlan) -> Fed:
    """What the menu gives; nothing where no product has a figure."""
    if not household.kcal:
        return Fed()
    laid = {(table.day, table.meal): table for table in tables(household, plan.first, plan.days)}
    at = [(laid[meal.day, meal.meal], meal) for meal in plan.meals if (meal.day, meal.meal) in laid]
    by_day: dict[object, list[tuple[Table, PlannedMeal]]] = defaultdict(list)
    for table, meal in at:
        by_day[table.day].append((table, meal))
    unknown = {p.dish for table, meal in at for p in meal.dishes if None in _each(household, table, meal)[p.dish]}
    return Fed(
        tuple(_meal(household, table, meal) for table, meal in at),
        tuple(_day(household, meals) for meals in by_day.values()),
        _protein(household, list(by_day.values())),
        tuple(sorted(unknown)),
    )


def _each(household: Household, table: Table, meal: PlannedMeal) -> dict[str, tuple[Fraction | None, Fraction | None]]:
    """(kcal, g of protein) that each dish of a meal gives a portion."""
    return {
        p.dish: (
            portion_holds(household, household.dishes[p.dish], p.batches, table.portions, household.kcal),
            portion_holds(household, household.dishes[p.dish], p.batches, table.portions, household.protein_g),
        )
        for p in meal.dishes
    }


def _meal(household: Household, table: Table, meal: PlannedMeal) -> MealFed:
    energy, protein = [], []
    for kcal, grams in _each(household, table, meal).values():
        energy.append(kcal)
        protein.append(grams)
    given = sum(gives(household, table, household.dishes[p.dish], p.batches)[0] for p in meal.dishes)
    thin = given < asked_of(household, table).least
    return MealFed(table.day, table.meal, _in_all(energy), _in_all(protein), thin)


def _in_all(each: list[Fraction | None]) -> int | None:
    known = [one for one in each if one is not None]
    return round(sum(known, Fraction(0))) if len(known) == len(each) else None


def _day(household: Household, meals: list[tuple[Table, PlannedMeal]]) -> DayFed:
    laid = [table for table, _ in meals]
    asked = asked_of_day(household, laid)
    menu = sum(gives(household, t, household.dishes[p.dish], p.batches)[1] for t, meal in meals for p in meal.dishes)
    stands = standing_part(household, laid[0].day, asked.in_all, household.kcal, household.needs_kcal)
    outside = menu < asked.low or (asked.high is not None and menu > asked.high)
    return DayFed(laid[0].day, asked.in_all, menu, stands, outside)


def _protein(household: Household, days: list[list[tuple[Table, PlannedMeal]]]) -> tuple[int, int, int]:
    """Grams that the meals are to give (their part of what their eaters need), and what menu and standing use give."""
    need, menu, stands = 0, Fraction(0), 0
    for meals in days:
        of_day = sum(
            round(meal_part(household, table, household.needs_protein_g) * table.portions) for table, _ in meals
        )
        need += of_day
        stands += standing_part(household, meals[0][0].day, of_day, household.protein_g, household.needs_protein_g)
        for table, meal in meals:
            grams = (g for _, g in _each(household, table, meal).values() if g is not None)
            menu += sum(grams, Fraction(0)) * table.portions
    return need, round(menu), stands
