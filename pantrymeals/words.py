"""The one set of words: days and months, numbers, many of a thing, lists, and products as a sentence names them.

Our own names: the machine's language must not change a sentence.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from pantrymeals.units import as_words, unit_named

if TYPE_CHECKING:
    from pantrymeals.records import Product

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
COUNTED = {word: number for number, word in enumerate(NUMBERS) if number}
"""What 'one' to 'twelve' count."""

LONG_UNITS = {
    "qt": "quart", "pt": "pint", "hp": "half-pint", "half-gal": "half-gallon", "gal": "gallon",
    "lb": "pound", "oz": "ounce", "cup": "cup", "kg": "kilo", "l": "litre",
}  # fmt: skip

_JAR_LETTERS = ("gal", "qt", "pt", "hp")

AFTER_THE_NAME = ("in ", "on ", "of ", "with ", "no ", "without ")
"""What follows a comma in a product's name and still follows it in speech: 'carrots in sand'."""

PIECES = ("bird", "piece", "each")
"""Sizes that are the thing itself: 'three whole chickens', not 'three birds of whole chicken'."""


@lru_cache(maxsize=8192)
def fold(text: str) -> str:
    """A name as it is matched: without regard to case or doubled spaces."""
    return " ".join(text.casefold().split())


def weekday_name(day: date) -> str:
    """'Saturday'."""
    from pantrymeals.records import WEEKDAYS_IN_FULL

    return WEEKDAYS_IN_FULL[day.weekday()]


def month_name(day: date) -> str:
    """'January'."""
    return MONTHS[day.month - 1]


def long_day(day: date) -> str:
    """'Saturday 17 January'."""
    return f"{weekday_name(day)} {day.day} {month_name(day)}"


def short_day(day: date) -> str:
    """'Sat 17 Jan'."""
    from pantrymeals.records import WEEKDAYS

    return f"{WEEKDAYS[day.weekday()]} {short_date(day)}"


def day_of_month(day: date) -> str:
    """'Sat 17'."""
    from pantrymeals.records import WEEKDAYS

    return f"{WEEKDAYS[day.weekday()]} {day.day}"


def short_date(day: date) -> str:
    """'15 Feb'."""
    return f"{day.day} {month_name(day)[:3]}"


def day_and_year(day: date) -> str:
    """'17 Jan 2026'."""
    return f"{short_date(day)} {day.year}"


def ahead_words(said: object, today: date) -> str:
    """'2027-06-01 is ahead of today, 2026-11-28'."""
    return f"{said} is ahead of today, {today}"


def near_day(day: date, today: date) -> str:
    """'8 Mar', with the year when it is not this one: '4 May 2027'."""
    return day_and_year(day) if day.year != today.year else short_date(day)


def near_short_day(day: date, today: date) -> str:
    """'Sat 17 Jan', with the year when it is not this one: 'Mon 11 Jan 2027'."""
    return short_day(day) + (f" {day.year}" if day.year != today.year else "")


def yearly(day: tuple[int, int]) -> str:
    """'1 May' of (5, 1)."""
    return f"{day[1]} {MONTHS[day[0] - 1]}"


def season_name(year: int, opens: tuple[int, int]) -> str:
    """'2026' for a season of one year's summer, '2026-27' where it opens in spring and runs over the new year."""
    return book_year_name(year) if opens[0] > 6 else str(year)


def book_year_name(year: int) -> str:
    """'2026-27' of the book year that begins in 2026."""
    return f"{year}-{(year + 1) % 100:02d}"


def span(first: date, last: date) -> str:
    """'Saturday 17 to Friday 23 January 2026', naming month and year once where they are shared."""
    if first == last:
        return f"{long_day(first)} {first.year}"
    if first.year != last.year:
        head = f"{long_day(first)} {first.year}"
    elif first.month != last.month:
        head = long_day(first)
    else:
        head = f"{weekday_name(first)} {first.day}"
    return f"{head} to {long_day(last)} {last.year}"


def short_span(first: date, last: date) -> str:
    """'Sat 17 Jan to Fri 23 Jan', or the one day."""
    return short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"


def small_count(number: int) -> str:
    """'three', or figures above twelve."""
    return NUMBERS[number] if 0 <= number < len(NUMBERS) else str(number)


