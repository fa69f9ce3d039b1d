"""Habits of writing amounts, each said another way; and the numbers of a line that nothing read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import partial

from pantrymeals.units import as_words
from pantrymeals.words import COUNTED

NUMBER_WORDS = {word: number for word, number in COUNTED.items() if number > 1}
_DOZENS = (
    (re.compile(r"\bhalf (?:an? )?(?:dozen|doz|dz)\b\.?", re.I), Fraction(1, 2)),
    (re.compile(r"\b(?P<n>\d+(?: 1/2)?)\s*(?:dozen|doz|dz)\b\.?", re.I), None),
    (re.compile(r"\b(?:an? )?(?:dozen|doz|dz)\b\.?", re.I), Fraction(1)),
)
_POUNDS_OUNCES = re.compile(r"(?<![\w/.])(?P<lb>\d+) ?(?:lbs?|pounds?)\.?,? (?P<oz>\d+) ?(?:oz|ounces?)\b\.?", re.I)
_OUNCE_JAR = re.compile(r"(?<![\w/.])(?P<oz>8|16|32|64)[ -]?oz\.?(?= ?jars?\b)", re.I)
_JAR_OF_OUNCES = {"8": "hp", "16": "pt", "32": "qt", "64": "half-gallon"}
_ABOUT = re.compile(r"(?:(?<=\s)|^)(?:about|approx\.?|approximately|roughly|around|circa|ca\.?|c\.|~|≈)\s*(?=\d)", re.I)
_WORDS = "|".join(NUMBER_WORDS)
_COUNTED_WORD = re.compile(
    rf"\b(?P<word>{_WORDS})(?=\s+(?:half[- ]?)?(?:x|qts?|quarts?|pts?|pints?|hps?|jars?|lbs?|pounds?|kilos?|kg|litres?|"
    r"liters?|bags?|packs?|packets?|tubs?|boxes|heads?|loaves|birds|pieces|bunches|bottles|tins|sacks)\b)",
    re.I,
)  # fmt: skip
_LIST_NUMBER = re.compile(r"^\s*\d{1,3}(?:\)|\.(?=\s))\s*(?=\D*\d)")
_BULLET = re.compile(r"^\s*(?:\[[ xX]?\]|[*•·–—-])\s+")
_NOT_A_COUNT = re.compile(
    r"\b(?:load|batch|no|nr|number|page|p|recipe|lot|book|year|season)\b\.? ?#?\d+|\d+(?:st|nd|rd|th)\b|"
    r"\d+(?:[.,]\d+)? ?%",
    re.I,
)
_UNREAD = re.compile(
    rf"[+~]?\s*(?<![\w])(?:\d+(?:[.,/]\d+)?[\w/]*|\b(?:{_WORDS}|half|dozen|doz|couple|few|several)\b)"
    r"\s*(?:(?:qts?|pts?|hps?|quarts?|pints?|jars?|bags?|lbs?|kg|g|ml|l|oz|bu|bushels?|boxes|box)\b)?\s*[-–+]?",
    re.I,
)
_ROOM = re.compile(
    r"(?:[a-z]+ )?(?:freezer|shelf|cellar|pantry|rack|bin|cupboard|press|room|aisle)\s*(?:#|no\.?)? ?\d+", re.I
)
_HAS_NUMBER = re.compile(rf"\d|\b(?:{_WORDS}|dozen|half)\b", re.I)


def plainly(text: str) -> tuple[str, tuple[str, ...]]:
    """A line with its dozens, ounces beside pounds, '#', 'pkg' and bullets as they are read elsewhere; what is unsure.

    '3 doz pts' as 36 pts, '7 lb 8 oz' as 7 1/2 lb, 'six pints' as 6 pints, '8 oz jars' as half-pints.
    """
    work = _LIST_NUMBER.sub("", _BULLET.sub("", re.sub(r"(?<=\s)w/ ?", "with ", text)))
    work = re.sub(r"(?<=\d)\s*#(?=\s|[,;)]|$)", " lb", work)
    work = re.sub(r"\b(?:pkgs?|pkts?|pks?)\b\.?", "pack", work, flags=re.I)
    work = re.sub(r"(?<=\d)\s*bu\b\.?", " bushels", work, flags=re.I)
    for pattern, value in _DOZENS:
        work = pattern.sub(partial(_twelves, value), work)
    work = _POUNDS_OUNCES.sub(lambda m: f"{m['lb']} {m['oz']}/16 lb", work)
    work = _OUNCE_JAR.sub(lambda m: _JAR_OF_OUNCES[m["oz"]], work)
    work = _COUNTED_WORD.sub(lambda m: str(NUMBER_WORDS[m["word"].casefold()]), work)
    about = tuple(f"'{m.group().strip()}' is left out, and what follows it counted" for m in _ABOUT.finditer(work))
    return _ABOUT.sub("", work), about


def _twelves(dozens: Fraction | None, found: re.Match[str]) -> str:
    """So many dozens as a number; where None, as many as are said."""
    return as_words(12 * (dozens or sum(map(Fraction, found["n"].split()), Fraction(0))))


def unread(parts: Iterable[str]) -> tuple[str, ...]:
    """Numbers, and words for numbers, in what an amount left of a line: '7+', '+ 3 pts'; loads and pages apart."""
    found = []
    for part in parts:
        plain = _NOT_A_COUNT.sub(" ", part)
        found += [" ".join(m.group().split()) for m in _UNREAD.finditer(plain)]
    return tuple(filter(None, found))


def without_unread(name: str) -> str:
    """A name without the numbers that nothing read."""
    left = _UNREAD.sub(" ", name)
    return " ".join(left.replace("@", " ").strip(" +~-–—&,").split()) or name


def is_a_numbered_room(text: str) -> bool:
    """'FREEZER #1', 'Shelf 2:': a room or shelf with its number alone."""
    return bool(_ROOM.fullmatch(text.strip(" :.-=*_")))


def has_number(text: str) -> bool:
    """Whether a figure, or a word for one, stands in it."""
    return bool(_HAS_NUMBER.search(text))
