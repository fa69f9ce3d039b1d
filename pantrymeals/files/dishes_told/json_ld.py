"""Dishes in a saved web page or a JSON file: the Recipe of schema.org as JSON-LD (https://schema.org/Recipe)."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from html import unescape
from typing import Any

from pantrymeals.errors import PantryError
from pantrymeals.files.dishes_told.minutes import minutes_of
from pantrymeals.files.dishes_told.text import (
    ROLE_WORDS,
    lines_without_process,
    serves_of,
    total_minutes,
    without_process,
)
from pantrymeals.files.gathering import fold
from pantrymeals.plans.dish_told import DishTold, ToldLine
from pantrymeals.plans.first_count import LeftOut

_SCRIPT = re.compile(
    r"<script[^>]*type\s*=\s*[\"']?application/ld\+json[\"']?[^>]*>(?P<json>.*?)</script>", re.IGNORECASE | re.DOTALL
)
_TAG = re.compile(r"<[^>]{0,500}>")
_PORTIONS = re.compile(r"\b(serves|servings?|portions?|people|persons?|makes|yields?|to)\b", re.IGNORECASE)
_DEEPEST = 12
_TIMES = (("totalTime", "total"), ("prepTime", "prep"), ("cookTime", "cook"), ("performTime", "cook"))


def recipes_in(text: str, name: str) -> tuple[DishTold, ...]:
    """Every Recipe of a page or a JSON text. Raises PantryError where it is no JSON, or has no Recipe.

    name: what the file is called, for the message.
    """
    blocks = [m["json"] for m in _SCRIPT.finditer(text)] or ([] if text.lstrip().startswith("<") else [text])
    found: dict[int, Mapping[str, Any]] = {}
    trouble = ""
    for block in blocks:
        try:
            read = json.loads(block.strip().removeprefix("<![CDATA[").removesuffix("]]>"), strict=False)
        except (ValueError, RecursionError) as error:
            trouble = f" (one part of it is no JSON: {error})"
            continue
        found.update((id(recipe), recipe) for recipe in _recipes(read, 0))
    if not found:
        raise PantryError(
            f"{name}: there is no Recipe as JSON-LD in it{trouble}; copy its words into a text file, and add that"
        )
    return tuple(_told(recipe) for recipe in found.values())


def _recipes(node: Any, depth: int) -> Iterator[Mapping[str, Any]]:
    """The Recipes of a document, wherever they hang: alone, in a list, in a graph, or as what a page is about."""
    if depth > _DEEPEST:
        return
    if isinstance(node, list):
        for each in node:
            yield from _recipes(each, depth + 1)
    elif isinstance(node, dict):
        kinds = node.get("@type", [])
        kinds = kinds if isinstance(kinds, list) else [kinds]
        if any(str(kind).rpartition("/")[2].rpartition(":")[2] == "Recipe" for kind in kinds):
            yield node
            return
        for each in node.values():
            yield from _recipes(each, depth + 1)


def _told(recipe: Mapping[str, Any]) -> DishTold:
    times: dict[str, int] = {}
    for key, kind in _TIMES:
        if (found := minutes_of(_text(recipe.get(key)))) is not None:
            times.setdefault(kind, found)
    minutes, guesses = total_minutes(times)
    steps, of_steps = without_process(_steps(recipe.get("recipeInstructions"), 0))
    notes, of_notes = without_process(filter(None, (_text(recipe.get("description")), _source(recipe))), "note")
    serves, choices = _serves(recipe.get("recipeYield", recipe.get("yield")))
    prep = times.get("prep")
    if prep is not None:
        guesses += (f"the time to prepare, {prep} minutes, is taken as the time hands-on",)
    written = _texts(recipe.get("recipeIngredient", recipe.get("ingredients")))
    lines, of_lines = lines_without_process(ToldLine(str(n), line) for n, line in enumerate(written, start=1))
    roles = [ROLE_WORDS[fold(word)] for word in _texts(recipe.get("recipeCategory")) if fold(word) in ROLE_WORDS]
    return DishTold(
        name=_text(recipe.get("name")) or "A dish without a name",
        lines=lines,
        steps=steps,
        serves=serves,
        serves_choices=choices,
        minutes=minutes,
        hands_on=prep,
        role=roles[0] if roles else None,
        notes=notes,
        left_out=(*of_lines, *of_steps, *of_notes, *_no_lines(written)),
        guesses=guesses,
    )


def _no_lines(lines: list[str]) -> tuple[LeftOut, ...]:
    return () if lines else (LeftOut(0, "ingredients", "the page has none in its Recipe"),)


def _source(recipe: Mapping[str, Any]) -> str:
    said = ", ".join(filter(None, (*_texts(recipe.get("author")), _text(recipe.get("url")))))
    return f"from {said}" if said else ""


def _serves(node: Any) -> Any:
    """The portions: of several texts the first that speaks of one number of them; '24 cookies' speaks of none."""
    choices: tuple[str, ...] = ()
    for text in _texts(node):
        if re.search(r"[^\W\d_]", _PORTIONS.sub("", text)):
            continue
        number, several = serves_of(re.sub(r"[^\d./ –-]", " ", text))
        if number is not None:
            return number, ()
        choices = choices or several
    return None, choices


def _steps(node: Any, depth: int) -> Iterator[str]:
    if depth > _DEEPEST or node is None:
        return
    if isinstance(node, str):
        yield from (clean for line in re.split(r"</(?:p|li|div)>|<br\s*/?>|\n", node) if (clean := _clean(line)))
    elif isinstance(node, list):
        for each in node:
            yield from _steps(each, depth + 1)
    elif isinstance(node, dict):
        if node.get("itemListElement"):
            yield from _steps(node["itemListElement"], depth + 1)
        else:
            yield from _steps(node.get("text") or node.get("name"), depth + 1)


def _texts(node: Any) -> list[str]:
    nodes = node if isinstance(node, list) else [node]
    return [text for each in nodes for line in _raw(each).splitlines() or [""] if (text := _clean(line))]


def _text(node: Any) -> str:
    return " ".join(_texts(node))


def _raw(node: Any) -> str:
    if isinstance(node, dict):
        node = node.get("value") or node.get("name") or node.get("text") or ""
    return "" if node is None or isinstance(node, (list, dict)) else str(node)


def _clean(text: str) -> str:
    """Its plain words: without tags, entities as letters (twice where a page has wrapped them twice)."""
    return " ".join(_TAG.sub(" ", unescape(unescape(text))).split())
