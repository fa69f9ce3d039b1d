"""The packaged tables of food values, needs and food groups against other publications: see judges."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cache
from itertools import pairwise
from pathlib import Path

from pantrymeals.larder import nutrition
from pantrymeals.no_store.nourish import group_tables
from tests.kitchens.tiny import person
from tests.outside.judged import Judged
from tests.outside.second_sources import Packaged, Row, read_rows, second, source_of

LEVELS = {"low_active": "low", "moderate": "moderate", "active": "active"}


def food_values(tables: Packaged) -> Iterator[Judged]:
    """Energy and protein against the Indian Food Composition Tables 2017 (own analyses of six regions).

    Its energy leaves fibre out and its crops are others: to a third, and 10 kcal or half a gram. Left out: pears, of
    which the two disagree (37 kcal there, 57 here), and spinach, which is raw there and frozen here.
    """
    table, source = nutrition.food_table(tables["foods"]), "Indian Food Composition Tables 2017 (open data set)"
    for row in second("foods"):
        ours = table[row["ndb_no"]]
        kcal, protein = float(row["kcal"]), float(row["protein_g"])
        name = f"in 100 g, {ours.name}"
        yield Judged(f"kcal {name}", source, kcal, ours.kcal * 100, within=max(10, kcal / 3))
        yield Judged(f"protein g {name}", source, protein, ours.protein_g * 100, within=max(0.5, protein / 3))


PARTS = {
    # column: factor either way, and so much more or less beside it, by which the two tables may differ
    "water_g": (1.15, 4.0), "fat_g": (1.75, 0.8), "carbohydrate_g": (1.35, 1.0), "fibre_g": (2.0, 0.1),
    "sodium_mg": (2.0, 8.0),
}  # fmt: skip
OTHERWISE = {
    ("11352", "fibre_g"), ("11312", "fibre_g"), ("11280", "fibre_g"), ("11215", "fibre_g"), ("11178", "fibre_g"),
    ("11507", "water_g"), ("11507", "carbohydrate_g"), ("11507", "sodium_mg"), ("11124", "sodium_mg"),
    ("11080", "sodium_mg"), ("11564", "sodium_mg"), ("11312", "sodium_mg"), ("11540", "sodium_mg"),
    ("19297", "sodium_mg"), ("11172", "fibre_g"),
}  # fmt: skip
"""Where the tables differ by more, each for a reason: fibre there is by the later method, which counts resistant starch
and fructans; their sweet potato is a drier kind; roots take sodium from the soil; peas are graded in brine before they
are frozen here; juice and jam are salted or not as the maker will."""


def food_parts(tables: Packaged) -> Iterator[Judged]:
    """Water, fat, carbohydrate, fibre, sodium and what is thrown away, against Japan's own standard table.

    The edible part, as it is what the program reckons with: to two fifths, since some peel thickly and some not at all.
    """
    foods = {row["ndb_no"]: row for row in tables["foods"]}
    edible = nutrition.food_table(tables["foods"])
    for row in second("japan"):
        ours = foods[row["ndb_no"]]
        for column, (times, within) in PARTS.items():
            if row[column] and (row["ndb_no"], column) not in OTHERWISE:
                figure = f"{column.replace('_', ' ')} in 100 g, {ours['food']}"
                yield Judged(
                    figure, source_of({"source": "Ns"}), float(row[column]), float(ours[column]), within, times=times
                )
        if row["refuse_pct"]:
            part = edible[row["ndb_no"]].eaten
            printed = 1 - float(row["refuse_pct"]) / 100
            yield Judged(f"edible part, {ours['food']}", source_of({"source": "Ns"}), printed, part, times=1.4)


def bands_meet(tables: Packaged) -> Iterator[Judged]:
    """Each published band of ages ends where the next of its kind begins: nobody is in two or in none."""
    kinds: dict[tuple[str, ...], list[tuple[int, int | None]]] = {}
    for row in tables["energy_need"]:
        key = tuple(row[k] for k in ("record_type", "sex", "activity", "quantity"))
        kinds.setdefault(key, []).append((int(row["age_low"]), int(row["age_high"]) if row["age_high"] else None))
    for key, bands in kinds.items():
        bands.sort(key=lambda band: band[0])
        for (_, end), (begins, _) in pairwise(bands):
            ours = "open" if end is None else float(end)
            yield Judged(f"{' '.join(key)} to {begins}", "the table itself", float(begins - 1), ours)


def energy_by_parts(tables: Packaged) -> Iterator[Judged]:
    """Each food's energy from its own parts by the general factors 4, 9 and 4 (Merrill and Watt, USDA Handbook 74)."""
    for row in tables["foods"]:
        if row["sr_description"].startswith("VINEGAR"):
            continue  # its energy is acetic acid's, which the factors do not know
        protein, fat, rest = (float(row[k]) for k in ("protein_g", "fat_g", "carbohydrate_g"))
        sum_of = 4 * protein + 9 * fat + 4 * rest
        kcal = float(row["kcal_100g"])
        yield Judged(
            f"kcal by its parts, {row['food']}", "Merrill and Watt", sum_of, kcal, within=max(9, sum_of * 0.24)
        )


