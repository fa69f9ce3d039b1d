"""The text of one file of the household folder, or the reason why it cannot be read."""

from __future__ import annotations

import re
from pathlib import Path
from stat import S_ISREG

from pantrymeals.errors import Place
from pantrymeals.files.gathering import Gathering

MOST_BYTES = 2_000_000
"""Larger than any household's file: ten thousand lots take about 0.7 MB."""

_NOT_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x84\x86-\x9f\ufffe\uffff]")


def text_of_file(path: Path, name: str, gathering: Gathering, most_bytes: int = MOST_BYTES) -> str | None:
    """A file's text without a byte order mark; None when a mistake was written down instead.

    name: what messages call the file. most_bytes: beyond which it is refused.
    """
    data = _bytes_of(path, name, gathering, most_bytes)
    if data is None:
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = _place_in(name, data[: error.start].decode("utf-8-sig", "replace"))
        gathering.say(place, "this file is not UTF-8 text", "save it again with the encoding UTF-8")
        return None
    odd = _NOT_TEXT.search(text)
    if odd:
        place = _place_in(name, text[: odd.start()])
        what = f"there is a character that is not text (U+{ord(odd.group()):04X})"
        gathering.say(place, what, "delete it, or save the file again as plain text")
        return None
    return text


def _bytes_of(path: Path, name: str, gathering: Gathering, most_bytes: int) -> bytes | None:
    place = Place(name)
    try:
        if _is_plain_and_small(path, most_bytes):
            return path.read_bytes()
        if path.is_dir():
            gathering.say(place, "this is a folder", f"a file named {path.name} belongs here")
        elif not path.exists() and not path.is_symlink():
            gathering.say(place, "there is no such file")
        elif not path.is_file():  # a pipe or a device would keep us waiting for ever
            gathering.say(place, "this is not an ordinary file", "put a plain file in its place")
        else:
            size_mb = path.stat().st_size / 1_000_000
            gathering.say(
                place, f"this file is {size_mb:.1f} MB", f"a household's file is at most {most_bytes // 1_000_000} MB"
            )
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it cannot be opened"
        gathering.say(place, f"this file cannot be read ({reason})", "see who may open it")
    return None


def _is_plain_and_small(path: Path, most_bytes: int) -> bool:
    """Whether there is a file to be read as it is: asked in one go, since a household has hundreds."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return False
    return S_ISREG(found.st_mode) and found.st_size <= most_bytes


def _place_in(name: str, before: str) -> Place:
    """The place that comes right after so much text."""
    return Place(name, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
