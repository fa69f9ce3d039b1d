"""Every column of every packaged table: how a changed figure in it is seen, or why none could be.

A column stands in one of three lists. ``SEEN``: its figures are changed, row by row, and so many rows are objected to.
``SAID``: figures that no second publication was found for, each with its reason. ``WORDS``: what is no figure.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

Change = Callable[[str], tuple[str, ...]]
"""A cell changed, in as many ways as it returns; a row counts as seen where each of them is objected to."""

_FIGURE = re.compile(r"\d+(?:\.\d+)?")


def _each(cell: str, new: Callable[[float], float]) -> str:
    return _FIGURE.sub(lambda found: f"{new(float(found[0])):.6g}", cell)


def times(factor: float) -> Change:
    """Every figure of the cell so many times over, and that part of it."""
    return lambda cell: (_each(cell, lambda x: x * factor), _each(cell, lambda x: x / factor))


def up(factor: float) -> Change:
    """So many times over alone: where a figure is printed as a most, or a smaller one could be as true."""
    return lambda cell: (_each(cell, lambda x: x * factor),)


def whole(factor: float) -> Change:
    """As ``times``, in whole numbers of one or more."""
    return lambda cell: (_each(cell, lambda x: x * factor // 1), _each(cell, lambda x: max(1, x // factor)))


def moved(by: float) -> Change:
    """So much more, and so much less."""
    return lambda cell: (_each(cell, lambda x: x + by), _each(cell, lambda x: max(0, x - by)))


def months_on(by: int) -> Change:
    """Every month so many later, and so many earlier."""
    return lambda cell: (_each(cell, lambda x: (x + by - 1) % 12 + 1), _each(cell, lambda x: (x - by - 1) % 12 + 1))


def other(word: str) -> Change:
    """Another word, or another code."""
    return lambda _cell: (word,)


def opposite(cell: str) -> tuple[str, ...]:
    """Low acid becomes high, and the other way round."""
    return ("high" if cell.startswith("low") else "low",)


class Seen(Struct, frozen=True):
    """How a cell is changed, of how many rows that is seen at least, and of how many by another publication alone.

    why: where no other publication sees it, by what it is seen.
    """

    change: Change
    at_least: int
    elsewhere: int
    why: str = ""


_ROW = "it names a row of another packaged table, and is held to be there"
_NAMED = "the code of a source, which is spelled out once and used"
_SOURCES = {
    name: Seen(other("nobody"), 12, 0, _NAMED)
    for name in (
        "acid_source", "sizes_source", "opened_source", "thaw_source", "best_source", "contents_source",
        "weight_source", "harvest_source", "fresh_source",
    )
}  # fmt: skip

SEEN: dict[str, dict[str, Seen]] = {
    "canning_yields": {
        "lb_per_7qt_load": Seen(times(2), 34, 24),
        "lb_per_9pt_load": Seen(times(2), 35, 27),
        "lb_per_quart": Seen(times(2), 34, 24),
        "container_weight_lb": Seen(times(2), 29, 8),
        "quarts_per_container_low": Seen(times(2), 15, 5),
        "quarts_per_container_high": Seen(times(2), 15, 6),
    },
    "energy_need": {
        "age_low": Seen(moved(2), 60, 40),
        "age_high": Seen(
            moved(2), 40, 0, "each band of ages ends where the next begins; the program reads the beginnings"
        ),
        "value": Seen(times(1.7), 50, 50),
    },
    "food_groups": {"group": Seen(other("none"), 15, 15), "grams": Seen(times(2), 7, 7)},
    "food_pattern": {"kcal": Seen(moved(100), 42, 39), "amount": Seen(times(1.7), 42, 39)},
    "foods": {
        "ndb_no": Seen(other("99999"), 105, 50),
        "kcal_100g": Seen(times(2.5), 105, 25),
        "protein_g": Seen(times(4.1), 58, 30),
        "fat_g": Seen(times(8), 30, 6),
        "carbohydrate_g": Seen(times(3), 90, 38),
        "fibre_g": Seen(times(4.1), 28, 28),
        "sodium_mg": Seen(up(8), 20, 20),
        "water_g": Seen(times(1.5), 95, 28),
        "refuse_pct": Seen(up(4.1), 12, 12),
    },
    "garden_yields": {
        "row_ft_basis": Seen(times(10), 40, 40),
        "yield_low": Seen(times(4.1), 40, 40),
        "yield_high": Seen(times(4.1), 40, 40),
        "in_row_spacing_in": Seen(times(4.1), 14, 14),
        "between_rows_in": Seen(times(3), 9, 9),
        "plant_per_person_fresh": Seen(times(4.1), 8, 8),
        "plant_per_person_storage": Seen(times(4.1), 1, 1),
    },
    "keeping": {
        "temp_f_low": Seen(moved(25), 32, 32),
        "temp_f_high": Seen(moved(25), 32, 32),
        "rh_pct_low": Seen(moved(25), 26, 26),
        "rh_pct_high": Seen(moved(25), 26, 26),
        "life_low": Seen(up(4.1), 30, 30),
        "life_high": Seen(times(4.1), 28, 28),
    },
    "lids_and_loads": {"value_low": Seen(times(2), 3, 3), "value_high": Seen(times(2), 3, 3)},
    "put_up_crops": {
        "canning_product": Seen(
            other("bananas"), 14, 0, "pounds to a quart by a second table, of what it is looked up as"
        ),
        "canning_form": Seen(
            other("candied"), 11, 0, "pounds to a quart by a second table, of what it is looked up as"
        ),
        "garden_crop": Seen(other("Mangoes"), 32, 0, _ROW),
        "tested_as": Seen(other("bananas"), 41, 0, _ROW),
    },
    "put_up_plans": {"quarts_a_person": Seen(times(8), 6, 6)},
    "tested_sizes": {
        "acid": Seen(opposite, 9, 0, "low acid above pH 4.6 by the lists of the US FDA and of the AHEA"),
        "tested_sizes": Seen(
            other("half-gallon; gallon"), 38, 0, "half-gallons for two juices alone: Penn State, Iowa State"
        ),
    },
    "thing_sources": {
        "code": Seen(other("nobody"), 30, 0, _NAMED),
        "how_obtained": Seen(other("heard"), 30, 0, _NAMED),
    },
    "things": {
        "acid": Seen(opposite, 46, 46),
        "sizes": Seen(other("5-gal pail = 5 qt"), 200, 200),
        "sizes_metric": Seen(times(2), 200, 200),
        "opened_days": Seen(whole(4.1), 9, 9),
        "thaw_days": Seen(whole(4.1), 9, 9),
        "best_months_low": Seen(whole(8), 19, 19),
        "best_months_high": Seen(whole(8), 19, 19),
        "food": Seen(other("10020"), 160, 0, "some word of the thing stands in its food's name"),
        "cup_g": Seen(times(2), 12, 12),
        "each_g": Seen(times(4.1), 7, 7),
        "harvest_warm": Seen(months_on(4), 16, 16),
        "harvest_mid": Seen(months_on(4), 20, 20),
        "harvest_cool": Seen(months_on(4), 14, 14),
        "fresh_days": Seen(whole(4.1), 10, 10),
        **_SOURCES,
    },
}

SAID: dict[str, dict[str, str]] = {
    "foods": {"fdc_id": "blank in every row: no open cross-walk was found"},
    "canning_yields": {"note": "what is printed beside the figures, for people: no second source was looked for"},
    "garden_yields": {"note": "what is printed beside the figures, for people: no second source was looked for"},
    "keeping": {"note": "its pairs that lie apart are judged; its other words have no second source"},
    "lids_and_loads": {"condition": "what sort of canner: no second source found for the small one"},
}
"""Columns with figures, or for them, that nothing judges, each with its reason."""

WORDS: dict[str, str] = {
    "canning_yields": "product form container source how_obtained",
    "energy_need": "record_type sex activity quantity unit note source how_obtained",
    "food_groups": "family note source how_obtained",
    "food_pattern": "group unit part_of source how_obtained",
    "foods": "food stored_as sr_description source how_obtained",
    "garden_yields": "crop yield_unit source how_obtained",
    "keeping": "item class storage life_unit source how_obtained",
    "lids_and_loads": "item unit source how_obtained",
    "put_up_crops": "product",
    "put_up_plans": "family source how_obtained",
    "tested_sizes": "product source how_obtained",
    "thing_sources": "source",
    "things": "thing also_called family serves_as kind loose contents eaten_before",
}
"""Names, kinds, units and where a row is from: no figure stands in them."""

IS_A_FIGURE = re.compile(r"[\d.]+(?:\s*-\s*[\d.]+)?")


def changed(row: Mapping[str, str], column: str, seen: Seen) -> Iterator[dict[str, str]]:
    """The row with its cell of that column changed, in each way that is a change."""
    for cell in seen.change(row[column]):
        if cell != row[column]:
            yield {**row, column: cell}


def columns_told() -> list[str]:
    """For the report: how many columns are judged, by what else some are, and which are not."""
    every = [(table, column, seen) for table, columns in SEEN.items() for column, seen in columns.items()]
    elsewhere = sum(seen.elsewhere > 0 for *_, seen in every)
    out = [
        f"Columns of the packaged tables: a changed cell of {elsewhere} is objected to by another publication, of",
        f"{len(every) - elsewhere} by a rule or by the tables themselves:",
    ]
    out += [f"  {table}, {column}: {seen.why}" for table, column, seen in every if not seen.elsewhere]
    out.append("Not judged:")
    return out + [f"  {table}, {column}: {why}" for table, columns in SAID.items() for column, why in columns.items()]
