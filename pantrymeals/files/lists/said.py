"""What one line of a list says: so many of which container of what, put up when, standing where."""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct

from pantrymeals.files.catalogue import named
from pantrymeals.files.gathering import fold
from pantrymeals.files.lists.days import Day, Order, find_day
from pantrymeals.files.lists.habits import NUMBER_WORDS, plainly, unread, without_unread
from pantrymeals.units import ALIASES, UNITS, as_words, take_number, unit_named

CONTAINERS = (
    "jar", "bag", "pack", "packet", "tub", "box", "bottle", "tin", "block", "loaf", "head", "bird", "piece", "joint",
    "bunch", "sack", "crock", "carton", "container", "parcel", "string", "bulb", "bushel", "peck", "lug", "crate",
    "flat", "bucket", "braid",
)  # fmt: skip
_WORDS = {"one": 1, "a": 1, "an": 1, "half": Fraction(1, 2), **NUMBER_WORDS}
_UNIT = (
    r"(?:half[- ]?gallons?|1/2 ?gal(?:lons?)?\b|half[- ]?pints?|1/2 ?p(?:in)?ts?\b|½ ?p(?:in)?ts?\b|gallons?|gals?|"
    r"quarts?|qts?|pints?|pts?|hps?|"
    r"litres?|liters?|ltrs?|mls?|l|kilograms?|kilos?|kgs?|grams?|gms?|g|pounds?|lbs?|ounces?|ozs?|cups?|each|ea)"
)
_BOX = (
    "|".join(sorted((many for c in CONTAINERS for many in (c, f"{c}s", f"{c}es")), key=len, reverse=True)) + "|loaves"
)
_NUMBER = r"(?:\d+ \d{1,2}/\d{1,2}|\d+/\d+|\d+(?:[.,]\d+)?)"
_SIZED = re.compile(rf"(?P<content>{_NUMBER})\s*-?(?P<unit>{_UNIT})\b\.?(?:\s*(?P<box>{_BOX})\b)?", re.IGNORECASE)
_ALONE = re.compile(rf"(?:(?<=[\s(\[])|^)(?P<unit>{_UNIT})\b\.?(?:\s*(?P<box>{_BOX})\b)?", re.IGNORECASE)
_BOXED = re.compile(rf"\b(?P<box>{_BOX})\b(?: of)?", re.IGNORECASE)
_SHORT = {
    "ltr": "l", "ltrs": "l", "mls": "ml", "kgs": "kg", "gm": "g", "gms": "g", "ozs": "oz", "gals": "gal", "hps": "hp",
    "1/2 pt": "hp", "1/2 pint": "hp", "1/2pt": "hp", "½ pt": "hp", "½pt": "hp", "½ pint": "hp", "halfpint": "hp",
    "1/2 gal": "half-gal", "1/2gal": "half-gal", "half pint": "hp", "halfgallon": "half-gal",
}  # fmt: skip
HALF_JAR, ONE_JAR = "is taken as one half-size jar", "one jar: no count stands beside its size"
"""What is unsure of jars, and not of milk: half a gallon of it is no jar."""
_HALVES = {"pt": "hp", "qt": "pt", "gal": "half-gal"}
_US_JARS = ("qt", "pt", "hp", "half-gal", "gal")


class LineSaid(Struct, frozen=True):
    """A line as it was understood.

    count: of the size; None where no number stands. size: the container as products.csv names it ('pt', '500 ml jar',
    'kg'); '' where none is said. name: the words that are left. guesses: what was taken for granted, in words.
    place_by: the words taken for the place that nothing sets apart from the name; '' where something does.
    """

    count: Fraction | None
    size: str
    name: str
    day: Day | None = None
    place: str = ""
    note: str = ""
    guesses: tuple[str, ...] = ()
    box: str = ""
    place_by: str = ""


def read_said(text: str, order: Order | None, places: dict[str, str] | None = None) -> LineSaid:
    """What a line written in one piece says: '14 pts crushed tom, N2, 12/09/2025', 'Peaches - 9 x 500ml (2025)'.

    places: names and codes of places, folded, with their codes.
    """
    left, notes, guesses = text, [], list[str]()
    day = find_day(left, order)
    if day is not None:
        left = left.replace(day.text, " , ", 1)
    left, place, by = _place_in(left, places or {})
    left, about = plainly(left)
    guesses += about
    left, count, size, box = _amount(left, guesses)
    parts = [p.strip(" -–—:.*•()[]=") for p in re.split(r"[,;|\t()]| - | – |: ", left)]
    parts = [p for p in parts if re.search(r"\w", p) and fold(p) != "x"]
    name, *rest = parts or [""]
    notes += rest
    whole = fold(name) in named()  # 'seven-day pickles' has its number in its name
    if count is not None:
        guesses += _beside(count, size, unread(rest if whole else parts))
    name = name if whole else without_unread(name)
    return LineSaid(count, size, _clean(name), day, place, "; ".join(notes), tuple(guesses), box, by)


