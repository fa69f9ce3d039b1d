"""Ruled columns on narrow paper."""

from __future__ import annotations

import pytest

from pantrymeals.reports.terminal.paper import Paper

NAMES = ("Stewed tomatoes with celery and onion, pt", "Salsa, pt")


@pytest.mark.parametrize("width", [80, 58, 52, 40])
def test_no_figure_of_a_row_goes_to_a_line_of_its_own(width: int) -> None:
    paper = Paper(width=width)
    paper.ledger(("product", "in", "out"), [((name, "12", "345"), "") for name in NAMES], right=(1, 2))
    heads, rule, *rows = paper.text().splitlines()
    assert heads.split() == ["product", "in", "out"]
    assert len(rule) <= width
    assert [row.split()[-2:] for row in rows] == [["12", "345"]] * len(NAMES)
    assert all(len(row) <= width for row in rows)
    assert rows[1].startswith("Salsa, pt ")
    cut = rows[0].split("  ")[0].split(" 12")[0]
    assert cut == NAMES[0] or (cut.endswith(".") and NAMES[0].startswith(cut[:-1]))
