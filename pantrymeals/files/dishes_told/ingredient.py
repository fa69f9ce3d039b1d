"""One line of ingredients: '1 (15 oz) can beans, drained', '250g/9oz mince', 'Flour - 2 cups', 'salt to taste'."""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct

from pantrymeals.files.gathering import fold
from pantrymeals.files.lists.said import CONTAINERS
from pantrymeals.units import ALIASES, UNITS, take_number
from pantrymeals.words import COUNTED

_SHORT = {
    "c": "cup", "tbs": "tbsp", "tbsps": "tbsp", "tblsp": "tbsp", "tbl": "tbsp", "tsps": "tsp", "ltr": "l", "ltrs": "l",
    "mls": "ml", "kgs": "kg", "gm": "g", "gms": "g", "gr": "g", "ozs": "oz", "floz": "fl oz", "fl. oz": "fl oz",
    "fluid oz": "fl oz", "gals": "gal", "cc": "ml", "half pint": "hp", "half-pints": "hp",
}  # fmt: skip
_UNITS: dict[str, str] = {**{name: name for name in UNITS if name != "each"}, **_SHORT} | {
    many: one for many, one in ALIASES.items() if one != "each"
}
_SPOONS = {"T": "tbsp", "Tb": "tbsp", "Tbsp": "tbsp", "t": "tsp"}
BOXES = (*CONTAINERS, "can", "punnet", "package", "pkg", "tray", "envelope", "sachet")
_VAGUE_UNITS = (
    "clove", "stick", "slice", "rasher", "stalk", "rib", "ear", "sprig", "handful", "knob", "fistful", "wedge", "strip",
    "glass", "ladle", "spoonful", "cupful", "leaf", "inch", "piece", "mug", "scoop", "cube", "drop", "sheet", "quarter",
)  # fmt: skip
"""Measures that hold no one amount: what stands in them is asked about."""
_NOTHING_COUNTED = re.compile(
    r"^(?:(?:a |an )?(?:good |large |small |generous |tiny |big )?(?:pinch(?:es)?|dash(?:es)?|splash|drizzle|"
    r"sprinkl\w+|smidgen|grind(?:ing)?s?|twist|grating)\b)|\bto taste\b|\bas (?:needed|required|desired)\b|"
    r"\bfor (?:greasing|dusting|sprinkling|garnish\w*|the pan|the tin|frying|deep frying|brushing)\b|"
    r"^(?:some|a little|a bit of|more|extra)\b",
    re.IGNORECASE,
)
_NUMBER = r"(?:\d+ \d/\d|\d+/\d+|\d+(?:[.,]\d+)?|[½¼¾⅓⅔⅛⅜⅝⅞]|\d+ ?[½¼¾⅓⅔⅛⅜⅝⅞])"
_RANGE = re.compile(rf"^\s*(?:-|–|—|to|or)\s*(?P<high>{_NUMBER})(?![\d/])", re.IGNORECASE)
_WORDS = {
    "half a": Fraction(1, 2), "half an": Fraction(1, 2), "half": Fraction(1, 2), "a quarter of a": Fraction(1, 4),
    "a dozen": 12, "one dozen": 12, "half a dozen": 6, "an": 1, "a": 1, **COUNTED,
}  # fmt: skip
_HEAPED = re.compile(r"^(heap(?:ed|ing)|level|rounded|scant|generous|good|big|packed|lightly packed)\s+", re.IGNORECASE)
_LARGE = re.compile(r"^(extra[- ]large|large|small|medium(?:[- ]sized)?|big|fat|good|whole)\s+(?=\w)", re.IGNORECASE)


class Measured(Struct, frozen=True):
    """So many of a unit of ``units.UNITS``; unit '' for pieces."""

    number: Fraction
    unit: str = ""


class IngredientSaid(Struct, frozen=True):
    """A line as it was understood.

    amounts: the same amount in one measure or several ('250 g / 9 oz'); none where nothing is counted. box: the
    container that is counted ('can'), its content in ``content``. vague: a measure that holds no one amount ('clove').
    high: the other end of '2 to 3'. name: what it is; prep: how it is prepared. uncounted: 'to taste', 'a pinch'.
    """

    amounts: tuple[Measured, ...]
    name: str
    prep: str = ""
    box: str = ""
    content: Measured | None = None
    vague: str = ""
    high: Fraction | None = None
    uncounted: bool = False


