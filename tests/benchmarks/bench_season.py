"""How long the season's answers take on the demo: the list, its fit, and the sitters; ten years of a large household.

Run: python -m pytest tests/benchmarks/bench_season.py
For ten years of the rule alone, 250 products and two years of a book: python -m tests.benchmarks.bench_season
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.season import SeasonAsked, limited_lines, make_season, question_of, years_answer
from pantrymeals.actions.with_book import Larder
from pantrymeals.records import Household, Movement
from pantrymeals.season.fit import choose_loads
from pantrymeals.season.limits import season_limits
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.sitters import sitters
from pantrymeals.season_facts import Harvest, Odds
from tests.benchmarks.larders import of_size
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


WEEKS = 104
USED_OF_A_YEAR = 0.9


def with_harvests(home: Household) -> Household:
    """The household with a harvest for every family, that fails one year in four."""
    families = sorted({product.family for product in home.products.values()})
    harvests = tuple(
        Harvest(family, (8, 1), (9, 30), tuple(n for n, p in home.products.items() if p.family == family))
        for family in families
    )
    odds = tuple(Odds(family, Fraction(4)) for family in families)
    return replace(home, season=replace(home.season, harvests=harvests, odds=odds))


def two_years_of(home: Household, seed: int) -> Iterator[Movement]:
    """A book: each product filled up every September, and some of it used in some weeks of the year."""
    rng = random.Random(seed)
    begin = home.today - timedelta(weeks=WEEKS)
    for product in home.products.values():
        size = product.sizes[0].name
        a_year = max(4, round(2 * sum(lot.count for lot in home.lots if lot.product == product.name)))
        there = a_year
        yield Movement(begin, product.name, size, Fraction(a_year), "counted")
        for week in range(WEEKS):
            day = begin + timedelta(weeks=week)
            if day.month == 9 and day.day <= 7 and there < a_year:
                yield Movement(day, product.name, size, Fraction(a_year - there), "put up")
                there = a_year
            used = min(there, sum(rng.random() < USED_OF_A_YEAR / 52 for _ in range(a_year)))
            if used:
                there -= used
                yield Movement(day + timedelta(days=2), product.name, size, Fraction(-used), "eaten")


def main() -> None:
    """Print the seconds of `season --years 10`, and of what of it is the list's own questions."""
    home = with_harvests(of_size("L", 1))
    book = tuple(sorted(two_years_of(home, 1), key=lambda line: line.day))
    begun, worked = time.perf_counter(), time.process_time()
    question = question_of(Larder(home, book))
    question.at_crop()
    asked_s = time.perf_counter() - begun
    text = years_answer(question, 10).text(colour=False)
    both_s = time.perf_counter() - begun
    print(f"{len(home.products)} products, {len(book):,} lines of a book, 10 years drawn: {both_s:.1f} s")
    print(f"({time.process_time() - worked:.1f} s of one core),")
    print(f"of which {asked_s:.1f} s for what the book tells of each up to its crop. {len(text.splitlines())} lines.")


if __name__ == "__main__":
    main()
