"""Reads the parsed ``season.yaml`` into facts, gathering every mistake with its path.

A path such as ('jars', 2, 'empties') lets whoever holds the file name its line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import TypeVar

from pantrymeals.plans.season import BookYear
from pantrymeals.season.facts import (
    CANNING_DAYS,
    USUAL_MOST_LOADS,
    USUAL_SERVICE,
    Canner,
    Ground,
    Harvest,
    Hours,
    LoadRecord,
    Odds,
    SeasonFacts,
    ThisSeason,
    YearDay,
)
from pantrymeals.units import take_number

Path = tuple[str | int, ...]
T = TypeVar("T")
_ABSENT = object()

__all__ = ["CANNING_DAYS", "SeasonMistake", "read_season"]


@dataclass(frozen=True, slots=True)
class SeasonMistake:
    """One thing wrong in the season's file: where by keys and item numbers, what, and what would be right."""

    path: Path
    wrong: str
    right: str = ""


@dataclass(slots=True)
class _Reader:
    """Looks things up in parsed YAML and remembers what was wrong."""

    mistakes: list[SeasonMistake] = field(default_factory=list)

    def wrong(self, path: Path, wrong: str, right: str = "") -> None:
        self.mistakes.append(SeasonMistake(path, wrong, right))

    def items(self, data: Mapping[str, object], key: str) -> Iterable[tuple[Path, Mapping[str, object]]]:
        value = data.get(key)
        if value is None:
            return
        if not isinstance(value, list):
            self.wrong((key,), f"{key} should be a list", "write one item to a line, each after a dash")
            return
        for index, item in enumerate(value):
            if isinstance(item, Mapping):
                yield (key, index), item
            else:
                self.wrong((key, index), f"{item!r} should be a mapping such as {{crop: peas}}")

    def part(self, data: Mapping[str, object], key: str, path: Path = ()) -> Mapping[str, object]:
        value = data.get(key)
        if value is None:
            return {}
        if isinstance(value, Mapping):
            return value
        self.wrong((*path, key), f"{key} should be a mapping")
        return {}

    def words(self, item: Mapping[str, object], key: str, path: Path, default: object = _ABSENT) -> str:
        value = item.get(key)
        if value is None or value == "":
            if default is _ABSENT:
                self.wrong((*path, key) if key in item else path, f"{key} is missing")
                return ""
            return str(default)
        return " ".join(str(value).split())

    def number(self, item: Mapping[str, object], key: str, path: Path, default: Fraction | None = None) -> Fraction:
        text = item.get(key)
        if text is None or str(text).strip() in {"", "-", "n/a"}:
            if default is None:
                self.wrong((*path, key) if key in item else path, f"{key} is missing")
            return default or Fraction(0)
        taken = take_number(str(text))
        if taken is None or taken[1]:
            self.wrong((*path, key), f"{key}: '{text}' is not a number", "such as 12, 0.5 or 1/2")
            return Fraction(0)
        if taken[0] < 0:
            self.wrong((*path, key), f"{key}: {text} is below nothing")
            return Fraction(0)
        return taken[0]

    def day_of_year(self, item: Mapping[str, object], key: str, path: Path) -> YearDay:
        text = self.words(item, key, path)
        parts = text.split("-")
        try:
            month, day = (int(p) for p in parts)
            date(2024, month, day)
        except ValueError:
            if text:
                self.wrong((*path, key), f"{key}: '{text}' is not a yearly day", "such as 08-01")
            return (1, 1)
        return (month, day)

    def day(self, item: Mapping[str, object], key: str, path: Path) -> date | None:
        text = self.words(item, key, path)
        try:
            return date.fromisoformat(text)
        except ValueError:
            self.wrong((*path, key), f"{key}: '{text}' is not a date", "such as 2026-08-01")
            return None

    def sizes(self, item: Mapping[str, object], key: str, path: Path) -> dict[str, Fraction]:
        inner = self.part(item, key, path)
        return {size: self.number(inner, size, (*path, key)) for size in inner}


