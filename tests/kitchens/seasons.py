"""A season.yaml written as Python, read as the file would be; and the season of a folder and its book."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

import yaml

from pantrymeals.actions.season import question_of
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_season
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season_facts import SeasonFacts


def season_of(data: Mapping[str, object], products: Iterable[Product] = ()) -> SeasonFacts:
    """The facts of a season's file, in which there must be no mistake but products of other households."""
    known, gathering = KnownProducts.of(products, whole=False), Gathering()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "season.yaml"
        path.write_text(yaml.safe_dump(dict(data), allow_unicode=True, sort_keys=False), encoding="utf-8")
        facts, _ = read_season(path, known, None, gathering)
    assert [str(mistake) for mistake in gathering.found] == []
    return facts


def open_season(folder: Path, today: date | None, calendar_day: date) -> SeasonQuestion:
    """The season's question of a household's folder and book."""
    return question_of(open_with_book(folder, today, calendar_day))
