"""Which dishes fit this larder, which are one product away, and how often each was eaten: the command `dishes`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.pantry import has_book, pantry_book
from pantrymeals.actions.larder import load_larder, pantry_of
from pantrymeals.plans.dishes import DishBook
from pantrymeals.records import FIRST_DAY, ROLES, Household


def dishes_answer(folder: Path, today: date | None, calendar_day: date, role: str = "") -> Answer:
    """The dishes of a folder, of one role where it is said. Raises PantryError as reading the folder does."""
    from pantrymeals.reports.terminal.dishes import write_dishes

    household = load_larder(folder, today, calendar_day)
    book = dish_book(household, _eaten(folder, household), role)
    return Answer(lambda paper: write_dishes(paper, book))


def dish_book(household: Household, eaten: Mapping[str, int], role: str = "") -> DishBook:
    """The same, from a household that has been read."""
    fit = sorted(
        (d for d in household.dishes.values() if role in ("", d.role)), key=lambda d: (ROLES.index(d.role), d.name)
    )
    away: dict[str, list[str]] = {}
    farther = 0
    for name, lacking in sorted(household.skipped_dishes.items()):
        if len(lacking) == 1:
            away.setdefault(lacking[0], []).append(name)
        else:
            farther += 1
    ordered = sorted(away.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    return DishBook(tuple(fit), {product: tuple(names) for product, names in ordered}, farther, eaten)


def _eaten(folder: Path, household: Household) -> Mapping[str, int]:
    if not has_book(folder):
        return {}
    with pantry_book(pantry_of(folder, household), reading=True) as book:
        return Counter(dish for _, dish in book.served(FIRST_DAY))
