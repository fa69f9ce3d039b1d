"""Reads season.yaml as plain lists, mappings and text, for next season's list."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pantrymeals.files import values
from pantrymeals.files.gathering import Gathering, Wrong, shown
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Items, Node, Pairs, read_yaml
from pantrymeals.records import FreeHours

FILE = "season.yaml"
BATCH_HOURS = ("weekday", "hours", "from", "to")


def read_season(path: Path, gathering: Gathering) -> Mapping[str, object]:
    """The file's mapping, nested as written; every value at the bottom is a text."""
    node = read_yaml(path, FILE, gathering)
    if node is None:
        return {}
    if not isinstance(node, Pairs):
        gathering.say(node.place, "this file is written as 'name: value' lines", "begin with a name and a colon")
        return {}
    return {name: plain(value) for name, value in node.pairs.items()}


def read_batch_hours(path: Path, gathering: Gathering) -> tuple[FreeHours, ...]:
    """Hours free for batch days: 'weekday: Sat, hours: 5', between two yearly days where they are given.

    A file that cannot be read at all has been written down by ``read_season``.
    """
    node = read_yaml(path, FILE, Gathering())
    rows = node.pairs.get("batch_hours") if isinstance(node, Pairs) else None
    if rows is None:
        return ()
    items = rows.items if isinstance(rows, Items) else (rows,)
    return tuple(hours for item in items for hours in _batch_hours(item, gathering))


def _batch_hours(node: Node, gathering: Gathering) -> tuple[FreeHours, ...]:
    fields = Fields(node, BATCH_HOURS, "hours for a batch day", gathering)
    if not isinstance(node, Pairs) or not fields.need("weekday", "hours"):
        return ()
    minutes = fields.read("hours", _minutes, 0)
    first = fields.read("from", values.yearly_day, (1, 1))
    last = fields.read("to", values.yearly_day, (12, 31))
    weekdays = [day for days in fields.read_many("weekday", values.weekdays) for day in days]
    return tuple(FreeHours(day, minutes, first, last, node.place) for day in weekdays)


def _minutes(text: str) -> int:
    hours = values.zero_or_more(text)
    if hours > 24:
        raise Wrong(f"{shown(text)} is more hours than a day has", "write hours such as 5 or 2 1/2")
    return int(hours * 60)


def plain(node: Node) -> object:
    """A node without its places."""
    if isinstance(node, Pairs):
        return {name: plain(value) for name, value in node.pairs.items()}
    return [plain(item) for item in node.items] if isinstance(node, Items) else node.text