def _beside(count: Fraction, size: str, numbers: tuple[str, ...]) -> tuple[str, ...]:
    """What is unsure where further numbers stand beside the count: 'applesauce 7+5 qts'."""
    if not numbers:
        return ()
    said = " and ".join(f"'{number}'" for number in numbers)
    return (f"{said} beside {as_words(count)} {size}".rstrip() + " is in no count",)


def read_amount(count: str, size: str) -> tuple[Fraction | None, str, str, tuple[str, ...]]:
    """(count, size, box, guesses) of the cells of a table: '7 pts' and '', or '14' and '500ml'."""
    guesses = list[str]()
    text, about = plainly(f"{count} x {size}" if count and size else count or size)
    guesses += about
    left, number, of_size, box = _amount(text, guesses)
    if number is not None:
        guesses += _beside(number, of_size, unread([left]))
    return number, of_size, box, tuple(guesses)


def _amount(text: str, guesses: list[str]) -> tuple[str, Fraction | None, str, str]:
    """(the text without its amount, how many, of which size, in which box)."""
    work = re.sub(r"(?<=\d)×", " x ", text)
    work = re.sub(r"(?<=\s)[x×](?=\d+\s*$|\d+\s*[,;])", "", work, flags=re.IGNORECASE)
    for word, value in _WORDS.items():
        work = re.sub(rf"^\s*{word}\b(?!-)", f"{value}", work, flags=re.IGNORECASE)
    if found := _times(work):
        return found
    if found := _half_pints(work, guesses):
        return found
    if found := _packs_of(work):
        return found
    sized = _SIZED.search(work)
    if sized is not None:
        return _sized(work, sized, guesses)
    number = re.search(rf"(?<![\w/.]){_NUMBER}(?![\w/])", work)
    taken = take_number(number.group()) if number else None
    left = work if number is None else f"{work[: number.start()]} {work[number.end() :]}"
    alone = _ALONE.search(left) if number else None
    if alone is not None:
        left = f"{left[: alone.start()]} {left[alone.end() :]}"
        unit = _bagged(unit_of(alone["unit"]), alone["box"])
        return left, taken[0] if taken else None, unit, _one_box(alone["box"])
    boxed = _BOXED.search(left) if number else None
    if boxed is not None:
        left = f"{left[: boxed.start()]} {left[boxed.end() :]}"
    return left, taken[0] if taken else None, "", _one_box(boxed["box"]) if boxed else ""


def _times(work: str) -> tuple[str, Fraction | None, str, str] | None:
    """'14 x 500 ml', '14 500ml jars', '500ml x 14': so many of a size that has a measure of its own."""
    ahead = re.search(rf"(?<![\w/.])(?P<n>\d+)\s*(?:x|×|\*|\s)\s*(?P<s>{_SIZED.pattern})", work, re.IGNORECASE)
    behind = re.search(rf"(?P<s>{_SIZED.pattern})\s*(?:x|×|\*)\s*(?P<n>\d+)(?![\w/])", work, re.IGNORECASE)
    found = ahead or behind
    if found is None or (ahead and "/" in found["content"] and not re.search(r"[x×*]", found.group(), re.IGNORECASE)):
        return None
    left = f"{work[: found.start()]} {work[found.end() :]}"
    return left, Fraction(int(found["n"])), size_name(found["content"], found["unit"], found["box"] or ""), ""


def _packs_of(work: str) -> tuple[str, Fraction | None, str, str] | None:
    """'3 packs of 4': so many containers of so many pieces."""
    found = re.search(
        rf"(?<![\w/.])(?P<n>\d+)\s*(?:x\s*)?(?P<box>{_BOX}) of (?P<each>\d+)(?![\w/.]|\s*{_UNIT}\b)",
        work,
        re.IGNORECASE,
    )
    if found is None:
        return None
    size = f"{_one_box(found['box'])} of {found['each']}"
    return (
        f"{work[: found.start()]} {work[found.end() :]}",
        Fraction(int(found["n"])),
        f"{size} = {found['each']} each",
        "",
    )


def _half_pints(work: str, guesses: list[str]) -> tuple[str, Fraction | None, str, str] | None:
    """'6 1/2 pts': six half-pint jars to one, six and a half pints to another; jars are whole."""
    found = re.search(r"(?<![\w/.])(?P<n>\d+) (?:1/2|½) ?p(?:in)?ts?\b\.?", work, re.IGNORECASE)
    if found is None:
        return None
    guesses.append(f"'{found.group()}' is taken as {found['n']} half-pints")
    return f"{work[: found.start()]} {work[found.end() :]}", Fraction(int(found["n"])), "hp", ""


