"""Shell completion for products, places and dishes. Reads names only, and says nothing when it cannot."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import typer

_CODE = re.compile(r"code:\s*(\"[^\"]*\"|[^,}]+)")
_NAME = re.compile(r"^name:\s*(.+?)\s*$", re.MULTILINE)


def complete_product(ctx: typer.Context, incomplete: str) -> list[str]:
    """Product names of which a word begins so."""
    return list(_beginning(incomplete, _products(_folder(ctx))))


def complete_place(ctx: typer.Context, incomplete: str) -> list[str]:
    """Codes of places that begin so."""
    text = _text(_folder(ctx) / "household.yaml")
    return list(_beginning(incomplete, (code.strip().strip('"') for code in _CODE.findall(text))))


def complete_dish(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of the household's dishes of which a word begins so."""
    files = sorted((_folder(ctx) / "recipes").glob("*.y*ml"))
    names = (found.group(1).strip("\"'") for file in files if (found := _NAME.search(_text(file))))
    return list(_beginning(incomplete, names))


def _folder(ctx: typer.Context) -> Path:
    return Path(str(ctx.params.get("larder") or "."))


def _products(folder: Path) -> Iterator[str]:
    rows = csv.reader(_text(folder / "products.csv").splitlines())
    heading = next(rows, [])
    column = heading.index("product") if "product" in heading else 0
    return (row[column] for row in rows if len(row) > column)


def _beginning(incomplete: str, names: Iterator[str]) -> Iterator[str]:
    wanted = incomplete.casefold()
    for name in names:
        folded = name.casefold()
        if folded.startswith(wanted) or any(word.startswith(wanted) for word in folded.split()):
            yield name


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return ""
