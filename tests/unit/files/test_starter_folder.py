"""The starter book is found from a checkout and from an installed package alike."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from pantrymeals.files.gathering import Gathering
from pantrymeals.files.household import read_household
from pantrymeals.files.products import read_products
from pantrymeals.files.recipes import gather_dishes, half_a_year_on, starter_folder

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


def test_south_of_the_equator_its_months_are_half_a_year_on() -> None:
    known, gathering = read_products(ROOT / "demo" / "products.csv", Gathering()), Gathering()
    north = gather_dishes(starter_folder(), known, "starter", False, gathering)
    south = half_a_year_on(north)
    assert north.dishes["Greens and potato soup"].season == {9, 10, 11, 12, 1, 2, 3, 4, 5}
    assert south.dishes["Greens and potato soup"].season == {3, 4, 5, 6, 7, 8, 9, 10, 11}
    assert all(bool(dish.season) == bool(south.dishes[name].season) for name, dish in north.dishes.items())
    assert {name: half_a_year_on(south).batch_days[name] for name in south.batch_days} == north.batch_days


def test_a_households_own_dishes_keep_their_months_in_the_south(tmp_path: Path) -> None:
    home = Path(
        shutil.copytree(ROOT / "demo", tmp_path / "home", ignore=shutil.ignore_patterns("gallery", "year", "*book*"))
    )
    north = read_household(home).dishes
    text = (home / "household.yaml").read_text(encoding="utf-8")
    (home / "household.yaml").write_text("latitude: -38\n" + text, encoding="utf-8")
    south = read_household(home).dishes
    moved = {name for name, dish in north.items() if dish.season != south[name].season}
    assert moved == {name for name, dish in north.items() if dish.book == "starter" and dish.season}
    assert len(moved) > 40
