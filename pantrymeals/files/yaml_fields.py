"""A YAML mapping read field by field, every mistake written down with its place."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TypeVar

from pantrymeals.errors import Place
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.yaml_nodes import Items, Node, Pairs, Text

T = TypeVar("T")
D = TypeVar("D")


class Fields:
    """The fields of one mapping.

    allowed: every field it may have; any other is a mistake with the nearest name.
    what: what the mapping is, for messages ('a dish', 'a person').
    """

    def __init__(self, node: Node | None, allowed: Collection[str], what: str, gathering: Gathering) -> None:
        self.gathering = gathering
        self.what = what
        self.place = node.place if node else Place("")
        self._pairs = node.pairs if isinstance(node, Pairs) else {}
        self._key_places = node.key_places if isinstance(node, Pairs) else {}
        if node is not None and not isinstance(node, Pairs) and not is_blank(node):
            gathering.say(node.place, f"{what} is written as 'name: value' lines", "see how the others stand")
        for key, place in self._key_places.items():
            if key not in allowed:
                right = gathering.did_you_mean(key, allowed, f"{what} has: {', '.join(allowed)}")
                gathering.say(place, f"{shown(key)} is not known for {what}", right)

    def node(self, key: str) -> Node | None:
        """What a field holds; None when it is absent or blank."""
        node = self._pairs.get(key)
        return None if node is None or is_blank(node) else node

    def has(self, key: str) -> bool:
        """Whether a field is there and not blank."""
        return self.node(key) is not None

    def place_of(self, key: str) -> Place:
        """Where a field's value stands; the mapping's own place when it is absent."""
        node = self._pairs.get(key)
        return node.place if node else self.place

    def say(self, key: str, wrong: str, right: str = "") -> None:
        """Write down a mistake at a field."""
        self.gathering.say(self.place_of(key), wrong, right)

    def need(self, *keys: str) -> bool:
        """Whether these fields are all there; each that is not is written down."""
        missing = [k for k in keys if not self.has(k)]
        for key in missing:
            self.say(key, f"{self.what} needs '{key}'", f"write '{key}: ...'")
        return not missing

    def text(self, key: str) -> str:
        """A field's text in one line, '' when absent."""
        node = self.node(key)
        if node is None:
            return ""
        return " ".join(self._one_text(node, key).split())

    def read(self, key: str, read: Callable[[str], T], otherwise: D) -> T | D:
        """What ``read`` makes of a field; ``otherwise`` when it is absent or wrong."""
        text = self.text(key)
        return self.gathering.attempt(self.place_of(key), read, text, otherwise) if text else otherwise

    def many(self, key: str) -> tuple[Node, ...]:
        """What a field lists; a single thing counts as a list of one."""
        node = self.node(key)
        if node is None:
            return ()
        return tuple(n for n in node.items if not is_blank(n)) if isinstance(node, Items) else (node,)

    def texts(self, key: str) -> tuple[Text, ...]:
        """The texts a field lists; a single text is split at its semicolons."""
        node = self.node(key)
        if isinstance(node, Text):
            return tuple(Text(p.strip(), node.place) for p in node.text.split(";") if p.strip())
        out = []
        for item in self.many(key):
            text = self._one_text(item, key)
            if text:
                out.append(Text(" ".join(text.split()), item.place))
        return tuple(out)

    def marks(self, key: str) -> frozenset[str]:
        """The marks or tags a field lists, in small letters as they are matched."""
        return frozenset(fold(t.text) for t in self.texts(key))

    def read_many(self, key: str, read: Callable[[str], T]) -> tuple[T, ...]:
        """What ``read`` makes of each text a field lists; the wrong ones are written down and left out."""
        out = []
        for text in self.texts(key):
            try:
                out.append(read(text.text))
            except Wrong as wrong:
                self.gathering.say(text.place, wrong.wrong, wrong.right)
        return tuple(out)

    def pairs(self, key: str, example: str) -> Sequence[tuple[Text, Node]]:
        """The (name with its place, value) pairs of a field that is itself a mapping."""
        node = self.node(key)
        if node is None:
            return ()
        if not isinstance(node, Pairs):
            self.gathering.say(node.place, f"'{key}' is a list of names with values", f"write it as {example}")
            return ()
        return [(Text(k, node.key_places[k]), v) for k, v in node.pairs.items()]

    def _one_text(self, node: Node, key: str) -> str:
        if isinstance(node, Text):
            return node.text
        self.gathering.say(node.place, f"'{key}' should be a plain text here", "leave out its brackets or dashes")
        return ""


def is_blank(node: Node) -> bool:
    """Whether nothing was written."""
    return isinstance(node, Text) and not node.text
