"""A household begins: some ten questions or an answers file, and its folder is written, nothing of another's in it."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path

from msgspec import Struct

from pantrymeals.cells import exact
from pantrymeals.contents_told import told_by
from pantrymeals.errors import Mistake, MistakesInFiles, NotUnderstood, PantryError, Place
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.begun import (
    EXAMPLE_DISH,
    QUESTIONS,
    Began,
    answer_is_clear,
    began,
    calendar_text,
    household_text,
)
from pantrymeals.files.catalogue import catalogue
from pantrymeals.files.gathering import Gathering, Wrong, fold
from pantrymeals.files.lists.rows import Listed, ListLine
from pantrymeals.files.lists.understand import KnownHere, understand
from pantrymeals.files.products import COLUMNS
from pantrymeals.files.stock import STOCK_COLUMNS
from pantrymeals.files.text_files import text_of_file
from pantrymeals.on_disk import write_safely
from pantrymeals.plans.first_count import FirstCount, Understood
from pantrymeals.words import either

Ask = Callable[[str], str]
"""Asks one question of somebody at a terminal."""
_HEADS = ("product", "thing", "sizes", *(c for c in COLUMNS if c not in ("product", "thing", "sizes", "price_usd")))


class Begun(Struct, frozen=True):
    """The files that were written, and what to say beside them."""

    files: tuple[Path, ...]
    said: tuple[str, ...]


def answers_in(path: Path) -> dict[str, str]:
    """The answers of a file of lines 'key: answer'. Raises MistakesInFiles with every line that is none."""
    gathering = Gathering()
    text = text_of_file(path, path.name, gathering)
    gathering.stop_if_any()
    answers: dict[str, str] = {}
    mistakes = []
    for number, line in enumerate((text or "").splitlines(), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        key, colon, answer = line.partition(":")
        key = fold(key).replace(" ", "_").replace("-", "_")
        if not colon or key not in QUESTIONS:
            keys = ", ".join(QUESTIONS)
            mistakes.append(Mistake(Place(path.name, number, 1), f"this is no answer to {keys}", "write people: Nora"))
        answers[key] = answer.strip()
    if mistakes:
        raise MistakesInFiles(mistakes)
    return answers


def ask_all(ask: Ask, say: Callable[[str], None]) -> dict[str, str]:
    """The answers of somebody at a terminal; what is not clear is asked again."""
    answers: dict[str, str] = {}
    for key, question in QUESTIONS.items():
        while True:
            answers[key] = ask(question)
            wrong = answer_is_clear(key, answers[key])
            if not wrong:
                break
            say(wrong)
    return answers


def start(folder: Path, answers: Mapping[str, str], today: date) -> Begun:
    """Write a household's folder. Raises PantryError where it has a household already, or an answer is not clear."""
    if (folder / "household.yaml").exists():
        raise PantryError(f"{folder} has a household already; nothing was written")
    try:
        began_so = began(answers)
    except Wrong as wrong:
        tail = f"; {wrong.right}" if wrong.right else ""
        raise NotUnderstood(f"{wrong}{tail}") from None
    coming = _coming(began_so)
    texts = {
        "household.yaml": household_text(began_so),
        "products.csv": _table(_HEADS, [(p.product, p.thing, p.size) for p, _ in coming]),
        "stock.csv": _table(STOCK_COLUMNS, []),
        "calendar.yaml": calendar_text(((p.product, f"{exact(p.count)} {p.size}", d) for p, d in coming), today),
        "recipes/an-example.txt": EXAMPLE_DISH,
    }
    if there := [name for name in texts if (folder / name).exists()]:
        raise PantryError(f"{folder / there[0]} is there already; nothing was written")
    try:
        (folder / "recipes").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise PantryError(f"{folder} cannot be made ({error.strerror})") from None
    for name, text in texts.items():
        write_safely(folder / name, text.encode(), may_make=name)
    return Begun(tuple(folder / name for name in texts), tuple(_said(folder, began_so)))


def _coming(began_so: Began) -> list[tuple[Understood, str]]:
    """What comes in, as the catalogue calls it. Raises NotUnderstood with what is not clear of it."""
    lines = tuple(ListLine(number, (what,)) for number, (what, _) in enumerate(began_so.coming_in, start=1))
    here = KnownHere((), KnownProducts.of(()), began_so.measures)
    read = understand(Listed(lines, False), here)
    found = {number: _fresh_of(names) for number, names in _could_be(read)}
    answers = {number: list(fresh) for number, fresh in found.items() if len(fresh) == 1}
    read = understand(Listed(lines, False), here, answers=answers) if answers else read
    for question in read.questions:
        choices = f" ({', '.join(question.choices)})" if question.choices else ""
        raise NotUnderstood(f"coming_in: {question.written}: {question.asked}{choices}")
    for left in read.left_out:
        raise NotUnderstood(f"coming_in: {left.written}: {left.why}")
    return [(line, began_so.coming_in[line.number - 1][1]) for line in read.lines]


def _could_be(read: FirstCount) -> Iterator[tuple[int, tuple[str, ...]]]:
    """By line the things that it may mean: those it asks about, or the one it was taken for."""
    yield from ((question.number, question.choices) for question in read.questions)
    yield from ((line.number, (line.thing,)) for line in read.lines if line.size in ("lb", "kg", "g", "oz", "each"))


def _fresh_of(names: Iterable[str]) -> set[str]:
    """What of these comes in fresh, or is eaten fresh before them: what comes week after week by weight is that."""
    meant = set(names)
    fresh = (thing for thing in catalogue().values() if thing.fresh_days is not None)
    return {thing.name for thing in fresh if thing.name in meant or meant & set(thing.eaten_before)}


def _said(folder: Path, began_so: Began) -> list[str]:
    said = [f"The household {began_so.household} begins in {folder}."]
    for mark in began_so.unknown_marks():
        wider = sorted(told_by(mark) | told_by(f"{mark}s"))
        instead = f" Its kind has the mark {either(wider)}: write that to bar all of it." if wider else ""
        said.append(
            f"Nothing in the catalogue has the mark '{mark}': it bars only what you mark so yourself, under contents "
            f"in products.csv.{instead}"
        )
    said.append(f"Next: write down what is there, and say 'first-count LIST --larder {folder}'.")
    return said


def _table(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows([*row, *[""] * (len(heads) - len(row))] for row in rows)
    return text.getvalue()
