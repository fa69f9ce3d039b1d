"""A picture drawn in a process beside is the picture drawn here, byte for byte; where that process fails, it is too."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import pytest

from pantrymeals.reports.pictures import beside
from pantrymeals.reports.pictures.draw import Picture, drawn

PICTURE = Picture("Käse, crème, Ærø", {"data": {"values": [{"jars": 2.5, "of": "Käse"}]}, "mark": "bar", "encoding": {
    "y": {"field": "of", "type": "nominal"}, "x": {"field": "jars", "type": "quantitative"}}})  # fmt: skip


@pytest.fixture(autouse=True)
def nobody_waits() -> Iterator[None]:
    yield
    while beside._WAITING:
        beside._WAITING.pop().communicate()


@pytest.mark.parametrize("ending", [".svg", ".png"])
def test_what_is_drawn_beside_is_what_is_drawn_here(ending: str) -> None:
    beside.begin()
    beside.begin()
    assert len(beside._WAITING) == 1
    process = beside._WAITING[0]
    assert beside.drawn_beside(PICTURE, ending) == drawn(PICTURE, ending)
    assert process.returncode == 0
    assert not beside._WAITING


def test_a_process_that_was_killed_is_not_missed() -> None:
    beside.begin()
    beside._WAITING[0].kill()
    assert beside.drawn_beside(PICTURE, ".svg") == drawn(PICTURE, ".svg")


def test_where_no_process_can_be_begun_the_picture_is_drawn_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/no/such/python")
    beside.begin()
    assert not beside._WAITING
    assert beside.drawn_beside(PICTURE, ".svg") == drawn(PICTURE, ".svg")


def test_a_process_that_is_asked_for_nothing_ends_and_says_nothing() -> None:
    beside.begin()
    process = beside._WAITING.pop()
    said, _ = process.communicate()
    assert (process.returncode, said) == (0, b"")