def read_season(data: Mapping[str, object]) -> tuple[SeasonFacts, tuple[SeasonMistake, ...]]:
    """The facts, and every mistake found. An empty mapping gives empty facts."""
    reader = _Reader()
    jars = [(reader.words(i, "size", p), p, i) for p, i in reader.items(data, "jars")]
    lids = reader.part(data, "lids")
    service = reader.number(data, "service", (), Fraction(USUAL_SERVICE).limit_denominator(100))
    if not 0 < service < 1:
        reader.wrong(("service",), f"service: {service} is not between 0 and 1", "such as 0.85")
        service = Fraction(USUAL_SERVICE).limit_denominator(100)
    freezing = reader.part(data, "freezing")
    facts = SeasonFacts(
        empties={s: int(reader.number(i, "empties", p, Fraction(0))) for s, p, i in jars},
        out={s: int(reader.number(i, "out", p, Fraction(0))) for s, p, i in jars},
        jars_besides=_names(reader, data, "in_jars_besides"),
        flats={kind: int(reader.number(lids, kind, ("lids",), Fraction(0))) for kind in ("regular", "wide") if lids},
        wide_share=reader.number(lids, "wide_share", ("lids",), Fraction(0)),
        gauge_checked=reader.words(data, "dial_gauge_checked", (), ""),
        canners=tuple(_canner(reader, p, i) for p, i in reader.items(data, "canners")),
        most_loads_a_day=max(1, int(reader.number(data, "most_loads_a_day", (), Fraction(USUAL_MOST_LOADS)))),
        shelf_mm=sum((_shelf(reader, p, i) for p, i in reader.items(data, "shelves")), Fraction(0)),
        jar_width_mm=reader.sizes(data, "jar_width_mm", ()),
        free_litres=_free_litres(reader, data),
        hours=tuple(_hours(reader, p, i) for p, i in reader.items(data, "kitchen_hours")),
        harvests=tuple(_harvest(reader, p, i) for p, i in reader.items(data, "harvest")),
        grounds=tuple(_ground(reader, p, i) for p, i in reader.items(data, "garden")),
        ground_free_ft=reader.number(data, "garden_feet_free", (), Fraction(0)),
        trees=_trees(reader, data),
        tree_lb=_tree_lb(reader, data),
        odds=tuple(_odds(reader, p, i) for p, i in reader.items(data, "failure_odds")),
        years=_years(reader, data),
        this_season=_this_season(reader, data),
        servings=_servings(reader, data),
        load_records=tuple(_load_record(reader, p, i) for p, i in reader.items(data, "load_records")),
        expected=_expected(reader, data),
        service=float(service),
        freeze_batch=max(1, int(reader.number(freezing, "batch", ("freezing",), Fraction(6)))),
        freeze_hours=reader.number(freezing, "hours", ("freezing",), Fraction(1)),
    )
    return facts, tuple(reader.mistakes)


def _names(reader: _Reader, data: Mapping[str, object], key: str, path: Path = ()) -> tuple[str, ...]:
    value = data.get(key)
    if value is None:
        return ()
    if not isinstance(value, list):
        reader.wrong((*path, key), f"{key} should be a list", "such as [Green beans, Dilly beans]")
        return ()
    return tuple(" ".join(str(v).split()) for v in value)


def _canner(reader: _Reader, path: Path, item: Mapping[str, object]) -> Canner:
    holds = {size: int(n) for size, n in reader.sizes(item, "holds", path).items()}
    for size, count in holds.items():
        if count < 1:
            reader.wrong((*path, "holds", size), f"a load of {size} holds at least one jar")
    kind = reader.words(item, "kind", path)
    if kind not in {"boiling", "pressure"}:
        reader.wrong((*path, "kind"), f"kind: '{kind}' is not one of boiling, pressure")
    first = reader.number(item, "hours_first_load", path, Fraction(2))
    later = reader.number(item, "hours_next_load", path, first)
    return Canner(reader.words(item, "name", path), kind, holds, first, later)


def _shelf(reader: _Reader, path: Path, item: Mapping[str, object]) -> Fraction:
    deep = reader.number(item, "rows_deep", path, Fraction(1))
    tiers = reader.number(item, "tiers", path, Fraction(1))
    return reader.number(item, "metres", path) * 1000 * deep * tiers


def _free_litres(reader: _Reader, data: Mapping[str, object]) -> Fraction | None:
    found = list(reader.items(data, "freezers"))
    if not found:
        return None
    free = Fraction(0)
    for path, item in found:
        full = reader.number(item, "full_now", path, Fraction(0))
        if full > 1:
            reader.wrong((*path, "full_now"), f"full_now: {item.get('full_now')} is more than full (1)")
        free += reader.number(item, "litres", path) * max(Fraction(0), 1 - full)
    return free


def _hours(reader: _Reader, path: Path, item: Mapping[str, object]) -> Hours:
    return Hours(
        reader.day_of_year(item, "from", path),
        reader.day_of_year(item, "to", path),
        reader.number(item, "hours_a_week", path),
    )


def _harvest(reader: _Reader, path: Path, item: Mapping[str, object]) -> Harvest:
    first, last = reader.day_of_year(item, "from", path), reader.day_of_year(item, "to", path)
    elsewhere = any(_is_yes(item.get(key)) for key in ("from_barn", "wild", "bought"))
    return Harvest(reader.words(item, "crop", path), first, last, _names(reader, item, "products", path), not elsewhere)


def _is_yes(value: object) -> bool:
    return value is True or str(value).strip().lower() in {"yes", "true", "y"}


def _ground(reader: _Reader, path: Path, item: Mapping[str, object]) -> Ground:
    rows = reader.number(item, "rows", path, Fraction(0))
    feet = reader.number(item, "feet_a_row", path, Fraction(0))
    hoped = reader.number(item, "hoped_lb", path) if "hoped_lb" in item else None
    return Ground(
        reader.words(item, "crop", path),
        rows * feet,
        int(reader.number(item, "plants", path, Fraction(0))),
        reader.words(item, "place", path, "") == "tunnel",
        hoped,
    )


