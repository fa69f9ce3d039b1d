"""What is made and not eaten, with an honest end for each."""

from __future__ import annotations

from pantrymeals.cautions import STANDING_LINE, CautionShown, shown
from pantrymeals.plans.season import SitterRow
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.sitters import sitters


def find_sitters(asked: SeasonQuestion, seconds: float = 5.0) -> tuple[SitterRow, ...]:
    """Sitters, the wrong one of two, hoards, near-sitters and what is held, in that order."""
    return sitters(asked, seconds)


def sitter_cautions(rows: tuple[SitterRow, ...]) -> tuple[CautionShown, ...]:
    """C27 where anything may be given, C1 and C30 where lots are held for them, and every page's line."""
    words = " ".join(end.words for row in rows for end in row.ends)
    codes = [code for code in ("C1", "C27", "C30") if f"({code})" in words]
    return (*(shown(code) for code in codes), CautionShown("", STANDING_LINE))