def read_ingredient(text: str) -> IngredientSaid:
    """What a line says; without an amount it has none in ``amounts``."""
    line = _number_first(" ".join(text.replace("⁄", "/").split()).strip(" .;"))
    if _NOTHING_COUNTED.search(line) and (take_number(line) is None or re.search(r"pinch|dash", line, re.I)):
        return IngredientSaid((), *_name_and_prep(line), uncounted=True)
    taken = take_number(line)
    if taken is None or taken[0] <= 0:
        return IngredientSaid((), *_name_and_prep(line))
    number, rest = taken
    rest = re.sub(r"^dozen\s+", "", rest, flags=re.IGNORECASE) if re.match(r"dozen\s", rest, re.I) else rest
    number = number * 12 if len(rest) < len(taken[1]) else number
    high = None
    found = _RANGE.match(rest)
    if found and (more := take_number(found["high"])) and number < more[0] <= 4 * number:
        high, rest = more[0], rest[found.end() :].strip()
    return _measured(number, high, rest)


def _number_first(line: str) -> str:
    """'Flour - 2 cups, sifted' as '2 cups Flour, sifted'; 'half a pound' and 'two' in figures."""
    said = fold(line)
    for words in sorted(_WORDS, key=len, reverse=True):
        if said.startswith(f"{words} ") and not _NOTHING_COUNTED.search(said):
            return f"{_WORDS[words]} {line[len(words) :].strip()}"
    if take_number(line) is not None:
        return line
    unit = "|".join(re.escape(u) for u in sorted((*_UNITS, *BOXES, *_VAGUE_UNITS), key=len, reverse=True))
    behind = re.match(
        rf"^(?P<name>[^\d½¼¾⅓⅔(]+?)\s*[-–:,(x×]*\s*(?P<amount>{_NUMBER}\s*(?:{unit})?s?)\b\.?\)?(?P<rest>\s*[,(].*)?$",
        line, re.IGNORECASE,
    )  # fmt: skip
    if behind is None:
        return line
    return f"{behind['amount']} {behind['name'].rstrip(' -–:,(x×')}{behind['rest'] or ''}"


def _measured(number: Fraction, high: Fraction | None, rest: str) -> IngredientSaid:
    """What stands after the number: a size of container, a unit, a container, or the thing itself."""
    many = re.match(r"^[x×*]\s*(?=\d)|^[-–]\s*(?=\d)|^(?=\d)|^\(\s*(?=\d)", rest)
    if many and (sized := _amount_at(rest[many.end() :])) is not None and sized[0].unit:
        box, left = _box_at(sized[1].lstrip(" )-"))
        if box or rest[: many.end()].strip() in ("x", "×", "*", "("):
            name, prep = _name_and_prep(left)
            return IngredientSaid((Measured(number),), name, prep, box or "pack", sized[0], high=high)
    heaped = _HEAPED.match(rest)
    unit, left = _unit_at(rest[heaped.end() :] if heaped else rest)
    how = heaped[1].lower() if heaped and unit else ""
    if unit:
        return _with_unit(number, high, unit, left, how)
    box, left = _box_at(rest)
    if box:
        content, left = _in_brackets(left)
        name, prep = _name_and_prep(left)
        return IngredientSaid((Measured(number),), name, prep, box, content, high=high)
    vague, left = _vague_at(re.sub(r"^an? ", "", rest, flags=re.IGNORECASE))
    large = _LARGE.match(left)
    name, prep = _name_and_prep(left[large.end() :] if large else left)
    prep = "; ".join(filter(None, (large[1].lower() if large and not vague else "", prep)))
    weighed = re.search(rf"\((?:about |approx\.? |ca\.? )?(?P<in>{_NUMBER}[^)]*)\)", left, re.IGNORECASE)
    also = _amount_at(weighed["in"]) if weighed and not vague else None
    amounts = (also[0],) if also and also[0].unit and not also[1].strip() else ()
    return IngredientSaid((*amounts, Measured(number)), name, prep, vague=vague, high=high)


