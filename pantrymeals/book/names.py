"""Finding what was meant: 'crushed tom' is Tomatoes, crushed; 'n1' is the place N1."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import partial

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")
_LIKE_ENOUGH = 0.78
"""How alike a mistyped word must be: 'tomatos' is near enough to tomatoes, 'beef' is not to beets."""


def words_of(text: str) -> tuple[str, ...]:
    """The words of a name, without case, commas or the plural's s."""
    return tuple(_single(word) for word in _as_said(text))


def _as_said(text: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(text.casefold()))


def _single(word: str) -> str:
    word = word.removesuffix("'s").removesuffix("’s")
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith("oes") and len(word) > 4:
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def meant(said: str, names: Mapping[str, Iterable[str]], *, surely: bool = False) -> tuple[str, ...]:
    """The names that ``said`` can mean, the surest kind of likeness only; empty when none is near.

    names: each name with its second names. In order: the very name; its words all said, and no
    others; each word said begins one of its words; each word said is like one of its words; all
    that was said, run together, is like the name. surely: without the last two, which forgive slips,
    and 'caks' then begins no cakes.
    """
    wanted = words_of(said)
    if not wanted:
        return ()
    by_words = {name: [words_of(each) for each in (name, *others)] for name, others in names.items()}
    begins = partial(_begins, written=_as_said(said) if surely else wanted)
    for fits in (_same, _same_in_any_order, begins, *(() if surely else (_is_like, _is_like_run_together))):
        found = tuple(name for name, called in by_words.items() if any(fits(wanted, words) for words in called))
        if found:
            return found
    return ()


def every_kind(said: str, names: Mapping[str, Iterable[str]]) -> tuple[str, ...]:
    """All names of which the name, a second name or what else they are called by has words beginning with each said."""
    wanted = words_of(said)
    return tuple(
        name for name, others in names.items() if wanted and any(_begins(wanted, words_of(n)) for n in (name, *others))
    )


def _same(wanted: tuple[str, ...], words: tuple[str, ...]) -> bool:
    return wanted == words


def _same_in_any_order(wanted: tuple[str, ...], words: tuple[str, ...]) -> bool:
    return sorted(wanted) == sorted(words)


def _begins(wanted: tuple[str, ...], words: tuple[str, ...], written: tuple[str, ...] = ()) -> bool:
    """Whether each word wanted begins one of the words. written: the same with their plural's s, where it counts."""
    left = list(words)
    for word, as_written in zip(wanted, written or wanted, strict=True):
        found = next((other for other in left if other == word or other.startswith(as_written)), None)
        if found is None:
            return False
        left.remove(found)
    return True


def _is_like(wanted: tuple[str, ...], words: tuple[str, ...]) -> bool:
    return all(any(_likeness(word, other) >= _LIKE_ENOUGH for other in words) for word in wanted)


def _is_like_run_together(wanted: tuple[str, ...], words: tuple[str, ...]) -> bool:
    """'aple sauce' for applesauce: spelt apart, or with a slip."""
    # a letter before the name ('c jam' for a cup of it) is no slip of the pen
    return wanted[0][0] == words[0][0] and _ratio("".join(wanted), "".join(words)) >= 0.9


def _likeness(word: str, other: str) -> float:
    if word[0] != other[0] or abs(len(word) - len(other)) > 3:
        return 0.0
    return _ratio(word, other)


def nearest(said: str, names: Iterable[str], most: int = 8) -> tuple[str, ...]:
    """The names most like what was said, nearest first; for a list to choose from."""
    wanted = words_of(said)
    scored = sorted(
        ((max((_alike(w, o) for w in wanted for o in words_of(name)), default=0.0), name) for name in names),
        key=lambda pair: (-pair[0], pair[1]),
    )
    return tuple(name for score, name in scored if score >= 0.6)[:most]


def _alike(word: str, other: str) -> float:
    if len(word) > 2 and (other.startswith(word) or word.startswith(other)):
        return 1.0
    return _ratio(word, other)


def _ratio(one: str, other: str) -> float:
    """How alike two words are (0 unlike … 1 the same)."""
    from difflib import SequenceMatcher  # only where something is mistyped

    return SequenceMatcher(None, one, other).ratio()
