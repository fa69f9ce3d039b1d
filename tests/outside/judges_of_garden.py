"""What a garden gives, how far apart it is planted and when it is picked, against other publications: see judges."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pantrymeals.season.yields import garden_yields
from tests.outside.judged import Judged
from tests.outside.second_sources import Packaged, Row, second, source_of, span


def pounds_a_row(tables: Packaged) -> Iterator[Judged]:
    """Pounds (of corn, dozens) from a hundred feet: within twice or half, as gardens differ."""
    rows = {(g.crop, g.source.split(" ")[2] if g.source.startswith("University") else g.source.split(" ")[0]): g
            for g in garden_yields(tables["garden_yields"]) if g.basis_ft}  # fmt: skip
    for row in second("row"):
        ours = rows[row["crop"], row["source_has"]]
        grown = (float(ours.low * 100 / ours.basis_ft), float(ours.high * 100 / ours.basis_ft))
        printed = span(row, "per_100_ft_low", "per_100_ft_high")
        yield Judged(f"from 100 ft by {row['source_has']}, {row['crop']}", source_of(row), printed, grown, times=2)


def ends(cell: str) -> tuple[float, float]:
    """(least, most) of '12-18' or '10-15 plants'."""
    found = [float(each) for each in re.findall(r"[\d.]+", cell)]
    return found[0], found[-1]


def _by_crop(tables: Packaged, column: str, crop: str) -> list[Row]:
    return [row for row in tables["garden_yields"] if row["crop"] == crop and row[column]]


def inches_apart(tables: Packaged) -> Iterator[Judged]:
    """Inches in the row and between rows: in the row within twice and a half, as kinds and beds differ, between 1 1/2.

    Left out: broccoli, where the garden guide has three inches, a slip; in the row what climbs or creeps (an intensive
    garden trains it: cucumbers, summer squash, pole beans), turnips, sown thick and thinned, and thinned onions.
    """
    for row in second("spacing"):
        for column, low, high, times in (
            ("in_row_spacing_in", "in_row_low", "in_row_high", 2.5),
            ("between_rows_in", "between_low", "between_high", 1.5),
        ):
            if not row[low] or (column.startswith("in_row") and row["crop"] in LEFT_OUT):
                continue
            for ours in _by_crop(tables, column, row["crop"]):
                figure = f"{column.removesuffix('_in').replace('_', ' ')}, {row['crop']}"
                yield Judged(figure, source_of(row), span(row, low, high), ends(ours[column]), times=times)


LEFT_OUT = ("Beans, pole", "Cucumbers", "Squash, summer", "Turnips")


def for_each_person(tables: Packaged) -> Iterator[Judged]:
    """Plants, hills or feet of row for one person: within twice or half."""
    for row in second("persons"):
        found = _by_crop(tables, row["column"], row["crop"])
        assert found, row["crop"]
        for ours in found:
            figure = f"{row['column'].removeprefix('plant_').replace('_', ' ')}, {row['crop']}"
            yield Judged(figure, source_of(row), span(row), ends(ours[row["column"]]), times=2)


def months_of_harvest(tables: Packaged) -> Iterator[Judged]:
    """The months in which a thing is picked: all within the printed ones or a month beside. High above 12: next year.

    Latitudes: Ontario's south-west 42 to 43, Texas 26 to 36, Jefferson County 30; Maine's 43 to 47 straddle the
    line where ours becomes 'cool'. Left out: what is picked twice a year in the south
    (broccoli, squash), and where that one grower or list has far fewer months (asparagus, beets; Maine's cauliflower).
    """
    things = {row["thing"]: row for row in tables["things"]}
    for row in second("harvest"):
        cell = things[row["thing"]][f"harvest_{row['band']}"]
        low, high = span(row)
        first, last = ends(cell) if cell else (0.0, 0.0)
        first += 12 * round((low - first) / 12)
        last = first + (last - first) % 12
        figure = f"months of harvest, {row['band']}, {row['thing']}"
        yield Judged(figure, source_of(row), (low, high), (first, last), within=1)
