"""Shared by all tests."""

from __future__ import annotations

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    """The invented household's folder."""
    return ROOT / "demo"
