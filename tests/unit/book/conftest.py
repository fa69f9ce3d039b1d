"""A book in a folder of its own, and lots to put in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE, make
from pantrymeals.book.writing import fill_with

DAY = date(2026, 1, 17)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    place = tmp_path / BOOK_FILE
    make(place, fill_with([]))
    return place


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with open_book(path) as opened:
        yield opened
