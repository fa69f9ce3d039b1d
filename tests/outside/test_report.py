"""The table of judged figures: only what held is in it, and a figure is counted once."""

from __future__ import annotations

import pytest

from tests.outside import judged
from tests.outside.report import lines, those_that_say_so


def test_only_what_held_is_put_down_and_twice_is_once(monkeypatch: pytest.MonkeyPatch) -> None:
    found: list[judged.Judged] = []
    monkeypatch.setattr(judged, "FOUND", found)
    judged.agrees("a quart", "a table", 4, 4.2, within=0.5, how="read")
    judged.agrees("a quart", "a table", 4, 4.2, within=0.5, how="read")
    judged.agrees("a pint", "nobody's", 2, 2, within=0, how="from memory")
    with pytest.raises(AssertionError, match="a peck: a table"):
        judged.agrees("a peck", "a table", 4, 4.6, within=0.5, how="read")
    assert lines(found)[-1] == "2 figures: 1 read, 1 from memory."
    assert [line.split()[:2] for line in lines(found)[1:3]] == [["a", "quart"], ["a", "pint"]]


def test_the_files_that_say_their_figures_are_found() -> None:
    assert {"test_judges.py", "test_put_up_plans.py"} <= {path.name for path in those_that_say_so()}
