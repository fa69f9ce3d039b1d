"""Dishes that fit a larder, by role; then those that lack one product, by that product."""

from __future__ import annotations

from itertools import groupby

from pantrymeals.plans.dishes import DishBook
from pantrymeals.records import Dish
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import listed, plural, times

_MOST_NAMES = 4


def write_dishes(paper: Paper, book: DishBook) -> None:
    """What fits, and how often it was eaten where a book tells; what would fit with one thing more."""
    paper.heading(f"{plural(len(book.fit), 'dish')} of this larder's own products")
    for role, dishes in groupby(book.fit, key=lambda d: d.role):
        named = list(dishes)
        paper.blank()
        paper.line((f"{role} ({len(named)})", "bold"))
        for dish in named:
            paper.line(_line(dish, book), indent=2, hang=2)
    if book.one_away:
        paper.heading("One product away")
        for product, names in book.one_away.items():
            paper.line(f"{product}: {listed(names, _MOST_NAMES)}", hang=2)
    if book.farther:
        paper.blank()
        paper.line(f"{plural(book.farther, 'dish')} of the starter book lack more than one product.")


def _line(dish: Dish, book: DishBook) -> str:
    eaten = f"; eaten {times(book.eaten[dish.name])}" if dish.name in book.eaten else ""
    own = ", your own" if dish.book == "household" else ""
    return f"{dish.name} ({dish.minutes} min{own}{eaten})"
