"""What a menu puts on the plates of each meal, each day, and in all: told of by sheets, judged by what a menu costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from pantrymeals.larder.plate import asked_of, asked_of_day, gives, meal_part, portion_holds, standing_part
from pantrymeals.larder.table import Table, tables
from pantrymeals.plans.fed import DayFed, Fed, MealFed
from pantrymeals.plans.menu import MenuPlan, PlannedMeal
from pantrymeals.records import Household, MealName


def fed(household: Household, plan: MenuPlan) -> Fed:
    """What the menu gives; nothing where no product has a figure."""
    if not household.kcal:
        return Fed()
    laid = {(table.day, table.meal): table for table in tables(household, plan.first, plan.days)}
    at = [(laid[meal.day, meal.meal], meal) for meal in plan.meals if (meal.day, meal.meal) in laid]
    by_day: dict[object, list[tuple[Table, PlannedMeal]]] = defaultdict(list)
    for table, meal in at:
        by_day[table.day].append((table, meal))
    plates = {(table.day, table.meal): _plates(household, table, meal) for table, meal in at}
    return Fed(
        tuple(_meal(household, table, meal, plates[table.day, table.meal]) for table, meal in at),
        tuple(_day(household, meals) for meals in by_day.values()),
        _protein(household, [[table for table, _ in meals] for meals in by_day.values()], plates),
        tuple(sorted({dish for each in plates.values() for dish, holds in each.items() if None in holds})),
    )


_Plates = dict[str, tuple[Fraction | None, Fraction | None]]
"""(kcal, g of protein) that each dish of a meal gives a portion."""


def _plates(household: Household, table: Table, meal: PlannedMeal) -> _Plates:
    return {
        p.dish: (
            portion_holds(household, household.dishes[p.dish], p.batches, table.portions, household.kcal),
            portion_holds(household, household.dishes[p.dish], p.batches, table.portions, household.protein_g),
        )
        for p in meal.dishes
    }


def _meal(household: Household, table: Table, meal: PlannedMeal, plates: _Plates) -> MealFed:
    given = sum(gives(household, table, household.dishes[p.dish], p.batches)[0] for p in meal.dishes)
    thin = given < asked_of(household, table).least
    energy, protein = ([held[n] for held in plates.values()] for n in range(2))
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


def _protein(
    household: Household, days: list[list[Table]], plates: Mapping[tuple[date, MealName], _Plates]
) -> tuple[int, int, int]:
    """Grams that the meals are to give (their part of what their eaters need), and what menu and standing use give."""
    need, menu, stands = 0, Fraction(0), 0
    for laid in days:
        of_day = sum(round(meal_part(household, table, household.needs_protein_g) * table.portions) for table in laid)
        need += of_day
        stands += standing_part(household, laid[0].day, of_day, household.protein_g, household.needs_protein_g)
        for table in laid:
            grams = (g for _, g in plates[table.day, table.meal].values() if g is not None)
            menu += sum(grams, Fraction(0)) * table.portions
    return need, round(menu), stands
