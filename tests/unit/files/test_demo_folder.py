"""The demo's own folder, read whole; and spoilt in one place, with the right word for it."""

from __future__ import annotations

import shutil
import time
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.household import read_household
from pantrymeals.files.recipes import gather_dishes, starter_folder
from pantrymeals.units import parse_amount
from tests.kitchens.clock import slower

DEMO = Path(__file__).parents[3] / "demo"


def test_the_demo_is_read_whole() -> None:
    household = read_household(DEMO)
    assert household.today == date(2026, 1, 17)
    assert [p.name for p in household.people] == ["Maren", "Joss", "Edda", "Corin", "Linnet", "Odo"]
    # 1.0 + 1.3 + 0.7 + 1.5 + 0.8 + 0.1 adult portions
    assert sum((p.portion for p in household.people), Fraction(0)) == Fraction("5.4")
    seed = [lot for lot in household.lots if lot.state == "seed"]
    assert ("Potatoes, main crop", "lb", 40) in {(lot.product, lot.size, lot.count) for lot in seed}
    assert household.products["Green beans"].reserve == parse_amount("4 qt").quantity
    eggs = household.products["Eggs, beaten"]
    assert (eggs.size("2-egg tub") or eggs.sizes[0]).content == 2
    assert household.dishes["Ham supper"].only_for == "feast"
    assert {d.book for d in household.dishes.values()} == {"household", "starter"}


def test_reading_the_demo_is_quick() -> None:
    """Of the process's own time, as on a usual machine (about 0.3 s there)."""
    times = []
    for _ in range(3):
        start = time.process_time()
        read_household(DEMO)
        times.append((time.process_time() - start) / slower())
    assert min(times) < 0.6


def test_a_misspelt_product_in_one_recipe_is_found(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    recipe = folder / "recipes" / "plain-green-beans.yaml"
    lines = recipe.read_text(encoding="utf-8").splitlines()
    line = next(i for i, text in enumerate(lines) if "Green beans" in text)
    lines[line] = lines[line].replace("Green beans", "Gren beans", 1)
    recipe.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(MistakesInFiles) as caught:
        read_household(folder)
    (mistake,) = caught.value.mistakes
    assert (mistake.place.file, mistake.place.line) == ("recipes/plain-green-beans.yaml", line + 1)
    assert mistake.right == "did you mean 'Green beans'?"


def test_the_starter_book_alone_can_be_read_for_a_larder() -> None:
    household = read_household(DEMO)
    gathering = Gathering()
    known = KnownProducts.of(household.products.values())
    book = gather_dishes(starter_folder(), known, "starter", False, gathering)
    gathering.stop_if_any()
    assert len(book.dishes) >= 60
    assert all(d.book == "starter" for d in book.dishes.values())
