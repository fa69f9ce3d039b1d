"""What is foreseen, as JSON for other programs: the records' own names, days as 2026-01-17."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from typing import Any

_DECIMALS = 4


def outlook_json(**parts: object) -> str:
    """An object of the parts named, each a record of ``outlook`` (or a list of them)."""
    return json.dumps({name: plain(part) for name, part in parts.items()}, ensure_ascii=False, indent=2)


def plain(value: object) -> Any:
    """A record as plain JSON values; numbers to four decimals."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return round(value, _DECIMALS)
    return value
