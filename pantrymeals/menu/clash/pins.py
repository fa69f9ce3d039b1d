"""Why a dish that was asked for cannot stand on its day, and what would let it: 'eaten only from October to March'."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from pantrymeals.larder.must_reach import may_be_planned
from pantrymeals.larder.table import Table, days_between, waits_in, weekday
from pantrymeals.menu.request import Pin
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.records import WEEKDAYS, Dish, Household, Product
from pantrymeals.words import MONTHS, day_of_month, listed, long_day, plural

MOST_DAYS = 3


def why_not(problem: MenuProblem, pin: Pin) -> str:
    """What keeps a dish from its day by itself, and on which days it could stand; '' where nothing does."""
    household, dish = problem.household, problem.household.dishes[pin.dish]
    laid = [t for t in problem.tables if t.day == pin.day and pin.meal in (None, t.meal)]
    fitting = [t for t in laid if dish.role in t.roles]
    if any(c.dish.name == pin.dish and problem.tables[c.table] in fitting for c in problem.candidates):
        gap = days_between(household, dish)
        near = [day for day, name in household.recent if name == pin.dish and 0 < (pin.day - day).days < gap]
        if not near:
            return ""
        return _and_when(problem, pin, f"it was eaten on {long_day(max(near))} and waits {plural(gap, 'day')}")
    if not fitting:
        return _and_when(problem, pin, f"no meal of that day has a {dish.role}")
    reason = next((said for table in fitting for said in _reasons(household, dish, table)), "")
    return _and_when(problem, pin, reason or "what it takes is not there, or not thawed, by then")


def _and_when(problem: MenuProblem, pin: Pin, reason: str) -> str:
    """The reason, and the days of the menu on which the dish could stand."""
    days = sorted({problem.tables[c.table].day for c in problem.candidates if c.dish.name == pin.dish} - {pin.day})
    gap = days_between(problem.household, problem.household.dishes[pin.dish])
    eaten = [day for day, name in problem.household.recent if name == pin.dish]
    free = [long_day(day) for day in days if all((day - before).days >= gap for before in eaten)]
    return f"{reason}; it could stand on {listed(free, MOST_DAYS)}" if free else reason


def _reasons(household: Household, dish: Dish, table: Table) -> Iterator[str]:
    """What forbids a dish at a table by itself; of minutes, marks and the shelf the clash itself tells."""
    day, name = table.day, weekday(table.day)
    if dish.season and day.month not in dish.season:
        yield f"it is eaten only {_months(dish.season)} (its 'season' says so)"
    if when := waits_in(household.rules, dish, day):
        yield f"no dish with its tags is cooked in these days ('without' of {when} in the house rules)"
    if dish.weekdays and name not in dish.weekdays:
        yield f"it stands only on {listed(d for d in WEEKDAYS if d in dish.weekdays)} (its 'weekdays' say so)"
    if "feast" in table.own_kinds and "feast" in dish.not_for:
        yield "it is no dish for a feast (its 'not_for' says so)"
    if table.tins and "tins" in dish.not_for:
        yield "it cannot be carried in the lunch tins"
    if dish.only_for and dish.only_for not in table.kinds:
        yield f"it is kept for a {dish.only_for} day; an occasion of that kind in calendar.yaml would let it"
    for use in dish.uses:
        products = [household.products[o.product] for o in use.options]
        found = [_why_away(household, product, day) for product in products]
        if all(found):
            yield " and ".join(dict.fromkeys(found))


def _why_away(household: Household, product: Product, day: date) -> str:
    """Why a product is on no menu that day, whatever is there; '' where it may be."""
    if not product.on_menus:
        return f"{product.name} is kept off the menus (its 'on_menus' says so)"
    if product.eaten_in and day.month not in product.eaten_in:
        return f"{product.name} is eaten only {_months(product.eaten_in)} (its 'eaten_in' says so)"
    if not may_be_planned(household, product, day) and product.must_last_to is not None:
        return f"{product.name} keeps to {day_of_month(product.must_last_to)}"
    return ""


def _months(months: Collection[int]) -> str:
    """'from October to March', 'in May', 'in January and June'."""
    run = [m for m in months if (m - 2) % 12 + 1 not in months]
    if len(run) != 1:
        return f"in {listed(MONTHS[m - 1] for m in sorted(months))}"
    last = next(m for m in months if m % 12 + 1 not in months)
    return f"in {MONTHS[run[0] - 1]}" if run[0] == last else f"from {MONTHS[run[0] - 1]} to {MONTHS[last - 1]}"
