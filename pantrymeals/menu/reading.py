"""From a solver's columns back to a menu that a cook can read."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import numpy as np

from pantrymeals.menu.week.containers import opened_for
from pantrymeals.menu.week.cost import (
    changes,
    evenness,
    going_to_waste,
    liking_and_effort,
    missed,
    not_eaten_first,
    open_roles,
    opened_while_fresh,
)
from pantrymeals.menu.week.enough import enough
from pantrymeals.menu.week.model import POINT, MenuModel
from pantrymeals.menu.week.mornings import alike_mornings
from pantrymeals.menu.week.problem import Candidate, Draw, MenuProblem
from pantrymeals.plans.menu import ChosenUse, MenuPlan, Opening, PlannedDish, PlannedMeal, ShareRow
from pantrymeals.records import Role


def _drawn(model: MenuModel, x: np.ndarray, index: int) -> list[Draw]:
    """What a planned candidate takes where it has a choice."""
    return [
        choice[int(np.argmax([x[c] for c in model.option[index, number]]))]
        for number, choice in enumerate(model.problem.candidates[index].choices)
    ]


def chosen_uses(model: MenuModel, x: np.ndarray, index: int) -> tuple[ChosenUse, ...]:
    """What a planned candidate takes, one product for each use, equal products summed."""
    candidate = model.problem.candidates[index]
    stock = model.problem.stocks
    taken: dict[str, ChosenUse] = {}
    for draw in [*candidate.fixed, *_drawn(model, x, index)]:
        name = stock[draw.product].name
        before = taken.get(name)
        taken[name] = ChosenUse(
            name, draw.exact + (before.amount if before else 0), draw.stand_in or bool(before and before.stand_in)
        )
    return tuple(taken.values())


def read_plan(
    model: MenuModel,
    x: np.ndarray,
    pace: Fraction,
    bound: float,
    seconds: float,
    ended: str,
    notes: tuple[str, ...] = (),
) -> MenuPlan:
    """A MenuPlan from columns; bound in the model's own units. What it costs is worked out from the menu itself."""
    problem = model.problem
    uses = _uses_of(model, x)
    cooked = list(uses)
    needs = _needs(model, uses)
    opened = opened_for(problem.household, problem.request.first, problem.days, needs, _pool(model, x))
    meals = _meals(model, x, cooked, uses)
    laid = dict(zip(problem.tables, meals, strict=True))
    even = share_rows(problem, needs, pace)
    parts = {
        "open roles": open_roles(meals),
        "liking and effort": liking_and_effort(problem, [(i, _drawn(model, x, i)) for i in cooked]),
        "evenness": evenness(problem, even, pace),
        "waste": going_to_waste(problem.household, problem.request.first, problem.days, opened.waste, opened.still),
        "eat first": not_eaten_first(problem, needs),
        "fresh first": opened_while_fresh(problem.household, problem.request.first, needs),
        "enough": enough(problem.household, problem.tables, laid),
        "mornings": alike_mornings(problem.household, problem.tables, laid),
        "changes": changes(problem, meals),
        "missed": sum((points for *_, points in missed(problem, meals)), Fraction(0)),
    }
    points = float(sum(parts.values()))
    proven = min(bound / POINT, points)
    return MenuPlan(
        first=problem.request.first,
        days=problem.days,
        meals=meals,
        openings=opened.openings,
        waste=opened.waste,
        shares=even,
        batch_work=(),
        pace=pace,
        cost=points,
        bound=proven,
        gap=(points - proven) / max(points, 1.0),
        seconds=seconds,
        seed=problem.request.seed,
        ended=ended,  # type: ignore[arg-type]
        open_roles=sum(len(m.open_roles) for m in meals),
        parts=tuple((wish, float(of_it)) for wish, of_it in parts.items() if of_it),
        notes=notes,
        begun=opened.begun,
    )


def _uses_of(model: MenuModel, x: np.ndarray) -> dict[int, tuple[ChosenUse, ...]]:
    """Of the candidates that are cooked, what they take."""
    return {i: chosen_uses(model, x, i) for i, col in enumerate(model.cook) if x[col] > 0.5}


