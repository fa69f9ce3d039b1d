"""Which thing of the catalogue the words of a list mean, and how sure that is."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from pantrymeals.files.catalogue import Thing, named
from pantrymeals.files.gathering import fold
from pantrymeals.records import Kind

_WORD = re.compile(r"[^\W_]+")
_FILLERS = frozenset({"of", "and", "in", "the", "with", "my", "our", "some", "n", "home", "homemade"})
_LIKE = 0.86
"""How alike a misspelt name must be: 'tomatos, crushed' is 0.97, 'beans' and 'peas' 0.67."""
_KINDS: dict[str, tuple[Kind, ...]] = {
    "frozen": ("freezer",), "freezer": ("freezer",), "canned": ("jar",), "bottled": ("jar",), "jarred": ("jar",),
    "preserved": ("jar",), "dried": ("dry",), "dry": ("dry",), "fresh": ("cellar", "fridge"), "tinned": ("jar",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Meant:
    """The things a name can mean, likeliest first. sure: the name is one of the first's own and fits how it is kept."""

    things: tuple[Thing, ...]
    sure: bool


def meant(name: str, kinds: Iterable[Kind] = ()) -> Meant:
    """What a name means. kinds: how it can be kept, by its container and place; none: any."""
    allowed = frozenset(kinds)
    plain = _plain(name)
    exact = _among((*named().get(fold(name).strip(" .,-"), ()), *named().get(plain, ())), allowed)
    if exact:
        return Meant(exact, len(exact) == 1 or bool(allowed) or fold(exact[0].name) == plain)
    begun = _begun(plain, allowed)
    if begun:
        return Meant(begun, False)
    near = get_close_matches(plain[:80], list(named()), n=3, cutoff=_LIKE)
    return Meant(_among((t for n in near for t in named()[n]), allowed), False)


def kinds_said(name: str) -> tuple[Kind, ...]:
    """How it may be kept by a word of its own name: 'frozen peas'; none where no word tells."""
    return next((_KINDS[word] for word in _WORD.findall(fold(name)) if word in _KINDS), ())


def _plain(name: str) -> str:
    return fold(name).replace("&", "and").strip(" .,-")


def _among(things: Iterable[Thing], allowed: frozenset[Kind]) -> tuple[Thing, ...]:
    return tuple({t.name: t for t in things if not allowed or t.kind in allowed}.values())


def _begun(plain: str, allowed: frozenset[Kind]) -> tuple[Thing, ...]:
    """Things one of whose names has, for each word said, a word that begins so; fewest words left over first."""
    said = [w for w in _WORD.findall(plain) if w not in _FILLERS]
    if not said or max(map(len, said)) < 3:
        return ()
    found: dict[str, tuple[int, Thing]] = {}
    for name, things in named().items():
        words = [w for w in _WORD.findall(name) if w not in _FILLERS]
        over = _over(said, words)
        if over is None:
            continue
        for thing in _among(things, allowed):
            if thing.name not in found or over < found[thing.name][0]:
                found[thing.name] = (over, thing)
    least = min((over for over, _ in found.values()), default=0)
    return tuple(thing for over, thing in sorted(found.values(), key=lambda f: f[0]) if over == least)


def _over(said: list[str], words: list[str]) -> int | None:
    """Words of a name that nothing said begins; None where something said begins none of them."""
    left = list(words)
    for word in said:
        hit = next((w for w in left if stem(w) == stem(word) or (len(word) >= 3 and w.startswith(word))), None)
        if hit is None:
            return None
        left.remove(hit)
    return len(left)


def stem(word: str) -> str:
    """'tomato' of 'tomatoes', 'berr' of 'berries' and 'berry': what one and many share."""
    for ending in ("ies", "es", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word
