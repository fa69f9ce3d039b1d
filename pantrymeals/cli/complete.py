"""Shell completion for products, places, freezers and dishes, whatever their case. Reads names only, and says nothing
when it cannot."""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import typer

_NAME = re.compile(r"^name:\s*(.+?)\s*$", re.MULTILINE)

Offers = list[tuple[str, str]]
"""What is offered, each with a word of help."""


class _Offered(str):
    """A name that may be offered for what was typed: typer drops all that do not begin so, letter by letter."""

    __slots__ = ()

    def startswith(self, *_typed: object) -> bool:
        return True


def is_completing() -> bool:
    """Whether the shell asks what could be typed: typer's word for it is a variable named for the program."""
    return any(name.startswith("_") and name.endswith("_COMPLETE") for name in os.environ)


def complete_product(ctx: typer.Context, incomplete: str) -> Offers:
    """Product names of which a word begins so."""
    return _fitting(incomplete, ((name, "") for name in _products(_folder(ctx))))


def complete_place(ctx: typer.Context, incomplete: str) -> Offers:
    """Codes of places whose code, or a word of whose name, begins so."""
    return _fitting(incomplete, ((code, name) for code, name, _ in _places(_folder(ctx))))


def complete_freezer(ctx: typer.Context, incomplete: str) -> Offers:
    """Codes of freezers, likewise."""
    return _fitting(incomplete, ((code, name) for code, name, kind in _places(_folder(ctx)) if kind == "freezer"))


def complete_dish(ctx: typer.Context, incomplete: str) -> Offers:
    """Names of the household's dishes of which a word begins so; after a day's colon too: 'Sun: tro'."""
    day, colon, typed = incomplete.rpartition(": ")
    found = _fitting(typed, ((name, "") for name in _dishes(_folder(ctx))))
    return [(_Offered(f"{day}{colon}{name}"), note) for name, note in found]


def complete_carried(ctx: typer.Context, incomplete: str) -> Offers:
    """A product, and after 'to' a place: 'applesauce to K'."""
    said = [str(word).casefold() for word in ctx.params.get("words") or ()]
    return (complete_place if "to" in said else complete_product)(ctx, incomplete)


def _folder(ctx: typer.Context) -> Path:
    return Path(str(ctx.params.get("larder") or "."))


def _products(folder: Path) -> Iterator[str]:
    lines = _text(folder / "products.csv").splitlines()
    between = ";" if lines and lines[0].count(";") > lines[0].count(",") else ","
    rows = csv.reader(lines, delimiter=between)
    heading = [head.strip().casefold() for head in next(rows, [])]
    column = heading.index("product") if "product" in heading else 0
    return (row[column].strip() for row in rows if len(row) > column)


def _places(folder: Path) -> Iterator[tuple[str, str, str]]:
    """(code, name, kind) of each place of household.yaml."""
    import yaml

    try:
        read = yaml.safe_load(_text(folder / "household.yaml"))
    except yaml.YAMLError:
        return
    places = read.get("places") if isinstance(read, dict) else None
    for place in places if isinstance(places, list) else ():
        if isinstance(place, dict) and "code" in place:
            yield str(place["code"]), str(place.get("name", "")), str(place.get("kind", ""))


def _dishes(folder: Path) -> Iterator[str]:
    for file in sorted((folder / "recipes").glob("*.y*ml")):
        if (found := _NAME.search(_text(file))) is not None:
            yield found.group(1).strip("\"'")


def _fitting(typed: str, names: Iterable[tuple[str, str]]) -> Offers:
    """Those that begin as typed, or of which a word does."""
    wanted = typed.casefold()
    found: Offers = []
    for name, note in names:
        words = f"{name} {note}".casefold()
        if words.startswith(wanted) or any(word.startswith(wanted) for word in words.split()):
            found.append((_Offered(name), note))
    return found


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return ""
