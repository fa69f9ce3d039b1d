"""A picture drawn in a process beside: half of the time that a picture takes is the drawing program's own start.

It holds Python's lock while it starts, so that a thread beside the table's work would win nothing.
"""

from __future__ import annotations

import json
import subprocess
import sys

from pantrymeals.reports.pictures.draw import Picture, drawn

_WAITING: list[subprocess.Popen[bytes]] = []
"""The process that was begun and has had no picture yet: one at most."""
_LONGEST_SECONDS = 60
"""A picture takes one; a process that takes longer is not waited for."""


def begin() -> None:
    """Start the drawing program while the table is being worked out; where that cannot be, it starts when it draws."""
    if not _WAITING:
        command = [sys.executable, "-c", f"from {__name__} import wait_and_draw; wait_and_draw()"]
        try:
            _WAITING.append(
                subprocess.Popen(
                    command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                    start_new_session=True,
                )
            )  # fmt: skip
        except OSError:
            return


def drawn_beside(picture: Picture, ending: str) -> bytes:
    """The picture as ``drawn`` gives it, by the process begun for it where there is one."""
    if _WAITING:
        asked = json.dumps([picture.said, picture.chart, ending]).encode()
        beside = _WAITING.pop()
        try:
            made, _ = beside.communicate(asked, timeout=_LONGEST_SECONDS)
        except subprocess.TimeoutExpired:
            beside.kill()
            made, _ = beside.communicate()
        if beside.returncode == 0 and made:
            return made
    return drawn(picture, ending)


def wait_and_draw() -> None:
    """In the process beside: get ready, wait for a picture, draw it. None came: nothing is drawn."""
    drawn(Picture("", {"data": {"values": []}, "mark": "point"}), ".svg")
    asked = sys.stdin.buffer.read()
    if asked:
        said, chart, ending = json.loads(asked)
        sys.stdout.buffer.write(drawn(Picture(said, chart), ending))
