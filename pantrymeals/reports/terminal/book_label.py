"""A lot's day as a cook says it; nothing heavy is imported here, so that every command may use it."""

from __future__ import annotations

from datetime import date

from pantrymeals.words import day_and_year


def put_up_words(put_up: str) -> str:
    """'6 Oct 2025', '2024', or 'not known'."""
    if not put_up:
        return "not known"
    return put_up if len(put_up) == 4 else day_and_year(date.fromisoformat(put_up))
