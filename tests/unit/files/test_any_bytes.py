"""Whatever bytes a folder holds, a household is read or its mistakes are told: never a traceback."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.household import read_household
from pantrymeals.records import Household

KITCHENS = Path(__file__).parents[2] / "kitchens"
FILES = (
    "household.yaml",
    "products.csv",
    "stock.csv",
    "open.csv",
    "standing.csv",
    "calendar.yaml",
    "season.yaml",
    "recipes/bean-soup.yaml",
)
SCRAPS = st.sampled_from(
    [
        *"\n\n\n  ::--,,;;[]{}\"'&*!|>%@`#?\t½⅓0123456789/",
        "~", "n/a", "- ", ": ", "or", " or 1 ", "1/0", "1,000", "9" * 30, "2026-02-30", "-1", "qt", "lb",
        "Mon-Fry",
        "name", "role", "uses", "batch: yes\n", "makes", "instead", "people", "meals", "places", "occasions",
        "every", "coming_in", "product", "sizes", "size", "count", "Green beans", "Kale", "week", "\ufeff",
        "\x85",
        "\u2028", "\ud7ff", "é" * 3, "\r", "\x00", "\x1b",
    ]
)  # fmt: skip
quick = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def read_with(name: str, content: bytes) -> None:
    """Read the hut with one file's bytes; nothing but a household or its mistakes may come of it."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "hut"
        shutil.copytree(KITCHENS / "hut", folder)
        (folder / name).write_bytes(content)
        outcome = outcome_of(folder)
    if isinstance(outcome, Household):
        return
    assert outcome.mistakes
    for mistake in outcome.mistakes:
        assert mistake.place.file
        assert mistake.wrong
        assert str(mistake).isprintable()


def outcome_of(folder: Path) -> Household | MistakesInFiles:
    try:
        return read_household(folder, starter=KITCHENS / "hut_starter")
    except MistakesInFiles as mistakes:
        return mistakes


@pytest.mark.parametrize("name", FILES)
@quick
@given(content=st.binary(max_size=200))
def test_random_bytes(name: str, content: bytes) -> None:
    read_with(name, content)


@pytest.mark.parametrize("name", FILES)
@quick
@given(scraps=st.lists(SCRAPS, max_size=40))
def test_scraps_of_what_such_files_hold(name: str, scraps: list[str]) -> None:
    read_with(name, "".join(scraps).encode())


@pytest.mark.parametrize("name", [n for n in FILES if n != "season.yaml"])
@quick
@given(data=st.data())
def test_a_good_file_with_a_piece_changed(name: str, data: st.DataObject) -> None:
    text = (KITCHENS / "hut" / name).read_text(encoding="utf-8")
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 20)))
    scraps = data.draw(st.lists(SCRAPS, max_size=4))
    read_with(name, (text[:start] + "".join(scraps) + text[end:]).encode())
