"""A dish written for any of several things: 'each_of: stewing meat in a jar' is a dish for each that a larder keeps.

In its texts {} stands for what it is made of: in its name and method a word of this household ('beef', 'chook'), in its
uses the thing of the catalogue. So a larder of venison has a venison stew, and none that is called beef. And 'called:
[squash]' in a dish whose name has that word: where what it takes of that is called otherwise here, so is the dish.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.catalogue import catalogue, serving_as
from pantrymeals.files.gathering import fold
from pantrymeals.files.yaml_nodes import Items, Node, Pairs, Text
from pantrymeals.records import Product, Use
from pantrymeals.words import bare_name, capital, one

KEY = "each_of"
CALLED = "called"
SLOT = "{}"
_MANNER = re.compile(
    r"\b(chunks?|pieces?|frozen|canned|bottled|dried|in (broth|jars?|syrup)|stewing|whole|half|legs?|breasts?|"
    r"roast(ing)?|joint)\b",
    re.IGNORECASE,
)
_TAGS: Mapping[str, str] = {
    "beef": "beef", "pork": "pork", "lamb": "lamb", "venison": "venison", "chicken": "chicken", "trout": "fish",
    "sausage": "sausage", "pea": "peas", "green bean": "green beans", "broccoli": "broccoli", "greens": "greens",
    "kale": "kale", "carrot": "carrots", "sweet corn": "corn", "squash": "squash", "zucchini": "zucchini",
    "apple": "apple", "pear": "pear", "peach": "peach", "cherry": "cherry", "rhubarb": "rhubarb", "cabbage": "kraut",
    "dry bean": "beans",
}  # fmt: skip
"""The tag of a family that house rules speak of; 'ham, half' and 'beef chunks' go by their first words."""


def each_of(node: Node, known: KnownProducts) -> Iterator[Node]:
    """The dish as it is; or, of one written for each of several things, one for each that this larder keeps."""
    said = node.pairs.get(KEY) if isinstance(node, Pairs) else None
    if not isinstance(said, Text):
        yield node
        return
    things = {thing.name for thing in serving_as().get(fold(said.text), ())}
    for product in known.by_name.values():
        if product.thing in things:
            yield _made_of(node, product)


def lacking_of(node: Node) -> tuple[str, str]:
    """(a name for the dish, what it is written for) of one that this larder keeps nothing for."""
    assert isinstance(node, Pairs)
    said, name = node.pairs[KEY], node.pairs.get("name")
    group = said.text if isinstance(said, Text) else ""
    title = name.text if isinstance(name, Text) else group
    return capital(title.replace(SLOT, group.removeprefix("any ").removesuffix(" in a jar"))), group


def word_for(product: Product) -> str:
    """What a dish of it is called: 'beef' of 'Beef chunks', 'peaches' of 'Peaches in syrup', 'strawberry jam'."""
    head, _, tail = product.name.partition(",")
    tail = " ".join(_MANNER.sub(" ", tail).split())
    word = " ".join(_MANNER.sub(" ", head).split()) or bare_name(product.thing)
    return f"{tail} {word}".strip().lower() if tail else word.lower()


def tag_of(product: Product) -> str:
    """The tag that house rules have for a dish of it; '' for none."""
    return next((tag for family, tag in _TAGS.items() if fold(product.family).startswith(family)), "")


def words_called(node: Node) -> tuple[Node, tuple[str, ...]]:
    """A dish without its key ``called``, and the words of its name that the household may have others for."""
    said = node.pairs.get(CALLED) if isinstance(node, Pairs) else None
    if not isinstance(node, Pairs) or not isinstance(said, Items):
        return node, ()
    pairs = {key: value for key, value in node.pairs.items() if key != CALLED}
    words = tuple(item.text for item in said.items if isinstance(item, Text))
    return Pairs(pairs, {key: node.key_places[key] for key in pairs}, node.place), words


def called_here(node: Node, words: Iterable[str], taken: Iterable[tuple[Node, Use]], known: KnownProducts) -> Node:
    """'Pumpkin pie' where no squash is kept for a squash pie. taken: each use as written and as read."""
    uses = tuple(taken)
    for word in words:
        use = next((use for written, use in uses if any(word in text for text in _texts(written))), None)
        products = [known.by_name[option.product] for option in use.options] if use else []
        if products and not any(word in fold(p.name) for p in products):
            own = word_for(products[0])
            node = _respelled(node, re.compile(rf"\b{word}\b(?= \w)", re.IGNORECASE), one(own))
            node = _respelled(node, re.compile(rf"\b{word}s?\b", re.IGNORECASE), own)
    return node


def _texts(node: Node) -> Iterator[str]:
    """Every text in it, folded."""
    if isinstance(node, Text):
        yield fold(node.text)
        return
    for below in node.items if isinstance(node, Items) else node.pairs.values():
        yield from _texts(below)


def _respelled(node: Node, word: re.Pattern[str], own: str) -> Node:
    """With another word in its name, method and note."""

    def said(text: Text) -> Text:
        new = word.sub(own, text.text)
        return Text(capital(new) if text.text[:1].isupper() else new, text.place)

    assert isinstance(node, Pairs)
    pairs = dict(node.pairs)
    for key in ("name", "method", "note"):
        value = pairs.get(key)
        if isinstance(value, Text):
            pairs[key] = said(value)
        elif isinstance(value, Items):
            pairs[key] = Items(tuple(said(x) if isinstance(x, Text) else x for x in value.items), value.place)
    return Pairs(pairs, node.key_places, node.place)


def _made_of(node: Node, product: Product) -> Node:
    assert isinstance(node, Pairs)
    word = word_for(product)
    thing = catalogue()[fold(product.thing)].name
    pairs = {key: _filled(value, thing if key == "uses" else word) for key, value in node.pairs.items() if key != KEY}
    name = pairs.get("name")
    if isinstance(name, Text):
        pairs["name"] = Text(capital(name.text), name.place)
    if tag := tag_of(product):
        tags = pairs.get("tags")
        more = tags.items if isinstance(tags, Items) else ()
        pairs["tags"] = Items((*more, Text(tag, node.place)), node.place)
    places = {key: node.key_places.get(key, node.place) for key in pairs}
    return Pairs(pairs, places, node.place)


def _filled(node: Node, word: str) -> Node:
    if isinstance(node, Text):
        return Text(node.text.replace(SLOT, word), node.place)
    if isinstance(node, Items):
        return Items(tuple(_filled(item, word) for item in node.items), node.place)
    return Pairs({k: _filled(v, word) for k, v in node.pairs.items()}, node.key_places, node.place)
