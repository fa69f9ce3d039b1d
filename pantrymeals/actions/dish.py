"""How one dish is cooked for the next table that has a place for it: the sheet of the command `dish`."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals import tables as tables_of
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import day_meant, dish_meant
from pantrymeals.larder.left_over import left_over
from pantrymeals.larder.on_hand import thawed_by, usable
from pantrymeals.larder.table import Table, batches, helps, marks_of_dish, must_not, refusals, tables
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.week.containers import opened_for
from pantrymeals.menu.week.possible import alternatives
from pantrymeals.plans.dish import DishSheet
from pantrymeals.plans.menu import ChosenUse, MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.pull.pull import pull_list
from pantrymeals.records import Dish, Household, Instead

_TABLES_AHEAD = 14
"""Days among which a table with the dish's role is looked for: no role of a week stays away longer."""


def dish_sheet(household: Household, said: str, on: str = "") -> DishSheet:
    """A dish laid out for the next table that has its role, and for which what it takes is thawed in time.

    on: a weekday or date of the fortnight instead. Raises NotUnderstood where no one dish, or no day, is meant.
    """
    dish = household.dishes[dish_meant(household, said)]
    day = day_meant(on, household.today, _TABLES_AHEAD) if on else None
    found = [t for t in tables(household, household.today, _TABLES_AHEAD) if _has_a_place(t, dish)]
    sheets = (_sheet(household, dish, table) for table in found if day is None or table.day == day)
    first = next(sheets, None) or _sheet(household, dish, None, day)
    thawed = next((s for s in sheets if not s.too_late), first) if first.too_late else first
    return thawed if thawed is first else replace(thawed, no_sooner=first.too_late)


def _has_a_place(table: Table, dish: Dish) -> bool:
    unfit = (table.tins and "tins" in dish.not_for) or ("feast" in table.own_kinds and "feast" in dish.not_for)
    return dish.role in table.roles and not unfit


def _sheet(household: Household, dish: Dish, table: Table | None, asked: date | None = None) -> DishSheet:
    """The sheet for one table; for one batch where no table has the role."""
    portions = table.portions if table else dish.serves
    times = batches(household, dish, portions) if table else Fraction(1)
    day = table.day if table else asked or household.today
    beside = alternatives(table, dish) if table else ()
    barred, only_without = _must_not(household, dish, table)
    left_out = frozenset(name for *_, names in only_without for name in names)
    plan = _plan(dish, day, table, times, _taken(household, dish, beside, times, day, left_out), household)
    taken = {use.product for use in plan.meals[0].dishes[0].uses}
    here = replace(
        household,
        meals=tuple(m for m in household.meals if table and m.meal == table.meal),
        part_jars=tuple(jar for jar in household.part_jars if jar.product in taken),
    )
    return DishSheet(
        dish=dish,
        day=day,
        meal=table.meal if table else None,
        portions=portions,
        batches=times,
        uses=tuple(tuple(replace(o, amount=o.amount * times) for o in use.options) for use in dish.uses),
        taken=plan.meals[0].dishes[0].uses,
        barred=barred,
        only_without=only_without,
        beside=beside,
        refused=refusals(dish, table.eaters if table else ()),
        too_late=_too_late(household, plan),
        no_sooner=(),
        left_by=_named(household, lambda d: d.leaves is not None and d.leaves.name == dish.needs_left),
        becomes=_named(household, lambda d: dish.leaves is not None and d.needs_left == dish.leaves.name),
        pull=pull_list(here, plan),
        over=next((one for one in left_over(household, plan) if table and not one.name), None),
    )


def dish_answer(household: Household, said: str, on: str = "") -> Answer:
    """A dish to read, as JSON, or as a table of what to fetch. Raises NotUnderstood as ``dish_sheet`` does."""
    from pantrymeals.reports.json.dish import dish_json
    from pantrymeals.reports.pages.dish import dish_pdf
    from pantrymeals.reports.terminal.dish import write_dish

    sheet = dish_sheet(household, said, on)
    return Answer(
        lambda paper: write_dish(paper, household, sheet),
        json=lambda: dish_json(household, sheet),
        tables=lambda: (tables_of.pull_list(sheet.pull),),
        page=lambda printing: dish_pdf(household, sheet, printing),
    )


def _named(household: Household, fits: Callable[[Dish], bool]) -> tuple[str, ...]:
    return tuple(sorted(d.name for d in household.dishes.values() if fits(d)))


def _must_not(
    household: Household, dish: Dish, table: Table | None
) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str, tuple[str, ...]], ...]]:
    """Who must not eat it, with nothing noted: in any case, and only with some of its options."""
    barred, without = [], []
    for person in table.eaters if table else ():
        for mark in sorted(must_not(person, table.day) if table else ()):
            if table and any(helps(i, person, mark, table.day) for i in dish.instead):
                continue
            carry = [
                [o.product for o in u.options if mark in household.products[o.product].contents] for u in dish.uses
            ]
            full = any(len(names) == len(use.options) for names, use in zip(carry, dish.uses, strict=True))
            if mark in marks_of_dish(household, dish) or full:
                barred.append((person.name, mark))
            elif any(carry):
                without.append((person.name, mark, tuple(name for names in carry for name in names)))
    return tuple(barred), tuple(without)


def _taken(
    household: Household, dish: Dish, beside: Iterable[Instead], times: Fraction, day: date, left_out: frozenset[str]
) -> tuple[ChosenUse, ...]:
    """Of each use the first option that is there, thawed by then, and may be eaten; equal products summed."""
    there, thawed = dict(usable(household, day)), thawed_by(household, day)
    taken: dict[str, ChosenUse] = {}
    for use, count in [*((u, times) for u in dish.uses), *((u, Fraction(1)) for i in beside for u in i.uses)]:
        may = [o for o in use.options if o.product not in left_out] or list(use.options)
        enough = [o for o in may if there[o.product] >= o.amount * count]
        ready = (o for o in enough if thawed.get(o.product, there[o.product]) >= o.amount * count)
        option = next(ready, next(iter(enough), may[0]))
        there[option.product] -= option.amount * count
        before = taken.get(option.product)
        taken[option.product] = ChosenUse(
            option.product,
            option.amount * count + (before.amount if before else 0),
            option.stand_in or bool(before and before.stand_in),
        )
    return tuple(taken.values())


def _plan(
    dish: Dish, day: date, table: Table | None, times: Fraction, taken: tuple[ChosenUse, ...], household: Household
) -> MenuPlan:
    """A menu of this one dish, so that what it opens, thaws and asks beforehand is told as of any menu."""
    planned = PlannedDish(dish.role, dish.name, times, taken)
    meal = PlannedMeal(day, table.meal if table else "supper", table.portions if table else dish.serves, (planned,))
    opened = opened_for(household, day, 1, {use.product: {0: use.amount} for use in taken}, {})
    bare = MenuPlan(
        day, 1, (meal,), opened.openings, opened.waste, (), (), Fraction(1), 0.0, 0.0, 0.0, 0.0, 0, "work", 0,
        begun=opened.begun,
    )  # fmt: skip
    return with_lots(household, bare)


def _too_late(household: Household, plan: MenuPlan) -> tuple[tuple[str, date], ...]:
    """What would have had to come out before today, and when it is ready if it comes out today."""

    def found() -> Iterator[tuple[str, date]]:
        for opening in plan.openings:
            if opening.out < household.today:
                yield opening.product, household.today + timedelta(days=household.products[opening.product].thaw_days)

    return tuple(dict.fromkeys(found()))
