"""Each packaged table against sources other than the one it was typed from.

A judge takes the rows of the packaged tables, works out the program's own figure from them by the program's own
functions, and lays it beside what another publication prints (``second/``, each row with its source). It reads no
packaged file itself, so that a test may hand it rows with one figure changed and see it object.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

from pantrymeals.season.yields import CropName, Tables, canning_yields, containers_for, raw_pounds
from tests.outside.judged import Judged
from tests.outside.judges_of_food import (
    bands_meet,
    calorie_needs,
    energy_by_parts,
    food_groups,
    food_parts,
    food_patterns,
    food_values,
    printed_requirements,
    protein_by_scarcity,
    protein_needs,
)
from tests.outside.judges_of_garden import for_each_person, inches_apart, months_of_harvest, pounds_a_row
from tests.outside.judges_of_store import (
    best_months,
    cold_and_damp,
    good_as_it_comes,
    grams_a_cup,
    grams_apiece,
    kept_apart,
    months_kept,
    opened_life,
    thawing,
)
from tests.outside.ph import BORDERLINE, PH
from tests.outside.second_sources import Packaged, second, source_of, span

LEVELS = {"low_active": "low", "moderate": "moderate", "active": "active"}


def pounds_a_quart(tables: Packaged) -> Iterator[Judged]:
    """Pounds raw to a quart: the whole span of a row's three printed figures, to a quarter pound and a half."""
    canning = Tables(canning_yields(tables["canning_yields"]))
    for row in second("quart"):
        ours = raw_pounds(canning, CropName("it", row["product"], row["form"], "", ""), 1, "qt")
        assert ours is not None
        figure = f"pounds to a quart, {row['product']}"
        yield Judged(figure, source_of(row), span(row), (float(ours.low), float(ours.high)), within=0.5)


def quarts_a_container(tables: Packaged) -> Iterator[Judged]:
    """Quarts that a bushel, crate or bag fills: both ends, a half more or less (fruit and packing differ so)."""
    canning = Tables(canning_yields(tables["canning_yields"]))
    for row in second("container"):
        ours = containers_for(canning, CropName("it", row["product"], row["form"], "", ""), 1, "qt")
        assert ours is not None
        fills = (float(1 / ours.high), float(1 / ours.low))
        yield Judged(f"quarts to a container, {row['product']}", source_of(row), span(row), fills, times=1.5)


def pounds_a_bushel(tables: Packaged) -> Iterator[Judged]:
    """What a bushel weighs, by the states' laws: every row of ours that has a bushel of it, to an eighth."""
    for row in second("bushel"):
        found = [
            r for r in tables["canning_yields"]
            if r["product"] == row["product"] and r["container"] == "bushel" and r["container_weight_lb"]
        ]  # fmt: skip
        assert found, row["product"]
        for ours in found:
            weights = [float(each) for each in ours["container_weight_lb"].split("-")]
            figure = f"pounds a bushel, {row['product']}"
            yield Judged(figure, source_of(row), span(row), (weights[0], weights[-1]), times=1.125)


def acid_classes(tables: Packaged) -> Iterator[Judged]:
    """pH as published against our class: low acid above 4.6, acid not above it, borderline about it."""
    things = {row["thing"]: row["acid"] for row in tables["things"]}
    for name, (low, high) in PH.items():
        side = "low" if low > 4.6 else "acid"
        ours = {"low": "low", "high": "acid", "acidified": "acid"}.get(things[name], things[name])
        yield Judged(f"acid class, {name}: pH {low:g} to {high:g}", "US FDA 2003; AHEA 1993", side, ours)
    for name, (low, high) in BORDERLINE.items():
        yield Judged(
            f"acid class, {name}: pH {low:g} to {high:g}", "US FDA 2003; AHEA 1993", "borderline", things[name]
        )


def loads(tables: Packaged) -> Iterator[Judged]:
    """Jars to a load, and how much a freezer takes at once."""
    for row in second("loads"):
        ours = next(r for r in tables["lids_and_loads"] if (r["item"], r["unit"]) == (row["item"], row["unit"]))
        printed = span(row)
        mine = span(ours, "value_low", "value_high")
        within = 1 if row["item"] == "jars per load" else 0
        yield Judged(f"{row['item']}, {row['unit']}", source_of(row), printed, mine, within)


def per_person_plans(tables: Packaged) -> Iterator[Judged]:
    """Quarts a year that a published plan puts up for one person: within two and a half times, as the plans differ."""
    ours = {row["family"]: float(row["quarts_a_person"]) for row in tables["put_up_plans"]}
    for row in second("plans"):
        mine = ours[row["family"]]
        yield Judged(f"quarts a person a year, {row['family']}", source_of(row), span(row), mine, times=2.5)