def _sized(work: str, found: re.Match[str], guesses: list[str]) -> tuple[str, Fraction | None, str, str]:
    """'7 pts': seven of a unit; '500 ml jar': one of a size."""
    left = f"{work[: found.start()]} {work[found.end() :]}"
    taken = take_number(found["content"])
    unit = unit_of(found["unit"])
    if unit in _US_JARS and taken is not None and taken[0] == Fraction(1, 2) and unit in _HALVES:
        other = re.search(r"(?<![\w/.])\d+(?![\w/])", left)
        if other is None:
            guesses.append(f"'{found.group()}' {HALF_JAR}")
            return left, Fraction(1), _HALVES[unit], ""
        return f"{left[: other.start()]} {left[other.end() :]}", Fraction(int(other.group())), _HALVES[unit], ""
    number = re.search(rf"(?<![\w/.]){_NUMBER}(?![\w/])", left)
    if unit in ("ml", "g", "l", "oz", "cup") and number is not None and (unit in ("ml", "g") or found["box"]):
        more = take_number(number.group())
        rest = _BOXED.sub(" ", f"{left[: number.start()]} {left[number.end() :]}")
        return rest, more[0] if more else None, size_name(found["content"], found["unit"], found["box"] or ""), ""
    if unit == "ml" and taken and taken[0] >= 100:
        guesses.append(ONE_JAR)
        return left, Fraction(1), size_name(found["content"], found["unit"], found["box"] or ""), ""
    return left, taken[0] if taken else None, _bagged(unit, found["box"]), _one_box(found["box"])


def _bagged(unit: str, box: str | None) -> str:
    """'pt bag = 1 pt' of pint bags: not a jar; the unit alone where no bag or tub is said."""
    named = _one_box(box)
    return f"{unit} {named} = 1 {unit}" if named in ("bag", "tub", "box", "carton") and unit in _US_JARS else unit


def size_name(content: str, unit: str, box: str) -> str:
    """A size as products.csv names it: '500 ml jar', '1 l jar', '2 lb bag'; a US jar by its unit alone."""
    name, number = unit_of(unit), take_number(content)
    box = _one_box(box)
    if number is None:
        return name
    if name in _US_JARS and number[0] == 1:
        return name
    if name in ("ml", "l") and not box:
        box = "jar"
    if name in ("g", "kg", "lb", "oz") and not box:
        box = "pack"
    return " ".join(filter(None, (content.replace(",", "."), name, box)))


def unit_of(text: str) -> str:
    """A unit by the name that products.csv has: 'pts' as pt, 'litres' as l."""
    plain = fold(text).rstrip(".").replace("- ", "-")
    plain = _SHORT.get(plain, plain)
    known = ALIASES.get(plain, plain)
    assert known in UNITS or unit_named(plain), text
    return known


def _one_box(text: str | None) -> str:
    word = fold(text or "")
    if word == "loaves":
        return "loaf"
    return next((c for c in CONTAINERS if word in (c, f"{c}s", f"{c}es")), "")


def _place_in(text: str, places: dict[str, str]) -> tuple[str, str, str]:
    """The text without the place it names, the place's code, and the words that may be part of the thing's name.

    A name stands alone between marks, or after 'in'; a code, as it is written, also at the end, and so does a name.
    """
    for name in sorted(places, key=len, reverse=True):
        mark = re.search(
            rf"(?:^|[,;|(\t]|\s-\s|\bin(?: the)?\s|\bon(?: the)?\s)\s*{re.escape(name)}\s*(?=$|[,;|)\t]|\s-\s)",
            text, re.IGNORECASE,
        )  # fmt: skip
        if mark:
            return f"{text[: mark.start()]} , {text[mark.end() :]}", places[name], ""
    last = re.search(r"\s([^\s,;]+)[\s,;]*$", text)  # a day that stood after it has left its marks
    code = places.get(fold(last[1]), "") if last else ""
    if last and last[1] == code:
        return text[: last.start()], code, ""
    for name in sorted(places, key=len, reverse=True):
        end = re.search(rf"(?<=\w)\s+{re.escape(name)}[\s,;]*$", text, re.IGNORECASE)
        if end and name != fold(places[name]):
            return text[: end.start()], places[name], end[0].strip(" ,;")
    return text, "", ""


def has_measure(text: str) -> bool:
    """Whether a unit stands in a text by itself: 'toms, qt'."""
    return bool(_ALONE.search(text))


def _clean(name: str) -> str:
    words = re.sub(r"^(?:of|x|×)\s+", "", name.strip(), flags=re.IGNORECASE)
    words = re.sub(r"\b(?:put up|made|dated|done|from|on|in|x)\s*$", "", words.strip(), flags=re.IGNORECASE)
    return " ".join(words.strip(" -–—:.*•_").split())
