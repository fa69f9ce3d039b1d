"""The season's answers as JSON for other programs: whole numbers where exact, units in the names."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from fractions import Fraction


def plain(value: object) -> object:
    """Dataclasses, fractions and dates as what JSON knows."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else round(float(value), 4)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, Mapping):
        return {str(plain(k)): plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    return value


def season_json(**parts: object) -> str:
    """The parts of an answer as one JSON object, keys in the order given."""
    return json.dumps({name: plain(value) for name, value in parts.items()}, indent=2, ensure_ascii=False)