def tested_sizes(tables: Packaged) -> Iterator[Judged]:
    """Half-gallons for apple and grape juice alone (Penn State and Iowa State Extension); the acid class by its pH."""
    source = "Penn State and Iowa State Extension 2019, after USDA"
    for row in tables["tested_sizes"]:
        said = "yes" if "half-gallon" in row["tested_sizes"] else "no"
        expected = "yes" if row["product"] in ("apple juice", "grape juice") else "no"
        yield Judged(f"in half-gallons: {row['product']}", source, expected, said)
        if row["product"] in PH_OF_TESTED:
            low, high = PH_OF_TESTED[row["product"]]
            ours = "low" if row["acid"] == "low acid" else "acid"
            side = "low" if low > 4.6 else "acid"
            yield Judged(f"acid class, {row['product']}: pH {low:g} to {high:g}", "US FDA 2003; AHEA 1993", side, ours)


MEASURES = {"qt": 946.353, "pt": 473.176, "hp": 236.588, "half-gal": 1892.706, "lb": 453.592,
            "l": 1000.0, "ml": 1.0, "kg": 1000.0, "g": 1.0}  # fmt: skip


@cache
def _measured(cell: str) -> list[float]:
    """Millilitres or grams of each size that has a measure: 'qt bag = 1 qt', '500 ml jar', '4-lb bag = 4 lb', 'pt'."""
    out = []
    for size in cell.split(";"):
        words = size.split("=")[-1].replace("-", " ").split()
        number = float(words[0]) if words[0][0].isdigit() else 1.0
        unit = words[1] if words[0][0].isdigit() else words[0]
        if unit in MEASURES:
            out.append(number * MEASURES[unit])
    return sorted(out)


def sizes_alike(tables: Packaged) -> Iterator[Judged]:
    """A thing's usual containers, in quarts and in litres: size by size alike to an eighth."""
    source = source_of({"source": "Nh"})
    for row in tables["things"]:
        ours, metric = _measured(row["sizes"]), _measured(row["sizes_metric"])
        if row["loose"] == "yes" or not (ours or metric):
            continue
        figure = f"its sizes, {row['thing']}"
        yield Judged(f"how many of {figure}", source, len(ours), len(metric))
        for each, other in zip(ours, metric, strict=False):
            yield Judged(figure, source, each, other, times=1.13)


PH_OF_TESTED = {
    "green beans": PH["Green beans"], "beets": PH["Beets, plain"], "carrots": PH["Carrots, sliced"],
    "sweet corn, whole kernel": PH["Sweet corn"], "peas": PH["Peas, canned"], "lima beans, fresh": PH["Lima beans"],
    "spinach and other greens": PH["Spinach, canned"], "potatoes, white": PH["Potatoes, diced"],
    "sweet potatoes": PH["Sweet potatoes, canned"], "applesauce": PH["Applesauce"],
    "peaches": PH["Peaches in syrup"], "pears": PH["Pears in syrup"], "plums": PH["Plums in syrup"],
    "apple juice": PH["Apple juice"], "grape juice": PH["Grape juice"], "sauerkraut": PH["Sauerkraut"],
    "dill pickles, quick fresh-pack": PH["Dill cucumbers"], "jams and jellies": PH["Raspberry jam"],
}  # fmt: skip


def names_of_crops(tables: Packaged) -> Iterator[Judged]:
    """A household's product is looked up in the row that a second source's figure for it agrees with."""
    canning = Tables(canning_yields(tables["canning_yields"]))
    names = {row["product"]: row for row in tables["put_up_crops"]}
    for product, (low, high), source in EVERYDAY:
        row = names[product]
        ours = raw_pounds(
            canning, CropName(product, row["canning_product"], row["canning_form"], "", ""), 1, "qt"
        )  # fmt: skip
        mine = "no figure" if ours is None else (float(ours.low), float(ours.high))
        yield Judged(f"pounds to a quart of the product {product}", source, (low, high), mine, within=0.5)
    growing = {row["crop"] for row in tables["garden_yields"]}
    tested = {row["product"] for row in tables["tested_sizes"]}
    for row in tables["put_up_crops"]:
        for column, known in (("garden_crop", growing), ("tested_as", tested)):
            if row[column]:
                stands = "yes" if row[column] in known else "no"
                yield Judged(f"{row['product']} is named as its {column} is", "the tables themselves", "yes", stands)


_P = "a table after older USDA bulletins (printed by a maker of pickling mixes)"
EVERYDAY = (
    ("green beans", (1.5, 2.5), _P), ("sweet corn", (3, 6), _P), ("carrots, sliced", (2, 3), _P),
    ("beets, plain", (2, 3.5), _P), ("winter squash, cubed", (1.5, 3), _P), ("applesauce", (2.5, 3.5), _P),
    ("pears in syrup", (2, 3), _P), ("peaches in syrup", (2, 3), _P), ("sour cherries", (2, 2.5), _P),
    ("damsons in syrup", (1.5, 2.5), _P), ("blackcurrants in syrup", (1.5, 3), _P), ("peas, canned", (3, 6), _P),
    ("tomatoes, whole", (3, 3), _P), ("tomato juice", (3, 3.5), "University of Georgia Extension, Approximate Yields"),
)  # fmt: skip


