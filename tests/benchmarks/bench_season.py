"""How long the season's answers take on the demo: the list, its fit, and the sitters.

Run: python -m pytest tests/benchmarks/bench_season.py
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.season import SeasonAsked, limited_lines, make_season
from pantrymeals.season.fit import choose_loads
from pantrymeals.season.limits import season_limits
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.sitters import sitters
from tests.kitchens.seasons import open_season

DEMO = Path(__file__).parents[2] / "demo"
DAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def asked():
    return open_season(DEMO, DAY, DAY)


def test_the_list(benchmark, asked):
    found = benchmark(put_up_list, asked)
    assert len(found.lines) > 50


def test_the_model_of_loads(benchmark, asked):
    lines = limited_lines(put_up_list(asked).lines)
    limits = season_limits(asked, lines)
    chosen = benchmark.pedantic(choose_loads, (lines, limits), rounds=3)
    assert chosen.proven


def test_the_season_without_300_empties(benchmark, asked):
    wish = SeasonAsked(without=("300 quart empties",))
    sheet = benchmark.pedantic(make_season, (asked, wish), rounds=3)
    assert sheet.fitted.proven
    assert sheet.fitted.cuts


def test_the_sitters(benchmark, asked):
    rows = benchmark.pedantic(sitters, (asked,), rounds=3)
    assert rows
