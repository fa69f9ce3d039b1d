"""How long a dish takes, as people write it: '1 hr 20 min', '45 minutes', 'PT1H20M' (ISO 8601)."""

from __future__ import annotations

import re
from fractions import Fraction

from pantrymeals.units import take_number

_ISO = re.compile(r"P(?:(?P<d>\d+)D)?(?:T(?:(?P<h>\d+)H)?(?:(?P<m>\d+)M)?(?:(?P<s>\d+(?:\.\d+)?)S)?)?$", re.IGNORECASE)
_PART = re.compile(r"(?P<n>\d+ \d/\d|\d+/\d+|\d+(?:[.,]\d+)?|½|\d+½)\s*-?(?P<u>h(?:ou)?rs?|h|min(?:ute)?s?|m)\b", re.I)
_LONGEST = 10_000


def minutes_of(text: str) -> int | None:
    """Whole minutes; None where the text is no one length of time ('20-30 minutes', 'overnight')."""
    said = text.strip()
    if iso := _ISO.match(said):
        days, hours, minutes = (int(iso[part] or 0) for part in ("d", "h", "m"))
        found = days * 1440 + hours * 60 + minutes
        return found if 0 < found <= _LONGEST else None
    parts = list(_PART.finditer(said))
    left = _PART.sub("", said)
    if not parts or re.search(r"\d|overnight|day", left):
        return None
    total = Fraction(0)
    for part in parts:
        taken = take_number(part["n"])
        assert taken is not None
        total += taken[0] * (60 if part["u"].lower().startswith("h") else 1)
    return int(total) if total.denominator == 1 and 0 < total <= _LONGEST else None
