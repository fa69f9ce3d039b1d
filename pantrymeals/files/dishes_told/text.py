"""A dish in pasted text: its name, ingredients by line, and the method, with heads between them or without."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.files.dishes_told.minutes import minutes_of
from pantrymeals.files.gathering import fold
from pantrymeals.plans.dish_told import DishTold, ToldLine
from pantrymeals.plans.first_count import LeftOut
from pantrymeals.records import Role
from pantrymeals.units import take_number

ROLE_WORDS: dict[str, Role] = {
    "main": "main", "main course": "main", "main dish": "main", "mains": "main", "entree": "main", "side": "side",
    "side dish": "side", "sides": "side", "vegetable": "side", "salad": "side", "bread": "bread", "breads": "bread",
    "fruit": "fruit", "sweet": "sweet", "dessert": "sweet", "pudding": "sweet", "afters": "sweet", "cake": "sweet",
    "breakfast": "breakfast", "brunch": "breakfast", "lunch": "lunch",
}  # fmt: skip
_BULLET = re.compile(r"^\s*(?:[-*•·▢□◦‣–—]|\[[ x]?\])\s+")
_STEP = re.compile(r"^\s*(?:step\s*)?\d{1,2}\s*[.):]\s+|^\s*step\s*\d{1,2}\s+", re.IGNORECASE)
_TITLE = re.compile(r"^#+\s*")
_TAKES = re.compile(
    r"^(?:ingredients|what goes in|(?:what )?you(?:'ll| will)? need|needed)\b[^.\d]{0,20}$", re.IGNORECASE
)
_METHOD = re.compile(
    r"^(?:method|directions?|instructions?|steps|preparation|procedure|how it is cooked|how to (?:make|cook)(?: it)?|"
    r"to (?:make|cook)(?: it)?|what to do)\s*(?:[:.-]\s*(?P<rest>.*))?$",
    re.IGNORECASE,
)
_NOTES = re.compile(r"^(?:(?:cook'?s )?notes?|tips?|source|from)\s*:\s*(?P<rest>.*)$", re.IGNORECASE)
_SERVES = re.compile(
    r"^(?:(?:serves|feeds|servings?|portions?|yields?|makes|for)\s*:?\s*(?:about |approx\.? )?(?P<n>\d[^a-z]*|½[^a-z]*)"
    r"(?P<what>(?:people|persons|servings?|portions?|eaters)?)\.?|(?P<m>\d+(?:\s*(?:-|–|to)\s*\d+)?)\s*"
    r"(?:servings?|portions?))$",
    re.IGNORECASE,
)
_TIME = re.compile(
    r"^(?P<what>prep(?:aration)?(?: time)?|cook(?:ing)?(?: time)?|baking(?: time)?|total(?: time)?|time|takes|ready in|"
    r"minutes|hands[- ]on(?: time| minutes)?|active(?: time)?)\s*:?\s*(?P<n>\d.*|½.*|1.*)$",
    re.IGNORECASE,
)
_ROLE = re.compile(r"^(?:role|course|category|kind)\s*:\s*(?P<what>.+)$", re.IGNORECASE)
_UNDER = re.compile(r"^(?:for (?:the )?)?[A-Za-z][\w ,'-]{1,40}:$")
_VAGUE = re.compile(
    r"\bto taste\b|^(?:a |an |some |few |half |one |two |three |four |six |pinch|dash|salt\b|pepper\b|plus )|"
    r"\bas needed\b|\bfor (?:the pan|frying|greasing|dusting|serving)\b|\boptional\b",
    re.IGNORECASE,
)
_PROCESS = re.compile(
    r"\b(?:p\.?s\.?i|k[pP]a|head[- ]?space|pressure[- ]can\w*|water[- ]bath\w*|boiling[- ]water cann\w*|"
    r"(?:pounds?|lbs?\.?)\s+(?:of\s+)?pressure|"
    r"can(?:s|ned|ning)?\b[^.,;:]{0,25}\b(?:pints?|quarts?|jars?)\b[^.,;:]{0,20}\d\s*(?:min\w*|hours?)|"
    r"process\w*\b[^.]{0,40}\b(?:min\w*|jars?|pints?|quarts?))\b",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"^\s*(?:-{3,}|={3,}|\*{3,}|_{3,}|~{3,})\s*$")


def dishes_in(text: str) -> tuple[DishTold, ...]:
    """The dishes of a text, parted by lines of dashes (---) where there are several."""
    groups: list[list[tuple[int, str]]] = [[]]
    for number, line in enumerate(text.splitlines(), start=1):
        if _BETWEEN.match(line) and any(said.strip() for _, said in groups[-1]):
            groups.append([])
        elif not _BETWEEN.match(line):
            groups[-1].append((number, line.replace("\u00a0", " ").replace("\t", " ").rstrip()))
    return tuple(told for group in groups if (told := _dish(group)) is not None)


def told_of_process(text: str) -> bool:
    """Whether it speaks of a process for jars, which this program neither holds nor shows."""
    return bool(_PROCESS.search(text))


_WHY_LEFT_OUT = "it speaks of a process for jars, of which this program shows none: follow a tested recipe for it"
_PARTS = re.compile(r"\s*\([^()]*\)|[^,;()]+|[,;]|[()]")
"""Of a line: what stands in brackets, and what stands between commas."""


def without_process(texts: Iterable[str], what: str = "step") -> tuple[tuple[str, ...], tuple[LeftOut, ...]]:
    """(the texts that can be shown, those that speak of a process for jars). what: 'step' or 'note'."""
    numbered = list(enumerate(texts, start=1))
    return (
        tuple(text for _, text in numbered if not told_of_process(text)),
        tuple(LeftOut(n, f"{what} {n}", _WHY_LEFT_OUT) for n, text in numbered if told_of_process(text)),
    )


def lines_without_process(lines: Iterable[ToldLine]) -> tuple[tuple[ToldLine, ...], tuple[LeftOut, ...]]:
    """(the lines of ingredients, each without what of it speaks of a process for jars, and that this was left out)."""
    kept: list[ToldLine] = []
    left_out: list[LeftOut] = []
    for number, line in enumerate(lines, start=1):
        if not told_of_process(line.written):
            kept.append(line)
            continue
        parts = [part for part in _PARTS.findall(line.written) if not told_of_process(part)]
        rest = re.sub(r"\s+([,;])", r"\1", " ".join("".join(parts).strip(" ,;").split()))
        left_out.append(LeftOut(number, f"a part of ingredient {number}", _WHY_LEFT_OUT))
        if rest and not told_of_process(rest):
            kept.append(replace(line, written=rest))
    return tuple(kept), tuple(left_out)


def serves_of(text: str) -> tuple[Fraction | None, tuple[str, ...]]:
    """(portions, nothing), or (None, what may be meant) where a text gives two: '4-6'."""
    numbers = re.findall(r"\d+(?:\.\d+)?", text)
    if len(numbers) == 1 and (taken := take_number(text.strip())) and taken[0] > 0:
        return taken[0], ()
    return None, tuple(dict.fromkeys(numbers)) if len(numbers) == 2 and "/" not in text else ()


class _DishReading(Struct):
    """What was found so far. at: where the next line belongs."""

    name: str = ""
    at: str = "head"
    lines: list[ToldLine] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    under: str = ""
    serves: Fraction | None = None
    choices: tuple[str, ...] = ()
    times: dict[str, int] = field(default_factory=dict)
    role: Role | None = None
    blank: bool = False


def _dish(group: Sequence[tuple[int, str]]) -> DishTold | None:
    reading = _DishReading()
    headed = any(_TAKES.match(_bare(line)) for _, line in group)
    for number, line in group:
        if not line.strip():
            reading.blank = True
            continue
        _read(reading, number, line, headed)
        reading.blank = False
    if not reading.name:
        return None
    steps, of_steps = without_process(reading.steps)
    notes, of_notes = without_process(reading.notes, "note")
    lines, of_lines = lines_without_process(reading.lines)
    minutes, guesses = total_minutes(reading.times)
    return DishTold(
        reading.name, lines, steps, reading.serves, reading.choices, minutes,
        reading.times.get("hands-on"), reading.role, notes, (*of_lines, *of_steps, *of_notes), guesses,
    )  # fmt: skip


def total_minutes(times: dict[str, int]) -> tuple[int | None, tuple[str, ...]]:
    """(minutes in all, what was taken for granted): as said, or those to prepare and to cook together."""
    if "total" in times:
        return times["total"], ()
    if "prep" in times and "cook" in times:
        both = times["prep"] + times["cook"]
        return both, (f"{times['prep']} minutes to prepare and {times['cook']} to cook are taken as {both} in all",)
    return None, ()


def _bare(line: str) -> str:
    return " ".join(_TITLE.sub("", _BULLET.sub("", line)).strip().strip("*_").split())


def _read(reading: _DishReading, number: int, line: str, headed: bool) -> None:
    said = _bare(line)
    if not reading.name:
        reading.name = re.sub(r"^(?:name|title|recipe)\s*:\s*", "", said, flags=re.IGNORECASE).rstrip(":")
        return
    if _TAKES.match(said):
        reading.at, reading.under = "takes", ""
    elif head := _METHOD.match(said):
        reading.at = "method"
        if head["rest"]:
            reading.steps.append(head["rest"])
    elif note := _NOTES.match(said):
        reading.notes.append(said if fold(said).startswith(("source", "from")) else note["rest"])
        reading.at = "notes" if not note["rest"] else reading.at
    elif reading.at != "method" and _fact(reading, said):
        return
    else:
        _sort(reading, number, line, said, headed)


def _sort(reading: _DishReading, number: int, line: str, said: str, headed: bool) -> None:
    """A line that is no head: an ingredient, a step, a heading of some ingredients, or a note."""
    if reading.at == "notes":
        reading.notes.append(said)
    elif reading.at == "method" or (reading.at == "takes" and _STEP.match(line) and not headed):
        reading.at = "method"
        reading.steps.append(_STEP.sub("", said))
    elif _UNDER.match(said):
        reading.under = said.rstrip(":")
    elif reading.at == "takes" and headed:
        reading.lines.append(ToldLine(str(number), said, reading.under))
    elif not _STEP.match(line) and _an_ingredient(reading, line, said):
        reading.at = "takes"
        reading.lines.append(ToldLine(str(number), said, reading.under))
    elif reading.lines:
        reading.at = "method"
        reading.steps.append(_STEP.sub("", said))
    else:
        reading.notes.append(said)


def _an_ingredient(reading: _DishReading, line: str, said: str) -> bool:
    """Whether a line without a head above it is one: by its amount or bullet, or in the midst of such lines."""
    words = len(said.split())
    if take_number(said) is not None or _BULLET.match(line):
        return words <= 20
    if said.endswith((".", "!")) and words > 2:
        return False
    ends_in_amount = re.search(r"[\s:(x-]\s*(?:\d|[½¼¾⅓⅔])[^.]{0,14}\)?$", said)
    return words <= 9 and bool(_VAGUE.search(said) or ends_in_amount or (reading.lines and not reading.blank))


def _fact(reading: _DishReading, said: str) -> bool:
    """Whether a line says how many it serves, how long it takes or what it is at a table."""
    parts = [part.strip() for part in re.split(r"[|;]|, (?=[A-Za-z])", said)]
    found = [_one_fact(reading, part) for part in parts]
    return all(found)


def _one_fact(reading: _DishReading, said: str) -> bool:
    if role := _ROLE.match(said):
        named = [ROLE_WORDS[word] for word in re.split(r"\s*[,/]\s*", fold(role["what"])) if word in ROLE_WORDS]
        if not named:
            reading.notes.append(said)
        reading.role = named[0] if named else reading.role
        return True
    if serves := _SERVES.match(said):
        reading.serves, reading.choices = serves_of(serves["n"] or serves["m"])
        return reading.serves is not None or bool(reading.choices)
    time = _TIME.match(said)
    text = time["n"] if time else ""
    found = minutes_of(f"{text} minutes" if text.strip().isdigit() else text) if time else None
    if time is None or found is None:
        return False
    what = fold(time["what"])
    kind = next((k for k in ("prep", "cook", "bak", "hands", "active") if what.startswith(k)), "total")
    reading.times[{"bak": "cook", "hands": "hands-on", "active": "hands-on"}.get(kind, kind)] = found
    return True
