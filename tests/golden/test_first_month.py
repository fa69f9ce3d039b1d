"""What a household in its first month is told to put up: the demo's shelves and dishes, with no book behind them.

Renew on purpose, after reading every line: RENEW_GOLDEN=1 python -m pytest tests/golden
"""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from statistics import median

from msgspec.structs import replace

from pantrymeals.actions.larder import as_written
from pantrymeals.actions.season import question_of
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.larder.at_table import dishes_take
from pantrymeals.plans.season import PutUpList
from pantrymeals.season.asked import need_of, standing_a_year
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.words import counted

STORED = Path(__file__).parent / "first_month.txt"


def list_told(made: PutUpList) -> str:
    """Each product with what is to be put up and why, then those of which none is."""
    said = [f"{x.product}: {counted(x.loads * x.load, x.size)}; {x.why.rsplit(':', 1)[0]}" for x in made.lines]
    return "\n".join([*said, "", *(f"{name}: {why}" for name, why in made.none), ""])


def test_the_put_up_list_of_a_first_month(demo_folder: Path) -> None:
    home = as_written(demo_folder, date(2026, 1, 17), date(2026, 1, 17))
    home = replace(home, season=replace(home.season, years=(), this_season=()))
    made = put_up_list(question_of(Larder(home, ())))
    text = list_told(made)
    if os.environ.get("RENEW_GOLDEN"):
        STORED.write_text(text, encoding="utf-8")
    assert text == STORED.read_text(encoding="utf-8")
    assert not any("nothing of it was used" in why for _, why in made.none)


def test_how_near_the_dishes_come_to_what_a_long_book_says(demo_folder: Path) -> None:
    """Of 105 products with full book years, what standing use and dishes alone would have said."""
    larder = open_with_book(demo_folder, date(2026, 1, 17), date(2026, 1, 17))
    asked = question_of(larder)
    taken, parts = dishes_take(larder.household), []
    for name, product in larder.household.products.items():
        need = need_of(asked, name)
        if need.basis == "full book years" and need.a_year - need.given >= 4:
            said = standing_a_year(asked, name) + taken.get(name, 0) / product.sizes[0].content
            parts.append(float(said / (need.a_year - need.given)))
    assert len(parts) >= 100
    assert 0.8 <= median(parts) <= 1.4
    assert sum(0.5 <= part <= 2 for part in parts) >= 0.58 * len(parts)
    assert sum(1 / 3 <= part <= 3 for part in parts) >= 0.79 * len(parts)
