"""Which thing of the catalogue the words of a list mean, and how sure that is."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches

from msgspec import Struct

from pantrymeals.files.catalogue import Thing, named
from pantrymeals.files.gathering import fold
from pantrymeals.records import Kind

_WORD = re.compile(r"[^\W_]+")
_FILLERS = frozenset({"of", "and", "in", "the", "with", "my", "our", "some", "n", "home", "homemade"})
_LIKE = 0.86
"""How alike a misspelt name must be: 'tomatos, crushed' is 0.97, 'beans' and 'peas' 0.67."""
SHORT = 5
"""Letters of a word cut short, with the s of many: longer ones are words of their own, or misspelt."""
_KINDS: dict[str, tuple[Kind, ...]] = {
    "frozen": ("freezer",), "freezer": ("freezer",), "canned": ("jar",), "bottled": ("jar",), "jarred": ("jar",),
    "preserved": ("jar",), "dried": ("dry",), "dry": ("dry",), "fresh": ("cellar", "fridge"), "tinned": ("jar",),
}  # fmt: skip


class Meant(Struct, frozen=True):
    """The things a name can mean, likeliest first. sure: the name is one of the first's own and fits how it is kept.

    alike: the name is only spelt like theirs, as almond butter is like lemon butter.
    """

    things: tuple[Thing, ...]
    sure: bool
    alike: bool = False


def meant(name: str, kinds: Iterable[Kind] = ()) -> Meant:
    """What a name means. kinds: how it can be kept, by its container and place; none: any."""
    allowed = frozenset(kinds)
    plain = _plain(name)
    exact = _among((*named().get(fold(name).strip(" .,-"), ()), *named().get(plain, ())), allowed)
    if exact:
        return Meant(exact, len(exact) == 1 or bool(allowed) or fold(exact[0].name) == plain)
    begun, over = _begun(plain, allowed)
    elsewhere = plain in named()
    if begun and not (elsewhere and over):  # corn in bags of no freezer is no cornmeal
        return Meant(begun, False)
    if elsewhere:
        return Meant((), False)
    near = get_close_matches(plain[:80], list(named()), n=3, cutoff=_LIKE)
    return Meant(_among((t for n in near for t in named()[n]), allowed), False, alike=True)


def begun_by(name: str) -> tuple[Thing, ...]:
    """The things whose names the words of this one begin, none of them misspelt: 'toms, whole'."""
    return _begun(_plain(name), frozenset())[0]


def kinds_said(name: str) -> tuple[Kind, ...]:
    """How it may be kept by a word of its own name: 'frozen peas'; none where no word tells."""
    return next((_KINDS[word] for word in _WORD.findall(fold(name)) if word in _KINDS), ())


def _plain(name: str) -> str:
    return fold(name).replace("&", "and").strip(" .,-")


def _among(things: Iterable[Thing], allowed: frozenset[Kind]) -> tuple[Thing, ...]:
    return tuple({t.name: t for t in things if not allowed or t.kind in allowed}.values())


def _begun(plain: str, allowed: frozenset[Kind]) -> tuple[tuple[Thing, ...], float]:
    """Things one of whose names has, for each word said, a word that begins so, with the fewest left over; how many."""
    said = [w for w in _WORD.findall(plain) if w not in _FILLERS]
    if not said or max(map(len, said)) < 3:
        return (), 0
    found: dict[str, tuple[float, Thing]] = {}
    tells = 0 < len(allowed) <= 2 and (len(said) > 1 or plain in named())  # 'black beans', of jars
    told = {word for word, kinds in _KINDS.items() if tells and not allowed.isdisjoint(kinds)}
    for name, things in named().items():
        words = [w for w in _WORD.findall(name) if w not in _FILLERS and w not in told - set(said)]
        over = _over(said, words)
        if over is None:
            continue
        for thing in _among(things, allowed):
            if thing.name not in found or over < found[thing.name][0]:
                found[thing.name] = (over, thing)
    least = min((over for over, _ in found.values()), default=0)
    return tuple(thing for over, thing in found.values() if over == least), least


def _over(said: list[str], words: list[str]) -> float | None:
    """Words of a name that nothing said begins, half for one only begun; None where something said begins none."""
    left, begun = list(words), 0.0
    for word in said:
        short = word.removesuffix("s") if len(word) <= SHORT else word  # toms
        hit = next((w for w in left if stem(w) == stem(word) or (len(short) >= 3 and w.startswith(short))), None)
        if hit is None:
            return None
        left.remove(hit)
        begun += 0 if stem(hit) == stem(word) else 0.5  # corn is no cornmeal
    return len(left) + begun


def kind_of_it(name: str, kinds: Iterable[Kind] = ()) -> tuple[Thing, ...]:
    """Things one of which a longer name may be a kind of: peaches of 'Golden Queen peaches', by its last words."""
    words, allowed = _plain(name).split(), frozenset(kinds)
    for start in range(1, len(words)):
        last = " ".join(words[start:])
        if found := _among(named().get(last, ()), allowed) or _among(named().get(last, ()), frozenset()):
            return found
    return ()


def stem(word: str) -> str:
    """'tomato' of 'tomatoes', 'berr' of 'berries' and 'berry': what one and many share."""
    for ending in ("ies", "es", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word
