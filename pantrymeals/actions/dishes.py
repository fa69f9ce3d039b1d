"""Which dishes fit this larder, which are one product away, and how often each was eaten: the command `dishes`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import kinds_meant
from pantrymeals.actions.book.pantry import has_book, pantry_book
from pantrymeals.actions.larder import load_larder, pantry_of
from pantrymeals.forecast.ready_dishes import why_not_now
from pantrymeals.larder.on_hand import there_today
from pantrymeals.plans.dishes import DishBook, Taker, Takers
from pantrymeals.records import FIRST_DAY, ROLES, Household
from pantrymeals.tables import asked as tables_of


def dishes_answer(folder: Path, today: date | None, calendar_day: date, role: str = "") -> Answer:
    """The dishes of a folder, of one role where it is said. Raises PantryError as reading the folder does."""
    from pantrymeals.reports.terminal.dishes import write_dishes

    household = load_larder(folder, today, calendar_day)
    book = dish_book(household, Counter(dish for _, dish in _eaten(folder, household)), role)
    return Answer(lambda paper: write_dishes(paper, book), tables=lambda: tables_of.dishes(book))


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


def takers_answer(folder: Path, today: date | None, calendar_day: date, said: str, role: str = "") -> Answer:
    """The dishes that take a product, of any of the kinds that the words speak of. Raises PantryError."""
    from pantrymeals.reports.terminal.dishes import write_takers

    household = load_larder(folder, today, calendar_day)
    found = takers(household, said, _eaten(folder, household), role)
    return Answer(lambda paper: write_takers(paper, household, found), tables=lambda: tables_of.takers(found))


def takers(household: Household, said: str, eaten: Iterable[tuple[date, str]] = (), role: str = "") -> Takers:
    """The same, from a household that has been read; what can be cooked today first. eaten: in order of days."""
    kinds, there = kinds_meant(household.products, said), there_today(household)
    days: dict[str, list[date]] = {}
    for day, name in eaten:
        days.setdefault(name, []).append(day)
    found = []
    for dish in household.dishes.values():
        option = next((o for use in dish.uses for o in use.options if o.product in kinds), None)
        if option is not None and role in ("", dish.role):
            when = days.get(dish.name)
            why_not = why_not_now(household, dish, there)
            found.append(Taker(dish, option, why_not, (len(when), when[-1]) if when else None))
    found.sort(key=lambda t: (t.why_not != "", ROLES.index(t.dish.role), -t.dish.liking, t.dish.name))
    batch = (b for b in household.batch_days.values() if any(o.product in kinds for use in b.uses for o in use.options))
    return Takers(said, {name: there[name] for name in kinds}, tuple(found), () if role else tuple(batch))


def _eaten(folder: Path, household: Household) -> tuple[tuple[date, str], ...]:
    """(day, dish) of all that the book has as eaten, in order of days."""
    if not has_book(folder):
        return ()
    with pantry_book(pantry_of(folder, household), reading=True) as book:
        return book.served(FIRST_DAY)
