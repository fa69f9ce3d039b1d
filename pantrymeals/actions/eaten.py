"""What did we eat last Easter: the command `eaten`."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.pantry import pantry_book
from pantrymeals.actions.larder import book_movements, pantry_of
from pantrymeals.actions.when import Days, when_meant
from pantrymeals.book.book import Book
from pantrymeals.book.lines import is_a_meal
from pantrymeals.larder.book_history import lines_of
from pantrymeals.larder.table import occasions_on
from pantrymeals.plans.evening import EatenDay, EatenThen
from pantrymeals.records import FIRST_DAY, MEALS, Household
from pantrymeals.tables import asked as tables_of


def eaten_answer(folder: Path, household: Household, said: str) -> Answer:
    """The dishes of a time gone by, with the table's word; what left the shelves where no dish is written down.

    Raises NotUnderstood for what is no such time.
    """
    from pantrymeals.reports.terminal.evening import write_eaten

    then = when_meant(household, said)
    with pantry_book(pantry_of(folder, household), reading=True) as book:
        days = _days(household, book, then)
        kept = book.served(FIRST_DAY)
    left = () if days else _left_the_shelf(folder, household, then)
    found = EatenThen(then.first, then.last, then.note, days, left, kept[0][0] if kept else None)
    return Answer(lambda paper: write_eaten(paper, household, found), tables=lambda: tables_of.eaten(found))


def _days(household: Household, book: Book, then: Days) -> tuple[EatenDay, ...]:
    order: dict[str, int] = {meal: number for number, meal in enumerate(MEALS)}
    served: dict[date, dict[str, list[str]]] = {}
    for day, meal, name in sorted(book.pulled(then.first, then.last), key=lambda x: (x[0], order.get(x[1], 9), x[2])):
        if is_a_meal(meal):
            served.setdefault(day, {}).setdefault(meal, []).append(name)
    said: dict[tuple[date, str], list[str]] = {}
    for day, name, word, who in book.said_of_dishes():
        said.setdefault((day, name), []).append(f"{word}{f' ({who})' if who else ''}")
    return tuple(
        EatenDay(
            day,
            tuple(o.name for o in occasions_on(household, day)),
            tuple((meal, tuple((name, tuple(said.get((day, name), ()))) for name in names))
                  for meal, names in meals.items()),
        )
        for day, meals in served.items()
    )  # fmt: skip


def _left_the_shelf(folder: Path, household: Household, then: Days) -> tuple[tuple[str, Fraction], ...]:
    """(product, containers) used on those days by the book, most of its lines first."""
    lines = lines_of(household.products, book_movements(folder, household))
    used = {
        name: -sum((x.amount for x in own if x.sort == "used" and then.first <= x.day <= then.last), Fraction(0))
        for name, own in lines.items()
    }
    return tuple(sorted((pair for pair in used.items() if pair[1] > 0), key=lambda pair: pair[0]))
