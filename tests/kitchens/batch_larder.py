"""A cellar of apples, a freezer of berries and a shelf of jam, in which batch days can be reckoned by hand.

Nothing is cooked, so only standing use eats. 40 lb of apples keep to Sunday 25 January, twenty days after
the first Monday; five pounds a week are eaten: 14 2/7 lb, and 25 5/7 lb would be left.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import BatchDay, FreeHours, Household, Option
from tests.kitchens.tiny import day, jar, kitchen, loose, lot, menu, qty, standing, supper, use

SATURDAY = 5


def batch(name: str, uses: list[str], makes: list[str], minutes: int = 60, **changes: Any) -> BatchDay:
    """A batch day; makes are written as uses are."""
    made = tuple(Option(o.product, o.amount, o.as_written) for text in makes for o in use(text).options)
    return BatchDay(name, tuple(use(text) for text in uses), made, minutes, **changes)


def cellar(*, apples: dict[str, Any] | None = None, batches: list[BatchDay] | None = None, **changes: Any) -> Household:
    """The larder; apples: what is otherwise of that product."""
    products = [
        replace(loose("Apples", must_last_to=day(20), deadline_kind="keeps to"), **(apples or {})),
        jar("Sauce", acid="high"),
    ]
    fields: dict[str, Any] = {
        "products": products,
        "lots": [lot("Apples", 40, "lb", where="C")],
        "dishes": [],
        "standing": (standing("Apples", "5 lb"),),
        "batch_days": {b.name: b for b in batches or [batch("Sauce the apples", ["10 lb Apples"], ["4 qt Sauce"])]},
        "batch_hours": (FreeHours("Sat", 120),),
    } | changes
    return kitchen(**fields)


def idle(household: Household, days: int = 7) -> MenuPlan:
    """So many days on which nothing is cooked."""
    return menu(household, [supper(day(n), open_roles=("main",)) for n in range(days)])


def pounds(number: int | str) -> Fraction:
    """Pounds in the base measure."""
    return qty(f"{number} lb")