def _with_unit(number: Fraction, high: Fraction | None, unit: str, left: str, how: str) -> IngredientSaid:
    amounts = [Measured(number, unit)]
    more = re.match(rf"^(?:plus|and|\+|&)\s*(?={_NUMBER})", left, re.IGNORECASE)
    added = _amount_at(left[more.end() :]) if more else None
    if added and added[0].unit and UNITS[added[0].unit][0] == UNITS[unit][0]:
        whole = number + added[0].number * UNITS[added[0].unit][1] / UNITS[unit][1]
        amounts, left = [Measured(whole, unit)], added[1]
    other, left = _in_brackets(left)
    slash = re.match(r"^[/|]\s*", left)
    if other is None and slash and (also := _amount_at(left[slash.end() :])) and also[0].unit:
        other, left = also
    if other is not None:
        amounts.append(other)
    _, left = _box_at(left)
    name, prep = _name_and_prep(left)
    return IngredientSaid(tuple(amounts), name, "; ".join(filter(None, (how, prep))), high=high)


def _amount_at(text: str) -> tuple[Measured, str] | None:
    taken = take_number(text)
    if taken is None or taken[0] <= 0:
        return None
    unit, left = _unit_at(taken[1].lstrip("-"))
    return Measured(taken[0], unit), left


def _unit_at(text: str) -> tuple[str, str]:
    """The unit a text begins with, and what follows it."""
    text = text.lstrip("- ")
    spoon = re.match(r"(T|Tb|t)\b\.?\s+", text)
    if spoon:
        return _SPOONS[spoon[1]], text[spoon.end() :]
    for name in sorted(_UNITS, key=len, reverse=True):
        found = re.match(rf"{re.escape(name)}(?![\w'])\.?\s*", text, re.IGNORECASE)
        if found:
            return _UNITS[name], text[found.end() :].strip()
    return "", text


def _box_at(text: str) -> tuple[str, str]:
    found = re.match(
        rf"(?:(?:large|small|whole)\s+)?(?P<box>{'|'.join(BOXES)}|loav)(?:e?s)?\b\.?\s*(?:of\s+)?", text, re.IGNORECASE
    )
    if found is None:
        return "", text
    word = fold(found["box"])
    return {"loav": "loaf", "package": "pack", "pkg": "pack"}.get(word, word), text[found.end() :]


def _vague_at(text: str) -> tuple[str, str]:
    found = re.match(
        rf"(?:(?:large|small|good|thick|thin|\d+[- ]inch)\s+)*(?P<v>{'|'.join(_VAGUE_UNITS)})(?:e?s)?\b\s*"
        r"(?:of\s+)?(?=\w)",
        text,
        re.IGNORECASE,
    )
    leaves = re.match(r"leaves\s+(?:of\s+)?", text, re.IGNORECASE)
    if found is None:
        return ("leaf", text[leaves.end() :]) if leaves else ("", text)
    return fold(found["v"]), text[found.end() :]


def _in_brackets(text: str) -> tuple[Measured | None, str]:
    """The amount that a bracket at the beginning holds: '(15 oz) beans'."""
    found = re.match(r"^\(\s*(?:about |approx\.? |each |ca\.? )?(?P<in>[^)]*)\)\s*", text, re.IGNORECASE)
    inside = _amount_at(found["in"]) if found else None
    if found is None or inside is None or not inside[0].unit or re.search(r"\w", inside[1].replace("each", "")):
        return None, text
    return inside[0], text[found.end() :]


def _name_and_prep(text: str) -> tuple[str, str]:
    """('beans', 'drained') of 'of beans (drained)', 'beans, drained' or 'beans - drained'."""
    brackets = re.findall(r"\(([^)]*)\)", text)
    plain = " ".join(re.sub(r"\([^)]*\)", " ", text).split())
    name, _, prep = re.sub(r"\s+[-–—]\s+|;\s*|\s+\*", ", ", plain).partition(",")
    name = re.sub(r"^(?:of|the)\s+", "", name.strip(), flags=re.IGNORECASE)
    tail = re.search(r",?\s+(?:to taste|as needed|as required|if needed|for \w.*)$", name, re.IGNORECASE)
    if tail:
        prep, name = "; ".join(filter(None, (tail.group().strip(" ,"), prep.strip()))), name[: tail.start()]
    return name.strip(" .:*"), "; ".join(filter(None, (prep.strip(" ,."), *(b.strip() for b in brackets))))