def protein_by_scarcity(tables: Packaged) -> Iterator[Judged]:
    """What is not water, protein, fat or carbohydrate is ash and fibre's water: between nothing and 5 g of 100."""
    for row in tables["foods"]:
        if "SALT,TABLE" in row["sr_description"] or not row["water_g"]:
            continue
        whole = sum(float(row[k] or 0) for k in ("protein_g", "fat_g", "carbohydrate_g", "water_g"))
        yield Judged(f"g in 100 g, {row['food']}", "proximate analysis", (91.5, 100.7), whole)


def calorie_needs(tables: Packaged) -> Iterator[Judged]:
    """Estimated calorie needs by age, sex and activity; printed to 200 kcal for people a little otherwise: 300."""
    needs = nutrition.need_table(tables["energy_need"])
    for row in second("calories"):
        for column, level in LEVELS.items():
            parts = [float(part) for part in row[column].split("-")]
            someone = person("Ann", born=date(2026 - int(row["age"]), 1, 1), sex=row["sex"], activity=level)
            ours = nutrition.daily_need(someone, date(2026, 6, 1), needs).kcal
            figure = f"kcal a day, {row['sex']} of {row['age']}, {level}"
            source = "Dietary Guidelines for Americans 2010 and 2020-2025, estimated calorie needs (as reproduced)"
            yield Judged(figure, source, (min(parts), max(parts)), ours, within=300)


def protein_needs(tables: Packaged) -> Iterator[Judged]:
    """Protein a day: the summary table of the Dietary Reference Intakes, read in a copy of the table itself."""
    needs = nutrition.need_table(tables["energy_need"])
    source = "Institute of Medicine, DRI summary tables, macronutrients (copy on the web)"
    for born, sex, grams in PROTEIN:
        someone = person("Ann", born=date(born, 1, 1), sex=sex)
        ours = nutrition.daily_need(someone, date(2026, 6, 1), needs).protein_g
        yield Judged(f"protein g a day, {sex} born {born}", source, grams, ours)


PROTEIN = (
    (2023, "male", 13), (2019, "female", 19), (2014, "female", 34), (2014, "male", 34), (2010, "male", 52),
    (2010, "female", 46), (1980, "male", 56), (1980, "female", 46), (1950, "male", 56), (1950, "female", 46),
)  # fmt: skip


def printed_requirements(tables: Packaged) -> Iterator[Judged]:
    """The 48 printed results of the energy equations, whose coefficients alone are packaged."""
    needs = nutrition.need_table(tables["energy_need"])
    for row in _printed():
        height, weight = (float(part.split("=")[1]) for part in row["quantity"].split(";"))
        level = row["activity"]
        ours = nutrition.energy_requirement(needs, row["sex"], 30, level, height, weight)  # type: ignore[arg-type]
        figure = f"energy, {row['sex']}, {level}, {height} m, {weight} kg"
        yield Judged(figure, "IOM 2002/2005, EER summary table", float(row["value"]), ours, within=1.4)


@cache
def _printed() -> tuple[Row, ...]:
    rows = read_rows(Path(__file__).parent / "handbook" / "energy_protein.csv")
    return tuple(row for row in rows if row["record_type"] == "eer_2005_table")


def food_patterns(tables: Packaged) -> Iterator[Judged]:
    """What the Healthy U.S.-Style Pattern asks of each group; and that its parts make the whole (worked example 12)."""
    groups = group_tables(tables["food_pattern"], tables["food_groups"])
    asked = {(group, kcal): weekly for group, points in groups.pattern.items() for kcal, weekly in points}
    for row in second("patterns"):
        daily = 1 if groups.parts.get(row["group"]) else 7
        ours = asked[row["group"], float(row["kcal"])] / daily
        yield Judged(f"{row['group']} at {row['kcal']} kcal", source_of(row), float(row["amount"]), ours)
    for kcal in (1600, 2000, 2400, 2800):
        parts = [w for (g, k), w in asked.items() if k == kcal and groups.parts.get(g) == "vegetables"]
        whole = asked["vegetables", kcal]
        yield Judged(f"subgroups of vegetables at {kcal} kcal, a week", "Dietary Guidelines, worked example 12",
                     whole, sum(parts), within=0.5)  # fmt: skip
        proteins = [w for (g, k), w in asked.items() if k == kcal and groups.parts.get(g) == "protein foods"]
        nuts = {1600: 4, 2000: 5, 2400: 5, 2800: 6}[kcal]
        yield Judged(f"subgroups of protein foods with nuts at {kcal} kcal, a week",
                     "Dietary Guidelines, worked example 12", asked["protein foods", kcal], sum(proteins) + nuts,
                     within=1)  # fmt: skip


def food_groups(tables: Packaged) -> Iterator[Judged]:
    """Which group a food counts in, and how much of it makes a cup or an ounce."""
    families = group_tables(tables["food_pattern"], tables["food_groups"]).families
    for row in second("groups"):
        yield Judged(f"group of {row['family']}", source_of(row), row["group"], families[row["family"]].group)
    for row in second("amounts"):
        ours = families[row["family"]].grams
        yield Judged(f"{row['what']}: {row['family']}", source_of(row), float(row["grams"]), ours, float(row["within"]))
