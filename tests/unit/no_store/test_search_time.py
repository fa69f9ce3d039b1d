"""A search by work ends at the same place however slow the clock; the clock cuts in late, and that is told."""

from __future__ import annotations

import time
from itertools import count

import pytest

from pantrymeals.no_store.runs import longest_run
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.plans.no_store import LongestRun
from tests.kitchens import tiny
from tests.outside.larder_by_hand import random_kitchen


def run(seconds: float, *, by_work: bool = True) -> tuple[LongestRun, SearchTime]:
    search = SearchTime(seconds, by_work)
    return longest_run(random_kitchen(3), tiny.MONDAY, 0, search, 30), search


def on_a_machine_so_slow(monkeypatch: pytest.MonkeyPatch, seconds: float) -> None:
    """Each look at the clock finds so many seconds gone."""
    gone = count()
    monkeypatch.setattr(time, "monotonic", lambda: next(gone) * seconds)


def test_half_a_search_is_the_same_half_on_a_slow_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    whole, search = run(30.0)
    assert not whole.stopped
    half, _ = run(search.worked / 2)
    assert half.stopped
    assert half != whole
    on_a_machine_so_slow(monkeypatch, 0.05)
    again, search = run(search.worked / 2)
    assert (again, search.cut_short) == (half, False)


def test_by_the_clock_a_slow_machine_finds_less_and_by_work_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_machine_so_slow(monkeypatch, 60.0)
    assert run(30.0, by_work=False)[0].stopped
    found, search = run(30.0)
    assert (found.stopped, search.cut_short) == (True, True)


def test_what_a_part_takes_the_whole_has_less() -> None:
    whole = SearchTime(8.0, by_work=True)
    part = whole.part(1 / 4, 1.0)
    part._took(1.5)
    assert (part.left(), whole.left()) == (0.5, 6.5)
    assert whole.part(1 / 100, 1.0).seconds == 1.0
