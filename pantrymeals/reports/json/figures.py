"""What is foreseen or worked out, as JSON for other programs: the records' own names, figures rounded.

It is not read back: whole numbers stand where they are exact, others to four decimals; units are in the names.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, datetime
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import asdict


def figures_json(**parts: object) -> str:
    """The parts of an answer, records or lists of them, as one JSON object in the order given."""
    return json.dumps({name: _plain(value) for name, value in parts.items()}, indent=2, ensure_ascii=False)


def _plain(value: object) -> object:
    if isinstance(value, Struct):
        return {name: _plain(part) for name, part in asdict(value).items()}
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else round(float(value), 4)
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, Mapping):
        return {str(_plain(key)): _plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    return value