def _trees(reader: _Reader, data: Mapping[str, object]) -> dict[str, int]:
    out: dict[str, int] = {}
    for path, item in reader.items(data, "trees"):
        crop = reader.words(item, "crop", path)
        out[crop] = out.get(crop, 0) + int(reader.number(item, "count", path))
    return out


def _tree_lb(reader: _Reader, data: Mapping[str, object]) -> dict[str, Fraction]:
    out: dict[str, Fraction] = {}
    for path, item in reader.items(data, "trees"):
        if "hoped_lb" in item:
            crop = reader.words(item, "crop", path)
            out[crop] = out.get(crop, Fraction(0)) + reader.number(item, "hoped_lb", path)
    return out


def _odds(reader: _Reader, path: Path, item: Mapping[str, object]) -> Odds:
    years = reader.number(item, "one_year_in", path)
    if years <= 1:
        reader.wrong((*path, "one_year_in"), "one_year_in should be more than 1", "such as 3 for one year in three")
        years = Fraction(1000)
    still = reader.number(item, "still_brings", path) if "still_brings" in item else None
    return Odds(reader.words(item, "crop", path), years, reader.words(item, "why", path, ""), still)


def _years(reader: _Reader, data: Mapping[str, object]) -> tuple[BookYear, ...]:
    out = []
    for path, item in reader.items(data, "history"):
        product = reader.words(item, "product", path)
        year = int(reader.number(item, "season", path))
        carried, made = reader.number(item, "carried_over", path), reader.number(item, "put_up", path)
        gone, used = (
            reader.number(item, "given_or_lost", path, Fraction(0)),
            reader.number(item, "used", path),
        )
        left = carried + made - gone - used
        if left < 0:
            reader.wrong(path, f"{product}, {year}: more left the shelf than was on it ({-left} too many)")
        out.append(BookYear(product, year, carried, made, gone, Fraction(0), used, left))
    return tuple(out)


def _this_season(reader: _Reader, data: Mapping[str, object]) -> tuple[ThisSeason, ...]:
    keys = sorted(k for k in data if k.startswith("season_") and k[7:].isdigit())
    if not keys:
        return ()
    return tuple(_one_product(reader, path, item) for path, item in reader.items(data, keys[-1]))


def _one_product(reader: _Reader, path: Path, item: Mapping[str, object]) -> ThisSeason:
    carried = item.get("carried_over")
    if isinstance(carried, Mapping):
        over = sum(reader.sizes(item, "carried_over", path).values(), Fraction(0))
    else:
        over = reader.number(item, "carried_over", path, Fraction(0))
    made = []
    value = item.get("put_up")
    for index, one in enumerate(value if isinstance(value, list) else []):
        here = (*path, "put_up", index)
        day = reader.day(one, "day", here)
        if day is not None:
            made.append((day, reader.number(one, "count", here)))
    written = "a_week_now" in item
    return ThisSeason(
        reader.words(item, "product", path),
        reader.words(item, "size", path),
        over,
        tuple(made),
        reader.number(item, "given", path, Fraction(0)),
        reader.number(item, "lost", path, Fraction(0)),
        reader.number(item, "used", path, Fraction(0)),
        reader.number(item, "a_week_now", path) if written else None,
        reader.words(item, "why_none", path, ""),
    )


def _servings(reader: _Reader, data: Mapping[str, object]) -> dict[str, tuple[Fraction, Fraction, Fraction]]:
    return {
        reader.words(item, "product", path): (
            reader.number(item, "a_week", path),
            reader.number(item, "weeks", path),
            reader.number(item, "cups", path),
        )
        for path, item in reader.items(data, "servings")
    }


def _load_record(reader: _Reader, path: Path, item: Mapping[str, object]) -> LoadRecord:
    return LoadRecord(
        reader.words(item, "day", path),
        reader.words(item, "product", path),
        reader.number(item, "jars_in", path),
        int(reader.number(item, "loads", path)),
        reader.words(item, "source", path, ""),
        reader.words(item, "note", path, ""),
    )


def _expected(reader: _Reader, data: Mapping[str, object]) -> tuple[tuple[str, str, date], ...]:
    out = []
    for path, item in reader.items(data, "expected"):
        day = reader.day(item, "day", path)
        if day is not None:
            out.append((reader.words(item, "product", path), reader.words(item, "amount", path), day))
    return tuple(out)


def unknown_products(facts: SeasonFacts, known: Callable[[str], bool]) -> tuple[str, ...]:
    """Products that the season's file names and the larder does not keep, in order of first mention."""
    named = [p for h in facts.harvests for p in h.products] + [y.product for y in facts.years]
    return tuple(dict.fromkeys(p for p in named if not known(p)))