def times(number: int) -> str:
    """'once', 'twice', '3 times'."""
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def many(name: str) -> str:
    """More than one of it: 'loaves', 'bunches', 'berries', 'qt bags', 'packs of 6'."""
    if " of " in name:
        head, _, tail = name.partition(" of ")
        return f"{many(head)} of {tail}"
    if name in ("ft", "m"):
        return name
    if name.endswith("f"):
        return name[:-1] + "ves"
    if name.endswith("y") and name[-2:-1] not in ("a", "e", "o", "u"):
        return name[:-1] + "ies"
    return name + ("es" if name.endswith(("s", "x", "ch", "sh")) else "s")


def one(name: str) -> str:
    """'long keeper' of 'long keepers': before another noun, one stands for many."""
    return name[:-1] if name.endswith("s") and not name.endswith(("ss", "us")) else name


def plural(number: int, name: str) -> str:
    """'1 jar', '3 jars'."""
    return f"{number} {name if number == 1 else many(name)}"


def verb(name: str, plain: str) -> str:
    """'keep' for potatoes, 'keeps' for cabbage."""
    first = name.split(" in ")[0]
    return plain if first.endswith("s") and not first.endswith(("ss", "us")) else plain + "s"


def listed(items: Iterable[str], most: int | None = None) -> str:
    """'a, b and c'; beyond ``most`` names 'a, b, c and 4 more'."""
    names = list(items)
    if most is not None and len(names) > most:
        names = [*names[:most], f"{len(names) - most} more"]
    return _joined(names, "and")


def the_house(name: str) -> str:
    """'the Tarrow' (table), 'the hut' of a household that has its article: as it stands before 'table' or 'larder'."""
    return name if name.casefold().startswith("the ") else f"the {name}"


def either(items: Iterable[str]) -> str:
    """'a, b or c'."""
    return _joined(list(items), "or")


def _joined(names: list[str], last: str) -> str:
    return f"{', '.join(names[:-1])} {last} {names[-1]}" if len(names) > 1 else "".join(names)


def capital(text: str) -> str:
    """With a great letter in front."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """A capital in front and a stop behind."""
    clean = text.strip()
    return capital(clean) + ("" if clean.endswith((".", "!", "?")) or not clean else ".")


def first_four(names: Sequence[str]) -> str:
    """'Eggs, beaten; Potatoes, early red; and 3 more': names may hold commas of their own."""
    rest = len(names) - 4
    return "; ".join([*names[:4], f"and {rest} more"] if rest > 0 else names)


def spoken(product: Product) -> str:
    """'early red potatoes' for 'Potatoes, early red'; a name that only says its size loses it."""
    name = product.name[:1].lower() + product.name[1:]
    head, comma, tail = name.partition(", ")
    if not comma:
        return name
    if tail in {size.name for size in product.sizes} | {many(size.name) for size in product.sizes}:
        return head
    if tail.startswith(AFTER_THE_NAME):
        return f"{head}, {tail}" if tail.startswith("no ") else f"{head} {tail}"
    return f"{one(tail)} {head}"


def bare_name(product: str) -> str:
    """A product's name as said in passing: 'Pears in syrup' -> 'pears', 'Tomatoes, crushed' -> 'tomatoes'."""
    short = product.split(",")[0].split(" in ")[0].split(" (")[0]
    return short[:1].lower() + short[1:]


def counted(product: Product, number: int) -> str:
    """'18 heads of cabbage', '19 tubs of beaten eggs', '54 quarts of green beans', '9 beef roasts'."""
    size, name = product.sizes[0].name, spoken(product)
    amount = as_words(Fraction(number))
    if size in PIECES:
        return f"{amount} {name if number == 1 or name.endswith(('s', 'squash')) else many(name)}"
    box = LONG_UNITS.get(size, size) if unit_named(size) is not None else _box(size)
    return f"{amount} {box if number == 1 else many(box)} of {name}"


def _box(size: str) -> str:
    """The container alone: 'tub' of '2-egg tub', 'pack' of 'pack of 6', 'head'."""
    return size.split(" of ")[0].split(" ")[-1]


def letters_explained(sizes: Iterable[str]) -> str:
    """'qt: quart; pt: pint; hp: half-pint', of those that stand in the sizes; '' where none does."""
    words = {word for size in sizes for word in size.partition("=")[0].split()}
    return "; ".join(f"{letters}: {LONG_UNITS[letters]}" for letters in _JAR_LETTERS if letters in words)


def priced(amount: Fraction, money: str, *, whole: bool = False) -> str:
    """'$33', '$6.50' or 'NZD 1,200': with the household's own sign, letters apart from the figure; whole: no cents."""
    figure = f"{round(amount):,}" if whole else f"{float(amount):.2f}".removesuffix(".00")
    return f"{money} {figure}" if money[-1:].isalpha() else f"{money}{figure}"
