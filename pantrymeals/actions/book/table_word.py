"""The table's word on a dish: entered after a meal, heeded by the next menu, taken back with `undo`."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from textwrap import wrap

from msgspec import Struct

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import dish_meant
from pantrymeals.book.book import Book
from pantrymeals.book.lines import SAID, ServedLine, is_a_meal
from pantrymeals.errors import NotUnderstood, PantryError
from pantrymeals.records import MEALS, TABLE_WORDS, Household
from pantrymeals.reports.table_words import heard_words
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import either, long_day, sentence

LOOKS_BACK_DAYS = 7


class WordMeant(Struct, frozen=True):
    """A word, and the dish that it is said of; '' for the last meal's."""

    word: str
    dish: str


def word_meant(household: Household, text: str) -> WordMeant:
    """'not again beet soup' understood. Raises NotUnderstood for another word, or where no one dish is meant."""
    plain = " ".join(text.split())
    for word in sorted(TABLE_WORDS, key=len, reverse=True):
        if plain.casefold() == word or plain.casefold().startswith(f"{word} "):
            rest = plain[len(word) :].strip()
            return WordMeant(word, dish_meant(household, rest) if rest else "")
    raise NotUnderstood(f"'{text[:60]}' does not begin with a word of the table: {either(TABLE_WORDS)}")


def last_dish(household: Household, book: Book, day: date) -> tuple[date, str, str]:
    """(day, meal, dish) of the last meal that the book has as served, its main dish first. Raises PantryError."""
    served = [x for x in book.pulled(day - timedelta(days=LOOKS_BACK_DAYS), day) if is_a_meal(x[1])]
    if not served:
        raise PantryError("the book has no meal of these days as served; say of which dish: 'said again beet soup'")

    def order(of: tuple[date, str, str]) -> tuple[date, int, bool, str]:
        when, meal, name = of
        dish = household.dishes.get(name)
        place = [*MEALS].index(meal) if meal in MEALS else -1
        return when, place, dish is not None and dish.role in ("main", meal), name

    return max(served, key=order)


def lines_of(household: Household, book: Book, meant: WordMeant, day: date) -> tuple[ServedLine, ...]:
    """The line that says it, under the day of the meal. Raises PantryError where none is named and none was served."""
    if meant.dish:
        when = max((on for on, _, name in book.pulled(date.min, day) if name == meant.dish), default=day)
        return (ServedLine(when, f"{SAID}{meant.word}", meant.dish),)
    when, _, dish = last_dish(household, book, day)
    return (ServedLine(when, f"{SAID}{meant.word}", dish),)


def said_now(household: Household, lines: Iterable[object]) -> list[str]:
    """What a word makes of its dish from now on. household: with the word heeded."""
    said = []
    for line in lines:
        if isinstance(line, ServedLine) and line.dish in household.heard:
            heard, dish = household.heard[line.dish], household.dishes[line.dish]
            told = f"Of {long_day(line.served)}. {sentence(heard_words(heard, dish))}"
            said += wrap(told, 80, initial_indent="  ", subsequent_indent="    ")
    return said


def heard_answer(household: Household) -> Answer:
    """Every word that stands, dish by dish, and what it does."""

    def write(paper: Paper) -> None:
        paper.heading("What the table said")
        if not household.heard:
            paper.line("Nothing yet. After a meal: 'said again', 'said not again', 'said too much', 'said too little'.")
        for name, heard in sorted(household.heard.items()):
            paper.line((name, "bold"), f": {sentence(heard_words(heard, household.dishes[name]))}", hang=2)

    return Answer(write)
