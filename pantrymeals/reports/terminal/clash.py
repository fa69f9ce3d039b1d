"""What clashes, and what would mend it, as a cook reads it."""

from __future__ import annotations

from pantrymeals.plans.menu import WhatClashes
from pantrymeals.reports.terminal.paper import Paper


def write_clash(paper: Paper, told: WhatClashes | None) -> None:
    """The rules that clash, then what would mend it; nothing when there was nothing to ask."""
    if told is None:
        return
    paper.heading("What clashes, and what would mend it")
    if not told.clashes:
        paper.line(told.said)
    for clash in told.clashes:
        paper.line(clash.said)
    if told.mendings:
        many = len(told.mendings) > 1
        paper.line(
            "Any one of these mends it, tried and found to work:" if many else "This mends it, tried and found to work:"
        )
    elif told.clashes:
        paper.line("No one thing that mends it was found in the time given.")
    for mending in told.mendings:
        paper.line("* ", mending.said, indent=2, hang=2)


def clash_text(told: WhatClashes) -> str:
    """The same as one message, for a menu that cannot be made at all."""
    lines = [clash.said for clash in told.clashes] or [told.said]
    if told.mendings:
        lines.append("What would mend it (tried, and it works):")
        lines += [f"  * {mending.said}" for mending in told.mendings]
    return "\n".join(lines)
