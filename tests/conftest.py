"""Shared by all tests."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("alike", derandomize=True)
settings.register_profile("dice", derandomize=False)
settings.load_profile("dice" if os.environ.get("PANTRYMEALS_FULL") else "alike")
"""The same examples every time, so that a change is judged by what it changed; new ones where all is counted out."""

ROOT = Path(__file__).parents[1]
CHROMIUM = shutil.which("chromium")


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    """The invented household's folder."""
    return ROOT / "demo"


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Debian's browser: nothing is downloaded. A name of its own makes the page one of the house's network."""
    if CHROMIUM is None:
        pytest.skip("no chromium here: Debian's package 'chromium' has it, and .ci/run installs it")
    return browser_type_launch_args | {
        "executable_path": CHROMIUM,
        "args": [
            "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
            "--disable-component-update", "--disable-sync", "--host-resolver-rules=MAP pantry.test 127.0.0.1",
        ],
    }  # fmt: skip
