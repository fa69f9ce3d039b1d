"""A tiny household's folder, copied so that a test may spoil it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.household import read_household
from pantrymeals.records import Household

KITCHENS = Path(__file__).parents[2] / "kitchens"
STARTER = KITCHENS / "hut_starter"


@pytest.fixture
def hut(tmp_path: Path) -> Path:
    """The hut's folder, in a place of its own."""
    folder = tmp_path / "hut"
    shutil.copytree(KITCHENS / "hut", folder)
    return folder


@pytest.fixture
def read(hut: Path) -> Callable[..., Household]:
    """Read the hut, with some of its files written anew."""

    def with_files(files: dict[str, str] | None = None) -> Household:
        for name, text in (files or {}).items():
            (hut / name).write_text(text, encoding="utf-8", newline="")
        return read_household(hut, starter=STARTER)

    return with_files


@pytest.fixture
def told(hut: Path) -> Callable[..., list[str]]:
    """What is said of the hut when some of its files are written anew (None: taken away)."""

    def with_files(files: dict[str, str | bytes | None]) -> list[str]:
        for name, content in files.items():
            if content is None:
                (hut / name).unlink()
            elif isinstance(content, bytes):
                (hut / name).write_bytes(content)
            else:
                (hut / name).write_text(content, encoding="utf-8", newline="")
        with pytest.raises(MistakesInFiles) as caught:
            read_household(hut, starter=STARTER)
        assert list(caught.value.mistakes) == sorted(caught.value.mistakes)
        return [str(m) for m in caught.value.mistakes]

    return with_files
