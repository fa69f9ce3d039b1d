"""What a number, a day, an amount and a cell of a household's files are, read a second time: see as_written."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import yaml

GALLON, POUND = Fraction("3785.411784"), Fraction("453.59237")
UNITS = {
    "gal": GALLON, "gallon": GALLON, "qt": GALLON / 4, "quart": GALLON / 4, "pt": GALLON / 8,
    "pint": GALLON / 8,
    "hp": GALLON / 16, "half-pint": GALLON / 16, "cup": GALLON / 16, "fl oz": GALLON / 128, "ml": Fraction(1),
    "l": Fraction(1000),
    "lb": POUND, "pound": POUND, "oz": POUND / 16, "g": Fraction(1), "kg": Fraction(1000), "each": Fraction(1),
    "piece": Fraction(1),
    "half-gal": GALLON / 2, "tbsp": GALLON / 256, "tsp": GALLON / 768,
}  # fmt: skip
VOLUME = {
    "gal",
    "gallon",
    "qt",
    "quart",
    "pt",
    "pint",
    "hp",
    "half-pint",
    "cup",
    "fl oz",
    "ml",
    "l",
    "half-gal",
    "tbsp",
    "tsp",
}
WEIGHT = {"lb", "pound", "oz", "g", "kg"}
WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
NOTHING = {"", "-", "–", "—", "n/a"}


def number(text: str) -> Fraction | str:
    """A number as people write it; the text itself where it is none."""
    plain = "".join(_spelt(c) for c in text.strip()).strip()
    sign, plain = (-1, plain[1:].strip()) if plain[:1] in ("-", "−") else (1, plain.removeprefix("+").strip())
    while " /" in plain or "/ " in plain:
        plain = plain.replace(" /", "/").replace("/ ", "/")
    whole, _, part = plain.rpartition(" ")
    above, slash, below = part.partition("/")
    point = part.replace(",", ".")
    if slash and above.isdecimal() and below.isdecimal() and int(below) and (not whole or whole.strip().isdecimal()):
        return sign * (int(whole or 0) + Fraction(int(above), int(below)))
    if not whole and point.count(".") <= 1 and point.replace(".", "").isdecimal() and not point.endswith("."):
        before, _, after = point.partition(".")
        return sign * Fraction(int(before + after or 0), 10 ** len(after))
    return text


def _spelt(letter: str) -> str:
    """A vulgar fraction as its two figures."""
    value = Fraction(unicodedata.numeric(letter, 0)).limit_denominator(10)
    return f" {value}" if unicodedata.category(letter) == "No" and value.denominator > 1 else letter.replace("⁄", "/")


def day(text: str) -> date | str:
    """A day, year first; the text itself where it is none."""
    parts = text.replace("–", "-").replace("—", "-").replace("−", "-").split("-")
    try:
        return date(*map(int, parts)) if len(parts) == 3 and len(parts[0]) == 4 else date(int(parts[0]), 1, 1)
    except ValueError:
        return text


def name_of(text: str) -> str:
    return " ".join(text.casefold().split())


def one_of(text: str) -> str:
    """A unit or container as it is called singly."""
    words = (w[:-1] if w.endswith("s") and len(w) > 2 else w for w in name_of(text).rstrip(".").split())
    return " ".join(words)


class ProductWritten:
    """A row of products.csv: its names, and what one of each container holds."""

    def __init__(self, row: Mapping[str, str]) -> None:
        self.name = " ".join(row["product"].split())
        self.names = [name_of(n) for n in (row["product"], *row.get("also_called", "").split(";")) if n.strip()]
        self.sizes: dict[str, Fraction | str] = {}
        self.unit = ""
        for part in filter(str.strip, row["sizes"].split(";")):
            size, _, holds = part.partition("=")
            taken, unit = leading(holds or f"1 {size}")
            self.unit = self.unit or one_of(unit)
            content = UNITS.get(one_of(unit), Fraction(1)) if not holds else UNITS.get(one_of(unit), holds)
            self.sizes[one_of(size)] = (
                taken * content if isinstance(taken, Fraction) and isinstance(content, Fraction) else part
            )

    def amount(self, text: str) -> Fraction | str:
        """An amount of it in millilitres, grams or pieces; the text where it is none."""
        taken, rest = leading(text)
        unit = one_of(rest.removesuffix(" of") if rest != "of" else "")
        holds = self.sizes.get(unit)
        if holds is None:
            alike = next((s for s in (VOLUME, WEIGHT, {"each", "piece", ""}) if unit in s), set())
            mine = self.unit if self.unit in UNITS else "each"
            holds = UNITS.get(unit or "each") if mine in alike else None
        return taken * holds if isinstance(taken, Fraction) and isinstance(holds, Fraction) else text


def leading(text: str) -> tuple[Fraction | str, str]:
    """The longest number that a text begins with, and the rest."""
    for cut in range(len(text), 0, -1):
        after = text[cut : cut + 1]
        if after.isdecimal() or after in tuple(".,/-⁄") or (text[cut - 1 : cut].isspace() and after == "/"):
            continue
        found = number(text[:cut])
        if isinstance(found, Fraction):
            return found, " ".join(text[cut:].split())
    return text, text


def rows_of(folder: Path, name: str) -> Iterator[tuple[int, dict[str, str]]]:
    """(line, cells) of each row that holds anything; a cell's apostrophe before a formula's mark taken off."""
    if not (folder / name).exists():
        return
    text = (folder / name).read_bytes().decode("utf-8-sig")
    head = next((line for line in text.replace("\r", "\n").split("\n") if line.strip()), "")
    mark = max(",;\t", key=lambda m: names_in(head, m))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    heading: list[str] = []
    line = 1
    for cells in reader:
        cells = [cell_of(c) for c in cells]
        if any(cells) and heading:
            yield line, {**dict.fromkeys(heading, ""), **dict(zip(heading, cells, strict=False))}
        elif any(cells):
            heading = [name_of(c).replace(" ", "_") for c in cells]
        line = reader.line_num + 1


def names_in(head: str, mark: str) -> int:
    return len(next(csv.reader([head], delimiter=mark), []))


def cell_of(text: str) -> str:
    plain = text.strip()
    guarded = plain.startswith("'") and plain.lstrip("'")[:1] in tuple("=+-@")
    return "" if plain.casefold() in NOTHING else plain[1:] if guarded else plain


def yaml_of(path: Path) -> Any:
    return yaml.load(path.read_bytes().decode("utf-8-sig"), Loader=_LOADER) if path.exists() else {}


def said(value: Any) -> str:
    text = " ".join(str(value).split()) if value is not None else ""
    return "" if text in ("~", "null", "Null", "NULL") else text


def mapping(value: Any) -> Mapping[str, Any]:
    """A mapping; an empty one where nothing is written."""
    return {} if value is None or (isinstance(value, str) and not said(value)) else value


def months(text: str) -> frozenset[int]:
    out: set[int] = set()
    for part in filter(
        None, (p.strip() for p in text.replace("–", "-").replace("—", "-").replace(";", ",").split(","))
    ):
        ends = [int(e) for e in part.split("-")]
        month = ends[0]
        out.add(month)
        while month != ends[-1]:
            month = month % 12 + 1
            out.add(month)
    return frozenset(out)


def weekdays(value: Any) -> set[str]:
    out: set[str] = set()
    texts = value if isinstance(value, list) else said(value).replace(";", ",").split(",")
    for part in filter(None, (t.strip() for text in texts for t in said(text).replace(";", ",").split(","))):
        ends = [WEEK.index(e.strip().casefold()[:3]) for e in part.replace("–", "-").replace("—", "-").split("-")]
        out |= {WEEK[(ends[0] + n) % 7] for n in range((ends[-1] - ends[0]) % 7 + 1)}
    return out


def items_of(value: Any) -> Sequence[Any]:
    """A list's items that are not blank; one thing counts as a list of one."""
    items = value if isinstance(value, list) else [value]
    return [i for i in items if not isinstance(i, str) or said(i)] if value else []


def put_up_at_home(row: Mapping[str, str]) -> bool:
    """A jar of the household's own: opened, it keeps four days at most, whatever is written."""
    words = row.get("product", "").casefold().replace(",", " ").split()
    return row.get("kind", "").strip().casefold() == "jar" and not {"bought", "tinned", "tin", "store"} & set(words)


def yearly(value: Any) -> tuple[int, ...] | str:
    parts = said(value).replace("–", "-").replace("—", "-").replace("−", "-").split("-")
    return tuple(map(int, parts)) if len(parts) == 2 and all(p.isdecimal() for p in parts) else said(value)


def days_apart(text: str) -> Fraction:
    words = name_of(text).removeprefix("every ").split(" ")
    count = number(words[0]) if len(words) > 1 else Fraction(1)
    assert isinstance(count, Fraction), text
    return count * (7 if words[-1].startswith("week") else 1)
