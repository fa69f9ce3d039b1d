"""What is said beside an answer, as a table of its own: the day it is dated by, an old count."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from pantrymeals.tables.shapes import frame_of

if TYPE_CHECKING:
    import pandas as pd


def said_beside(texts: Iterable[str], table: str = "said beside") -> list[pd.DataFrame]:
    """One table with a row for each sentence; none where nothing is said."""
    rows = [[text] for text in texts]
    return [frame_of(table, {"said": ""}, rows)] if rows else []