MANNERS = {"canned", "frozen", "fresh", "dry", "dried", "raw", "sweet", "stew", "chunks", "in", "syrup", "cooking"}
ALSO_FOUND_AS = {
    "jam": "jams", "jelly": "jell", "butter": "jam", "marmalade": "jam", "damsons": "plum", "venison": "venison",
}  # fmt: skip
STANDS_IN = {"Elk chunks": "deer", "Elk, frozen": "deer", "Trout, canned": "salmon", "Chard": "spinach"}


def foods_named_alike(tables: Packaged) -> Iterator[Judged]:
    """A slip of a number would give beans the food values of beef: some word of a thing stands in its food's name."""
    foods = {r["ndb_no"]: f"{r['food']} {r['sr_description']}".casefold() for r in tables["foods"]}
    for row in tables["things"]:
        if not row["food"]:
            continue
        names = f"{row['thing']} {row['also_called']}".casefold().replace(",", " ").replace(";", " ").split()
        words = {w.rstrip("s")[:5] for w in names if len(w) > 2 and w not in MANNERS}
        words |= {ALSO_FOUND_AS[w] for w in names if w in ALSO_FOUND_AS}
        looked_for = [STANDS_IN[row["thing"]]] if row["thing"] in STANDS_IN else words
        found = any(word in foods.get(row["food"], "") for word in looked_for)
        yield Judged(f"food of {row['thing']}", "the tables themselves", "named so", "named so" if found else "not")


def named_sources(tables: Packaged) -> Iterator[Judged]:
    """Every code of a source is spelled out once and used; every row of a table names what it was typed from."""
    used = {row[name] for row in tables["things"] for name in row if name.endswith("_source") and row[name]}
    codes = [row["code"] for row in tables["thing_sources"]]
    for code in sorted({*used, *codes}):
        yield Judged(f"source {code} of the catalogue", "the catalogue itself", "1 used", f"{codes.count(code)} "
                     + ("used" if code in used else "unused"))  # fmt: skip
    for row in tables["thing_sources"]:
        known = "yes" if row["how_obtained"] in ("read", "from memory", "common practice") else "no"
        yield Judged(f"how {row['code']} was got", "the catalogue itself", "yes", known)


def canning_in_itself(tables: Packaged) -> Iterator[Judged]:
    """Worked example 12: AIB 539 agrees within itself, by the exceptions that are named there.

    A load over seven, or nine pints over four and a half, is the printed pounds a quart within 6 %; a bushel's weight
    over that lies inside the printed quarts to the bushel (or half a quart beside it).
    """
    for row in tables["canning_yields"]:
        name, quart = row["product"], row["lb_per_quart"]
        if not quart or "-" in quart or name == "tomatoes, crushed":
            continue
        for column, jars in (("lb_per_7qt_load", 7.0), ("lb_per_9pt_load", 4.5)):
            if row[column] and (name, jars) != ("tomato sauce, thin", 4.5):
                each = float(row[column]) / jars
                yield Judged(f"{column} of {name}", "AIB 539", float(quart), each, within=float(quart) * 0.06)
        weight, low, high = (row[k] for k in CONTAINER)
        if weight and "-" not in weight and low and high and "AIB 539" in row["source"]:
            fills = float(weight) / float(quart)
            yield Judged(
                f"quarts from a {row['container']} of {name}", "AIB 539", (float(low), float(high)), fills, 0.5
            )


CONTAINER = ("container_weight_lb", "quarts_per_container_low", "quarts_per_container_high")

Judge = Callable[[Packaged], Iterator[Judged]]
PUBLISHED: tuple[Judge, ...] = (
    pounds_a_quart, quarts_a_container, pounds_a_bushel, pounds_a_row, inches_apart, for_each_person,
    months_of_harvest, months_kept, cold_and_damp, best_months, grams_a_cup, grams_apiece, acid_classes,
    food_values, food_parts, calorie_needs, protein_needs, printed_requirements, food_patterns, food_groups, loads,
    opened_life, thawing, good_as_it_comes, kept_apart, per_person_plans, sizes_alike,
)  # fmt: skip
"""Those that lay a figure of another publication beside ours: in the report."""
WITHIN: tuple[Judge, ...] = (
    energy_by_parts,
    protein_by_scarcity,
    canning_in_itself,
    tested_sizes,
    names_of_crops,
    named_sources,
    foods_named_alike,
    bands_meet,
)
"""Those that ask whether a table makes sense in itself, or by a rule: asserted, and not counted as figures."""
