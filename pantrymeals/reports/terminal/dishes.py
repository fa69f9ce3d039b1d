"""Dishes that fit a larder, by role; then those that lack one product, by that product."""

from __future__ import annotations

from itertools import groupby

from pantrymeals.plans.dishes import DishBook, Taker, Takers
from pantrymeals.records import Dish, Household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import amount_and_name
from pantrymeals.words import listed, near_day, plural, times

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


_MOST_NOW, _MOST_LATER = 12, 6
"""Dishes shown one by one, so that all is one screen."""


def write_takers(paper: Paper, household: Household, found: Takers) -> None:
    """What is there of each kind, the dishes that can be cooked from it today, the others, and batch days."""
    paper.heading(f"What takes {found.said}")
    there = [amount_and_name(household, name, base) for name, base in found.there.items() if base]
    paper.line(f"There to use: {listed(there, 8) if there else 'nothing'}.", hang=2)
    now = [t for t in found.dishes if not t.why_not]
    later = [t for t in found.dishes if t.why_not]
    for title, dishes, most in (("From what is there today", now, _MOST_NOW), ("Not today", later, _MOST_LATER)):
        if dishes:
            paper.line((f"{title} ({len(dishes)})", "bold"))
        for taker in dishes[:most]:
            paper.line(_taker_words(household, taker), indent=2, hang=2)
        if len(dishes) > most:
            paper.line(f"and {listed((t.dish.name for t in dishes[most:]), 4)}", indent=2, hang=2)
    if found.batch_days:
        paper.line(("Batch days: ", "bold"), f"{listed(b.name for b in found.batch_days)}.", hang=2)
    if not found.dishes and not found.batch_days:
        paper.line("No dish here takes it.")


def _taker_words(household: Household, taker: Taker) -> str:
    """'Rhubarb crumble (sweet, 50 min): 2 pt Rhubarb, stewed; eaten twice, last 4 Jan'."""
    dish, eaten = taker.dish, ""
    if taker.eaten is not None:
        eaten = f"; eaten {times(taker.eaten[0])}, last {near_day(taker.eaten[1], household.today)}"
    why = f"; {taker.why_not}" if taker.why_not else ""
    takes = amount_and_name(household, taker.option.product, taker.option.amount)
    return f"{dish.name} ({dish.role}, {dish.minutes} min): {takes}{why}{eaten}"
