"""What the table said of dishes, heeded: liking and how many a dish feeds, from the words that stand in the book."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.records import TABLE_WORDS, Dish, Heard, Household, TableWord

LIKING = {"again": 1, "not again": -2}
FEEDS = {"too much": 1, "too little": -1}
"""A word's effect: on the liking; on how many a dish feeds, in eighths of what is written."""
MOST_EIGHTHS = 4
LEAST_LIKING, MOST_LIKING = -2, 2


def heeding(household: Household, words: Iterable[TableWord]) -> Household:
    """The household with its dishes as the table's words make them; words on dishes it has no longer stay unheeded."""
    said: dict[str, list[TableWord]] = {}
    for word in words:
        if word.dish in household.dishes and word.word in TABLE_WORDS:
            said.setdefault(word.dish, []).append(word)
    dishes, heard = dict(household.dishes), {}
    for name, its in said.items():
        dish = household.dishes[name]
        heard[name] = Heard(tuple(its), dish.liking, dish.serves)
        dishes[name] = heeded(dish, its)
    return replace(household, dishes=dishes, heard=heard)


def heeded(dish: Dish, words: Iterable[TableWord]) -> Dish:
    """A dish after those words, in the order they were said.

    Of 'again' and 'not again' the latest of each person counts: 1 more, 2 less, within -2 to 2. Each 'too much' means
    that it feeds an eighth more than is written, each 'too little' an eighth less, of one meal once; within half as
    much again and half.
    """
    words = tuple(words)
    latest = {word.who.casefold(): LIKING[word.word] for word in words if word.word in LIKING}
    liking = max(LEAST_LIKING, min(MOST_LIKING, dish.liking + sum(latest.values())))
    eighths = sum(FEEDS.get(word, 0) for _, word in {(word.day, word.word) for word in words})
    eighths = max(-MOST_EIGHTHS, min(MOST_EIGHTHS, eighths))
    return replace(dish, liking=liking, serves=dish.serves * (1 + Fraction(eighths, 8)))