def _needs(model: MenuModel, uses: Mapping[int, tuple[ChosenUse, ...]]) -> dict[str, dict[int, Fraction]]:
    """By product and day from the first, what is taken (base measure)."""
    needs: dict[str, dict[int, Fraction]] = {}
    for i, of_dish in uses.items():
        day = model.problem.candidates[i].day
        for use in of_dish:
            by_day = needs.setdefault(use.product, {})
            by_day[day] = by_day.get(day, Fraction(0)) + use.amount
    return needs


def openings_needed(model: MenuModel, x: np.ndarray) -> tuple[Opening, ...]:
    """What has to be opened for the dishes of these columns, however much more their columns open."""
    problem, needs = model.problem, _needs(model, _uses_of(model, x))
    first = problem.request.first
    return opened_for(problem.household, first, problem.days, needs, _pool(model, x)).openings


def _pool(model: MenuModel, x: np.ndarray) -> dict[str, list[tuple[int, str]]]:
    """Containers that the solver opens of products of several sizes, by day."""
    pool: dict[str, list[tuple[int, str]]] = {}
    for (product, size, day), col in model.opened.items():
        stock = model.problem.stocks[product]
        if len(stock.sizes) > 1:
            pool.setdefault(stock.name, []).extend([(day, stock.sizes[size][0])] * round(x[col]))
    for entries in pool.values():
        entries.sort()
    return pool


def _meals(
    model: MenuModel, x: np.ndarray, cooked: list[int], uses: Mapping[int, tuple[ChosenUse, ...]]
) -> tuple[PlannedMeal, ...]:
    problem = model.problem
    by_table: dict[int, list[int]] = {}
    for i in cooked:
        by_table.setdefault(problem.candidates[i].table, []).append(i)
    meals = []
    for index, table in enumerate(problem.tables):
        chosen = sorted(by_table.get(index, ()), key=lambda i: table.roles.index(problem.candidates[i].role))
        filled = {problem.candidates[i].role for i in chosen}
        left_open = tuple(r for r in table.roles if x[model.open[index, r]] > 0.5)
        covered: tuple[Role, ...] = tuple(r for r in table.roles if r not in filled and r not in left_open)
        meals.append(
            PlannedMeal(
                table.day,
                table.meal,
                table.portions,
                tuple(_planned(problem, i, uses[i]) for i in chosen),
                left_open,
                covered,
                ", ".join(o.name for o in table.occasions if table.meal in o.meals),
            )
        )
    return tuple(meals)


def is_pinned(problem: MenuProblem, candidate: Candidate) -> bool:
    """Whether someone asked for this dish at this table."""
    table = problem.tables[candidate.table]
    return any(
        pin.day == table.day and pin.dish == candidate.dish.name and pin.meal in (None, table.meal)
        for pin in problem.request.pinned
    )


def _planned(problem: MenuProblem, index: int, uses: tuple[ChosenUse, ...]) -> PlannedDish:
    candidate = problem.candidates[index]
    return PlannedDish(
        candidate.role,
        candidate.dish.name,
        candidate.batches,
        uses,
        candidate.instead,
        pinned=is_pinned(problem, candidate),
    )


def share_rows(
    problem: MenuProblem, needs: Mapping[str, Mapping[int, Fraction]], pace: Fraction
) -> tuple[ShareRow, ...]:
    """Each averaged product's even share against what menu and standing use draw (containers)."""
    rows = []
    for stock in problem.stocks:
        if not stock.averaged:
            continue
        used = sum(needs.get(stock.name, {}).values(), Fraction(0))
        drawn = used / stock.exact_container + stock.stood
        share = stock.share_at(pace)
        low, high = stock.band_at(pace)
        off = max(Fraction(0), low - drawn, drawn - high)
        rows.append(ShareRow(stock.name, share, low, high, drawn, off, ""))
    return tuple(rows)
