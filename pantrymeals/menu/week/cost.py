"""What a menu costs, exactly, wish by wish: see 'What a menu costs' in DEVELOPERS.md."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import product as every
from math import prod

from pantrymeals.larder.opened_life import lies_thawing
from pantrymeals.menu.request import DAYS_IN_ONE_PIECE
from pantrymeals.menu.week.model import (
    FEAST_MISSED_POINTS,
    FEWEST_GOING_OVER,
    GOING_OVER_POINTS,
    LARGEST_OFF_POINTS,
    LEFT_OPEN_POINTS,
    MISSED_POINTS,
    OFF_POINTS,
    OPEN_ROLE_POINTS,
    PARTNER_POINTS,
    WAITING_POINTS,
    waste_points,
)
from pantrymeals.menu.week.problem import RANK_POINTS, Candidate, Draw, MenuProblem, dishes_of_occasions, nights_asked
from pantrymeals.plans.menu import PlannedMeal, ShareRow, Waste
from pantrymeals.records import Household

Needs = Mapping[str, Mapping[int, Fraction]]
MOST_WAYS = 1000
WEEK = 7


def open_roles(meals: Iterable[PlannedMeal]) -> Fraction:
    """Points for places left open."""
    return Fraction(sum(OPEN_ROLE_POINTS[role] for meal in meals for role in meal.open_roles))


def liking_and_effort(problem: MenuProblem, cooked: Sequence[tuple[int, Sequence[Draw]]]) -> Fraction:
    """Points for how dishes are liked, their work, options less liked, and dishes without any that they go with.

    cooked: candidates by number, each with what it takes where it has a choice.
    """
    total = Fraction(0)
    at_table: dict[int, list[Candidate]] = {}
    for index, draws in cooked:
        candidate = problem.candidates[index]
        total += candidate.points + RANK_POINTS * _least_ranks(candidate, draws)
        at_table.setdefault(candidate.table, []).append(candidate)
    for dishes in at_table.values():
        for one in dishes:
            wanted = one.dish.goes_with
            beside = (other for other in dishes if other is not one)
            if wanted and not any(other.dish.name in wanted or other.dish.tags & wanted for other in beside):
                total += PARTNER_POINTS
    return total


def _least_ranks(candidate: Candidate, taken: Sequence[Draw]) -> int:
    """The ranks of what a dish takes where it has a choice; of several ways to take the same in all, the best liked."""

    def in_all(draws: Iterable[Draw]) -> Counter[int]:
        sums: Counter[int] = Counter()
        for draw in draws:
            sums[draw.product] += draw.grains
        return sums

    least = sum(draw.rank for draw in taken)
    if least and 1 < prod(len(choice) for choice in candidate.choices) <= MOST_WAYS:
        same = in_all(taken)
        least = min(sum(d.rank for d in way) for way in every(*candidate.choices) if in_all(way) == same)
    return least


def evenness(problem: MenuProblem, rows: Iterable[ShareRow], pace: Fraction) -> Fraction:
    """Points for draws outside their bands, and for the one that is furthest off."""
    weight = {stock.name: stock.worth_at(pace) for stock in problem.stocks if stock.averaged}
    off = [row.off * weight[row.product] for row in rows]
    return OFF_POINTS * sum(off, Fraction(0)) + LARGEST_OFF_POINTS * max(off, default=Fraction(0))


def going_to_waste(
    household: Household, first: date, days: int, waste: Iterable[Waste], still: Mapping[str, Fraction]
) -> Fraction:
    """Points for what goes over, and for what is open and good at the end of a menu that is longer than it keeps."""
    total = Fraction(0)
    for over in waste:
        product = household.products[over.product]
        total += waste_points(lies_thawing(household, product, first)) * over.amount / product.sizes[0].content
    for name, amount in still.items():
        product = household.products[name]
        if product.opened_days is not None and product.opened_days <= days:
            total += LEFT_OPEN_POINTS * amount / product.sizes[0].content
    return total


def not_eaten_first(problem: MenuProblem, needs: Needs) -> Fraction:
    """Points for what is left of each product on the last day that it keeps."""
    total = Fraction(0)
    for stock in problem.stocks:
        if stock.last is not None and stock.held_last > 0:
            used = sum((a for day, a in needs.get(stock.name, {}).items() if day <= stock.last), Fraction(0))
            left = max(Fraction(0), stock.held_last - used * stock.container / stock.exact_container)
            total += GOING_OVER_POINTS * left / max(Fraction(FEWEST_GOING_OVER * stock.container), stock.held_last)
    return total


def opened_while_fresh(household: Household, first: date, needs: Needs) -> Fraction:
    """Points for what is taken of products that stay on their shelves, something fresh of the same being there."""
    total = Fraction(0)
    for name, by_day in needs.items():
        product = household.products[name]
        taken = sum((a for day, a in by_day.items() if first + timedelta(days=day) in product.waits_on), Fraction(0))
        total += WAITING_POINTS * taken / product.sizes[0].content
    return total


def changes(problem: MenuProblem, meals: Iterable[PlannedMeal]) -> Fraction:
    """Points for announced dishes that could stand and do not."""
    stands = {(meal.day, meal.meal, p.role, p.dish) for meal in meals for p in meal.dishes}
    could = {
        (problem.tables[c.table].day, problem.tables[c.table].meal, c.role, c.dish.name) for c in problem.candidates
    }
    return Fraction(problem.request.change_price * len((set(problem.request.keep) & could) - stands))


def missed(problem: MenuProblem, meals: Sequence[PlannedMeal]) -> list[tuple[int, str, Fraction]]:
    """Fixed nights and weekly tags, on long horizons occasions' dishes too, not kept, whether or not any dish could.

    Each as (day, what, points).
    """
    household = problem.household
    out: list[tuple[int, str, Fraction]] = []
    laid = {(meal.day, meal.meal): meal for meal in meals}
    at = [laid[table.day, table.meal] for table in problem.tables]
    for index, tag in nights_asked(problem).items():
        mains = [household.dishes[p.dish] for p in at[index].dishes if p.role == "main"]
        if "main" not in at[index].open_roles and not any(tag in main.tags for main in mains):
            out.append((problem.table_day[index], f"'{tag}'", Fraction(MISSED_POINTS)))
    for tag, least in household.rules.at_least.items():
        for start in range(0, problem.days - WEEK + 1, WEEK):
            have = sum(
                p.role == "main" and tag in household.dishes[p.dish].tags
                for day, meal in zip(problem.table_day, at, strict=True)
                if start <= day < start + WEEK
                for p in meal.dishes
            )
            out += [(start + WEEK - 1, f"{tag} in the week", Fraction(MISSED_POINTS))] * max(0, least - have)
    for day, occasion, its_tables in dishes_of_occasions(problem) if problem.days > DAYS_IN_ONE_PIECE else ():
        if not any(p.dish == occasion.dish for index in its_tables for p in at[index].dishes):
            out.append((day, f"{occasion.dish} for {occasion.name}", Fraction(FEAST_MISSED_POINTS)))
    return out
