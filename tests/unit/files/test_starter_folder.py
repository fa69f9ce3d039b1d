"""The starter book is found from a checkout and from an installed package alike."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from pantrymeals.files.recipes import starter_folder

ROOT = Path(__file__).parents[3]
ASK = "from pantrymeals.files.recipes import starter_folder; print(starter_folder())"


def test_in_a_checkout_it_is_the_folder_beside_the_package() -> None:
    if not (ROOT / "pantrymeals" / "starter_recipes").exists():
        assert starter_folder().resolve() == ROOT / "recipes"


def installed(tmp_path: Path, with_recipes: bool) -> subprocess.CompletedProcess[str]:
    """The package laid out as a wheel lays it out, asked from elsewhere."""
    site = tmp_path / "site"
    shutil.copytree(ROOT / "pantrymeals", site / "pantrymeals", ignore=shutil.ignore_patterns("__pycache__"))
    if with_recipes:
        shutil.copytree(ROOT / "recipes", site / "pantrymeals" / "starter_recipes", dirs_exist_ok=True)
    (site / "recipes").mkdir()  # a folder of that name beside installed packages is not ours
    return subprocess.run(
        [sys.executable, "-c", ASK], cwd=site, env={"PYTHONPATH": str(site)}, capture_output=True, text=True
    )


def test_in_an_installed_package_it_is_within_the_package(tmp_path: Path) -> None:
    done = installed(tmp_path, with_recipes=True)
    assert done.stdout.strip() == str(tmp_path / "site" / "pantrymeals" / "starter_recipes")


def test_without_it_the_household_is_told_so(tmp_path: Path) -> None:
    done = installed(tmp_path, with_recipes=False)
    assert "PantryError: the starter recipes are missing from this installation" in done.stderr
