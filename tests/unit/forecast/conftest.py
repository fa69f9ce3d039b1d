"""Every household once, and once asked what each command says."""

from __future__ import annotations

from pathlib import Path

import pytest

from pantrymeals.actions.answer import Answer
from tests.unit.forecast.asked_of_all import NAMES, House, asked, house_of


@pytest.fixture(scope="session", params=NAMES)
def house(request: pytest.FixtureRequest, demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> House:
    """One household after another."""
    return house_of(request.param, demo_folder, tmp_path_factory.mktemp(request.param))


@pytest.fixture(scope="session")
def answers(house: House) -> dict[str, Answer]:
    """What each command answers of it."""
    return asked(house)
