"""Reads season.yaml as plain lists, mappings and text, for next season's list."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pantrymeals.files.gathering import Gathering
from pantrymeals.files.yaml_nodes import Items, Node, Pairs, read_yaml

FILE = "season.yaml"


def read_season(path: Path, gathering: Gathering) -> Mapping[str, object]:
    """The file's mapping, nested as written; every value at the bottom is a text."""
    node = read_yaml(path, FILE, gathering)
    if node is None:
        return {}
    if not isinstance(node, Pairs):
        gathering.say(
            node.place, "this file is written as 'name: value' lines", "begin with a name and a colon"
        )
        return {}
    return {name: plain(value) for name, value in node.pairs.items()}


def plain(node: Node) -> object:
    """A node without its places."""
    if isinstance(node, Pairs):
        return {name: plain(value) for name, value in node.pairs.items()}
    return [plain(item) for item in node.items] if isinstance(node, Items) else node.text
