"""YAML as plain texts, lists and mappings, each with its place; nothing else of YAML is let in.

Built from the parser's events with a stack of our own, not by recursion: so a file
of ten thousand open brackets is a mistake with a place, and aliases, which can make
a small file unfold into gigabytes, are refused where they stand.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

import yaml
from msgspec import Struct, field

from pantrymeals.errors import Place
from pantrymeals.files.gathering import Gathering, Wrong, shown
from pantrymeals.files.text_files import text_of_file

_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
DEEPEST = 30
"""A household's files nest five deep."""
_TOO_DEEP = f"lists or mappings lie more than {DEEPEST} deep in each other"


class Text(NamedTuple):
    """A scalar, as written; '' when nothing was written."""

    text: str
    place: Place


class Items(NamedTuple):
    """A list."""

    items: tuple[Node, ...]
    place: Place


class Pairs(NamedTuple):
    """A mapping, in the order written."""

    pairs: Mapping[str, Node]
    key_places: Mapping[str, Place]
    place: Place


Node: TypeAlias = Text | Items | Pairs


class _Refused(Wrong):
    """YAML that we do not take, with its place."""

    def __init__(self, place: Place, wrong: str, right: str = "") -> None:
        super().__init__(wrong, right)
        self.place = place


class _Open(Struct):
    """A list or mapping still being filled."""

    place: Place
    is_list: bool
    items: list[Node] = field(default_factory=list)
    pairs: dict[str, Node] = field(default_factory=dict)
    key_places: dict[str, Place] = field(default_factory=dict)
    key: Text | None = None


def read_yaml(path: Path, name: str, gathering: Gathering) -> Node | None:
    """The one document of a file; None when it is empty or a mistake was written down."""
    text = text_of_file(path, name, gathering)
    return None if text is None else parse_yaml(text, name, gathering)


def parse_yaml(text: str, name: str, gathering: Gathering) -> Node | None:
    """The one document of a text; None when it is empty or a mistake was written down."""
    try:
        return _tree(text, name)
    except _Refused as refused:
        gathering.say(refused.place, refused.wrong, refused.right)
    except yaml.YAMLError as error:
        place, wrong, right = _in_plain_words(error, text, name)
        gathering.say(place, wrong, right)
    except (ValueError, OverflowError, RecursionError):  # from within the parser itself
        gathering.say(Place(name), "this file cannot be read as YAML")
    return None


def _tree(text: str, name: str) -> Node | None:
    next_event = _LOADER(text).get_event
    root: Node | None = None
    documents = 0
    open_ones: list[_Open] = []
    while (kind := type(event := next_event())) is not yaml.StreamEndEvent:
        done: Node | None = None
        if kind in _BEGINS_A_NODE:
            place = _start(event, name)
            if kind is yaml.AliasEvent or event.anchor is not None or event.tag is not None:
                _refuse_what_unfolds(event, place)
            if kind is yaml.ScalarEvent:
                done = _scalar(event, place)
            elif len(open_ones) >= DEEPEST:
                raise _Refused(place, _TOO_DEEP)
            else:
                open_ones.append(_Open(place, kind is yaml.SequenceStartEvent))
        elif kind in _ENDS_A_NODE:
            done = _closed(open_ones.pop())
        elif kind is yaml.DocumentStartEvent:
            documents += 1
            if documents > 1:
                raise _Refused(_start(event, name), "a second document begins here", "leave out the line '---'")
        if done is None:
            continue
        if open_ones:
            _put(open_ones[-1], done)
        else:
            root = done
    return None if isinstance(root, Text) and not root.text else root


_BEGINS_A_NODE = frozenset({yaml.ScalarEvent, yaml.SequenceStartEvent, yaml.MappingStartEvent, yaml.AliasEvent})
_ENDS_A_NODE = frozenset({yaml.SequenceEndEvent, yaml.MappingEndEvent})


def _start(event: Any, name: str) -> Place:
    return Place(name, event.start_mark.line + 1, event.start_mark.column + 1)


def _refuse_what_unfolds(event: Any, place: Place) -> None:
    if isinstance(event, yaml.AliasEvent):
        raise _Refused(
            place,
            f"'*{event.anchor}' is an alias",
            "write it out once more, or put a text that begins with * in quotes",
        )
    if event.anchor is not None:
        raise _Refused(place, f"'&{event.anchor}' is an anchor", "put a text that begins with & in quotes")
    if event.tag not in (None, "!"):
        raise _Refused(place, f"{shown(event.tag)} is a tag", "put a text that begins with ! in quotes")


def _scalar(event: Any, place: Place) -> Text:
    text = event.value.strip()
    return Text("" if text in _NOTHING and not event.style else text, place)


_NOTHING = frozenset({"~", "null", "Null", "NULL"})


def _closed(done: _Open) -> Node:
    if done.is_list:
        return Items(tuple(done.items), done.place)
    return Pairs(done.pairs, done.key_places, done.place)


def _put(into: _Open, node: Node) -> None:
    if into.is_list:
        into.items.append(node)
    elif into.key is not None:
        into.pairs[into.key.text] = node
        into.key_places[into.key.text] = into.key.place
        into.key = None
    elif not isinstance(node, Text):
        raise _Refused(node.place, "a list or mapping stands where a name should", "write 'name: value'")
    elif node.text in into.pairs:
        first = into.key_places[node.text].line
        raise _Refused(node.place, f"{shown(node.text)} is written twice (first on line {first})", "keep one")
    else:
        into.key = node


def _in_plain_words(error: yaml.YAMLError, text: str, name: str) -> tuple[Place, str, str]:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name)
    problem = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "")
    if mark and text[mark.index : mark.index + 1] == "\t":
        return place, "a tab stands before the text", "indent with spaces"
    for pattern, wrong, right in _PARSER_SAYS:
        if re.search(pattern, problem):
            return place, wrong, right
    return place, f"this is not YAML ({problem})" if problem else "this is not YAML", "see the lines above it"


_PARSER_SAYS = (
    (
        r"mapping values are not allowed",
        "there is a ':' too many, or this line is indented too far",
        "put a text that holds ': ' in quotes",
    ),
    (r"unexpected end of stream", "a quote mark is never closed", "close it with the same mark"),
    (r"did not find expected ',' or '[\]}]'", "a '[' or '{' is open, or a comma is missing", "close it"),
    (r"could not find expected ':'", "this line is no 'name: value'", "see whether a ':' is missing"),
    (r"did not find expected|expected <block end>", "this line is out of step", "indent it like the others"),
    (r"cannot start any token", "a text cannot begin with this character", "put the text in quotes"),
    (r"nesting depth", _TOO_DEEP, ""),
)
