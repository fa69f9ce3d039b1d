"""A dish as its file in ``recipes/`` has it: what was told, line by line, with what it was taken from beside it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from pantrymeals.contents_told import told_by
from pantrymeals.files.begun import quoted
from pantrymeals.files.each_of import tag_of
from pantrymeals.files.gathering import fold
from pantrymeals.plans.dish_told import NotedLine, TakenLine
from pantrymeals.records import Product, Role

_PLAIN = re.compile(r"[\w¼½¾][\w À-ÿ.,'’()/%°-]*")


def file_name(name: str, there: Iterable[str]) -> str:
    """A name for the dish's file that no other in the folder has: 'beef-stew.yaml'."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().casefold()
    slug = re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:60] or "a-dish"
    taken = {fold(each) for each in there}
    return next(n for n in (f"{slug}.yaml", *(f"{slug}-{i}.yaml" for i in range(2, 999))) if n not in taken)


def recipe_text(
    name: str,
    role: Role,
    serves: str,
    minutes: int,
    hands_on: int,
    days_between: int | None,
    taken: Sequence[TakenLine],
    noted: Sequence[NotedLine],
    tags: Sequence[str],
    steps: Sequence[str],
    notes: Sequence[str],
) -> str:
    """The whole file. What is kept as a note carries the marks that its words tell of: a must-not is never lost."""
    marks = sorted(frozenset().union(*(told_by(line.written) for line in noted)))
    note = "; ".join([*(line.written for line in noted), *notes])
    lines = [
        f"name: {scalar(name)}",
        f"role: {role}",
        f"serves: {serves}",
        "uses:" if taken else "uses: []",
        *(row for line in taken for row in _use(line)),
        f"minutes: {minutes}",
        f"hands_on_minutes: {hands_on}",
        *([f"days_between: {days_between}"] if days_between is not None else []),
        *([f"tags: [{', '.join(map(quoted, tags))}]"] if tags else []),
        *([f"contents: [{', '.join(map(quoted, marks))}]   # told by what stands in the note"] if marks else []),
        *(["method:", *(f"  - {scalar(step)}" for step in steps)] if steps else []),
        *([f"note: {scalar(note)}"] if note else []),
    ]
    return "\n".join(lines) + "\n"


def tags_told(name: str, products: Iterable[Product]) -> list[str]:
    """What house rules may speak of: the meats, fish and vegetables that it takes, and soup where its name says so."""
    found = dict.fromkeys(tag for product in products if (tag := tag_of(product)))
    if re.search(r"\b(soup|broth|chowder)\b", fold(name)):
        found["soup"] = None
    return list(found)


def _use(line: TakenLine) -> Iterator[str]:
    yield f"  # {line.written}"
    said = scalar(" or ".join(line.options))
    if line.note:
        yield f"  - use: {said}"
        yield f"    note: {scalar(line.note)}"
    else:
        yield f"  - {said}"


def scalar(text: str) -> str:
    """A text as YAML takes it on a line of its own."""
    return quoted(text, _PLAIN)
