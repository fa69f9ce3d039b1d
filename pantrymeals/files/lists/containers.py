"""Which container a line of a list means, and how many of it: as said, as there is already, or a question."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.files.amounts import size_of
from pantrymeals.files.catalogue import Thing
from pantrymeals.files.gathering import Wrong
from pantrymeals.files.lists.said import HALF_JAR, ONE_JAR, LineSaid
from pantrymeals.files.products import sizes_and_measure
from pantrymeals.records import Kind, Measures, Product, Size
from pantrymeals.units import JAR_SIZES, as_words, unit_named

SKIP = "skip"


class Unclear(Struct, frozen=True):
    """What has to be asked before a line counts."""

    asked: str
    choices: tuple[str, ...] = ()


class What(Struct, frozen=True):
    product: str
    thing: str
    kind: Kind
    guesses: tuple[str, ...] = ()
    of_thing: Thing | None = None
    own: Product | None = None


class Sized(Struct, frozen=True):
    size: str
    count: Fraction
    loose: bool = False
    guesses: tuple[str, ...] = ()


def container(measures: Measures, said: LineSaid, what: What, answers: Sequence[str]) -> Sized | Unclear:
    """Which container, and how many: as said, as there is already, or a question; a count is never made up."""
    assert said.count is not None
    own = what.own
    size = said.size or next((a for a in answers if _is_size(a)), "")
    if own is not None and not size:
        if len(own.sizes) == 1:
            return Sized(own.sizes[0].name, said.count, not own.whole)
        return Unclear("of which size?", (*(s.name for s in own.sizes), SKIP))
    if own is not None and (there := size_of(own, size)) is not None:
        return Sized(there.name, said.count, not own.whole)
    usual = _usual(measures, what)
    if not size:
        if len(usual) == 1 and _is_a_piece(what, usual[0]):
            return Sized(usual[0].name, said.count, _loose(what))
        if said.box and said.box not in ("jar", "tin", "piece") and what.kind in ("freezer", "dry", "cellar"):
            example = "2 lb" if measures == "us" else "500 g"
            return Unclear(f"how much does one {said.box} hold? say it as '{said.box} = {example}'", (SKIP,))
        return Unclear("of which size?", (*(s.name for s in usual), SKIP))
    if weighed := _weighed(said.count, size, what, usual):
        return weighed
    return _contained(said.count, size, what, usual)


def _weighed(count: Fraction, size: str, what: What, usual: tuple[Size, ...]) -> Sized | None:
    """A 'bushel = 48 lb' of what is dipped into, in pounds; None for all else."""
    if "=" not in size or not _loose(what) or len(usual) != 1 or usual[0].name not in ("lb", "kg"):
        return None
    holds, measure = sizes_and_measure(size)
    if measure != "g":
        return None
    pounds = count * holds[0].content / usual[0].content
    guess = f"{as_words(count)} x {base_name(size)} is taken as {as_words(pounds)} {usual[0].name}"
    return Sized(usual[0].name, pounds, True, (guess,))


def measured_out(said: LineSaid, what: What) -> LineSaid:
    """A line of milk or oil, of which '1/2 gal' and '500 ml' are amounts and no jars; any other as it is."""
    if what.kind not in ("fridge", "dry") or not said.guesses:
        return said
    left = tuple(g for g in said.guesses if not g.endswith(HALF_JAR) and g != ONE_JAR)
    if ONE_JAR not in said.guesses:
        return replace(said, guesses=left)
    return replace(said, guesses=left, size="ml", count=sizes_and_measure(said.size)[0][0].content)


def _contained(count: Fraction, size: str, what: What, usual: tuple[Size, ...]) -> Sized | Unclear:
    """A bare weight or volume of what is kept in packs or jars in whole ones of the usual size; else as it was said."""
    unit = unit_named(size)
    if unit is None and (like := _like_usual(size, usual)):
        return _whole(count, like, False)
    if unit is None or size in JAR_SIZES or what.kind in ("cellar", "dry", "fridge"):
        loose = what.kind in ("cellar", "dry", "fridge") and unit is not None
        return _whole(count, size, loose or (_loose(what) and unit is not None))
    packs = [s for s in usual if not _is_a_piece(what, s) and (count * unit[1] / s.content).denominator == 1]
    same = next((s for s in usual if s.name == size), None)
    if same is not None and count.denominator == 1:
        return Sized(size, count)
    if packs and unit[0] == sizes_and_measure(packs[0].name)[1]:
        many = count * unit[1] / packs[0].content
        guess = f"{as_words(count)} {size} is taken as {as_words(many)} x {packs[0].name}"
        return Sized(packs[0].name, many, guesses=(guess,))
    return Sized(size, count, loose=True)


def _like_usual(size: str, usual: tuple[Size, ...]) -> str:
    """The usual container that holds the same: '500 g pack' of raspberries is their '500 g bag'; '' where none does."""
    sizes, measure = sizes_and_measure(size)
    like = (s for s in usual if s.content == sizes[0].content and sizes_and_measure(s.name)[1] == measure)
    return next((s.name for s in like if measure != "each"), "")


def _whole(count: Fraction, size: str, loose: bool) -> Sized | Unclear:
    if count.denominator != 1 and not loose:
        return Unclear(f"{as_words(count)} of {size}? what is opened whole is counted whole", ("a number", SKIP))
    return Sized(size, count, loose)


def _usual(measures: Measures, what: What) -> tuple[Size, ...]:
    thing = what.of_thing
    if thing is None:
        return ()
    text = thing.sizes if measures == "us" else thing.sizes_metric
    return sizes_and_measure(text)[0]


def _is_a_piece(what: What, size: Size) -> bool:
    """Whether a container is the thing itself, a bird or a head: then a bare count is clear."""
    measure = sizes_and_measure(what.of_thing.sizes)[1] if what.of_thing else "g"
    return measure == "each" and size.content == 1


def base_name(size: str) -> str:
    """'pt bag' of 'pt bag = 1 pt'."""
    return size.partition("=")[0].strip()


def _loose(what: What) -> bool:
    return what.of_thing is not None and what.of_thing.loose


def _is_size(answer: str) -> bool:
    if answer.isdigit():
        return False  # so many of them
    try:
        sizes, _ = sizes_and_measure(answer)
    except Wrong:
        return False
    return len(sizes) == 1 and (unit_named(answer) is not None or bool(re.search(r"\d|=", answer)))
