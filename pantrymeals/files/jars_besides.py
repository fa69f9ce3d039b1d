"""Reads of season.yaml alone what fills jars and is no jar by its kind (maple syrup), for a look at the empties.

The file's other lines, a thousand in a season, are not read where they need not be: that takes longer than to take a
jar. So their mistakes are not seen here; they are told by the commands that do need them.
"""

from __future__ import annotations

import re
from pathlib import Path

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.text_files import text_of_file
from pantrymeals.files.yaml_nodes import Items, Pairs, Text, parse_yaml

KEY = "in_jars_besides"


def jars_besides(path: Path, known: KnownProducts) -> frozenset[str]:
    """The products written under in_jars_besides, by their own names; none where there is no such list."""
    text = text_of_file(path, path.name, Gathering()) if path.exists() else None
    if text is None or KEY not in text:
        return frozenset()
    its_lines = re.search(rf"^{KEY}:.*(?:\n(?:[ \t#-].*|\r?(?=\n|\Z)))*", text, re.MULTILINE)
    for part in (*((its_lines.group(),) if its_lines else ()), text):
        gathering = Gathering()
        node = parse_yaml(part, path.name, gathering)
        if isinstance(node, Pairs) and not len(gathering):
            return _named(node, known)
    return frozenset()


def _named(season: Pairs, known: KnownProducts) -> frozenset[str]:
    items = season.pairs.get(KEY)
    said = [item.text for item in items.items if isinstance(item, Text)] if isinstance(items, Items) else []
    return frozenset(product.name for text in said if (product := known.find(text)) is not None)
