"""What changes of an announced menu, as a short list."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import MealChange
from pantrymeals.records import MealName
from pantrymeals.reports.terminal.menu import place_words
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.units import as_words
from pantrymeals.words import long_day, plural, sentence, short_day, span

Scaled = tuple[date, MealName, str, Fraction, Fraction]
"""A dish that stays, made in more or fewer batches: (day, meal, dish, was, is)."""


def write_changes(
    paper: Paper,
    days: tuple[date, date],
    happened: Iterable[str],
    changes: Iterable[MealChange],
    scaled: Iterable[Scaled],
    fewest: bool,
) -> None:
    """What happened, how many meals change, each change, and what is only made in another amount."""
    listed = list(changes)
    paper.line(("The announced menu, planned anew", "bold"))
    paper.line(span(*days))
    for text in happened:
        paper.line(sentence(text))
    paper.heading("What changes")
    paper.line(how_many(listed, fewest))
    for change in listed:
        _write_change(paper, change)
    for day, meal, dish, was, now in scaled:
        paper.line((f"{short_day(day)}, {meal}: ", ""), f"{dish} stays; {batches_words(was, now)}.", indent=2, hang=2)


def how_many(changes: list[MealChange], fewest: bool) -> str:
    """'2 meals change; no menu that fits changes fewer.'"""
    meals = len({(c.day, c.meal) for c in changes})
    if not meals:
        return "No dish changes."
    proof = "; no menu that keeps the rules changes fewer." if fewest else "."
    return f"{plural(meals, 'meal')} {'changes' if meals == 1 else 'change'}{proof}"


def batches_words(was: Fraction, now: Fraction) -> str:
    """'make it double', 'make 3 batches instead of 2', 'make half a batch instead of 1'."""
    if was == 1 and now == 2:
        return "make it double"
    many = (
        plural(int(now), "batch")
        if now.denominator == 1
        else f"{as_words(now)} {'of a batch' if now < 1 else 'batches'}"
    )
    return f"make {many} instead of {as_words(was)}"


def _write_change(paper: Paper, change: MealChange) -> None:
    head = f"{long_day(change.day)}, {place_words(change.meal, change.role)}"
    if not change.before:
        said = f"{change.after} (nothing stood there)"
    elif not change.after:
        said = f"{change.before} falls out"
    else:
        said = f"{change.after} instead of {change.before}"
    paper.line((f"{head}: ", "bold"), said, indent=2, hang=2)
    if change.why:
        paper.line((sentence(change.why), "dim"), indent=4, hang=2)
