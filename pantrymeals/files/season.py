"""Reads season.yaml: harvests, garden, jars and lids, canners, hours, odds, and the seasons written down."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.season_values import between_0_and_1, from_0_to_1, minutes_of, more_than_1, one_of_its_sizes
from pantrymeals.files.stock import Places
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Items, Node, Pairs, read_yaml
from pantrymeals.records import FreeHours, Product, StorePlace
from pantrymeals.season_facts import (
    USUAL_MOST_LOADS,
    USUAL_SERVICE,
    Canner,
    ExpectedCrop,
    Ground,
    Harvest,
    Hours,
    Odds,
    SeasonFacts,
    ThisSeason,
    WrittenYear,
    YearDay,
)
from pantrymeals.units import JAR_SIZES, KILOS_A_POUND, METRES_A_FOOT, jar_among

FILE = "season.yaml"
TOP = (
    "jars", "in_jars_besides", "lids", "dial_gauge_checked", "canners", "most_loads_a_day", "shelves",
    "jar_width_mm", "freezers", "freezing", "kitchen_hours", "batch_hours", "harvest", "garden",
    "garden_feet_free", "trees", "service", "failure_odds", "history", "servings", "expected",
    "season_notes", "count_differences", "load_records",
)  # fmt: skip
"""And season_2025 and the like. The last three, and some of the fields below, are for the household's own eyes."""
LISTS = {
    "jars": ("jars of a size", ("size", "empties", "out", "full", "owned")),
    "canners": ("a canner", ("name", "kind", "holds", "hours_first_load", "hours_next_load")),
    "shelves": ("a shelf", ("place", "metres", "rows_deep", "tiers")),
    "freezers": ("a freezer", ("place", "name", "litres", "full_now")),
    "kitchen_hours": ("kitchen hours", ("from", "to", "hours_a_week")),
    "batch_hours": ("hours for a batch day", ("weekday", "hours", "from", "to")),
    "harvest": ("a harvest", ("crop", "from", "to", "products", "from_barn", "wild", "bought")),
    "garden": (
        "a crop of the garden",
        ("crop", "rows", "feet_a_row", "metres_a_row", "plants", "place", "hoped_lb", "hoped_kg"),
    ),
    "trees": ("trees of a crop", ("crop", "kind", "count", "hoped_lb", "hoped_kg")),
    "failure_odds": ("the odds of a crop", ("crop", "one_year_in", "still_brings", "why")),
    "history": ("a season of a product", ("product", "season", "carried_over", "put_up", "given_or_lost", "used")),
    "servings": ("servings of a product", ("product", "a_week", "weeks", "cups")),
    "expected": ("what is expected", ("product", "amount", "day")),
    "season_notes": ("a note of the season", ("day", "what")),
    "count_differences": ("a difference at the count", ("product", "size", "book", "shelf")),
    "load_records": (
        "a load", ("day", "to", "product", "size", "jars_in", "loads", "sealed", "failed", "source"),
    ),
}  # fmt: skip
"""What an item of each list is called, and its fields; each may have a note besides."""
_RUNNING = (
    "product", "size", "carried_over", "put_up", "given", "lost", "used", "on_hand", "a_week_now", "why_none", "note",
)  # fmt: skip
_LIDS = ("regular", "wide", "wide_share", "used_last_season", "failed_seals_last_season", "note")
_A_SEASON = re.compile(r"season_\d{4}")
_A_LIST = "write one item to a line, each after a dash"
_ZERO, _ONE = Fraction(0), Fraction(1)


def read_season(
    path: Path, known: KnownProducts, places: tuple[StorePlace, ...] | None, gathering: Gathering
) -> tuple[SeasonFacts, tuple[FreeHours, ...]]:
    """What the file says of the seasons, and the hours free for batch days; every mistake is written down.

    places: the household's; None where they are not known, and no place is called unknown.
    """
    node = read_yaml(path, FILE, gathering)
    seasons = sorted(key for key in (node.pairs if isinstance(node, Pairs) else ()) if _A_SEASON.fullmatch(key))
    return _Season(Fields(node, (*TOP, *seasons), "the season's file", gathering), known, places).facts(seasons)


class _Season:
    """The file's lists, each read by a function of its name."""

    def __init__(self, top: Fields, known: KnownProducts, places: tuple[StorePlace, ...] | None) -> None:
        self.top = top
        self.known = known
        self.places = Places(places)
        self.gathering = top.gathering
        self.sizes = dict.fromkeys([*JAR_SIZES, *(s.name for p in known.by_name.values() for s in p.sizes)])
        self.crops: dict[str, str] = {}
        self.first_of: dict[tuple[str, object], Place] = {}

    def facts(self, seasons: list[str]) -> tuple[SeasonFacts, tuple[FreeHours, ...]]:
        """Everything; harvests first, since they give the crops their spelling."""
        harvests = tuple(self._harvest(f) for f in self._items("harvest"))
        grounds = tuple(self._ground(f) for f in self._items("garden"))
        tree_lb = self._trees()
        lids = self._part("lids", _LIDS)
        jars = [(self._jar_size(f), f) for f in self._items("jars")]
        freezing = self._part("freezing", ("batch", "hours", "note"))
        running = [tuple(r for f in self._fields(k, "a product's season", _RUNNING) if (r := self._running(f)))
                   for k in seasons]  # fmt: skip
        for name in ("season_notes", "count_differences", "load_records"):
            for fields in self._items(name):
                self._product(fields)
        free = tuple(hours for f in self._items("batch_hours") for hours in _batch_hours(f))
        facts = SeasonFacts(
            empties={size: _whole(f, "empties") for size, f in jars if f.has("empties")},
            out={size: _whole(f, "out") for size, f in jars if f.has("out")},
            jars_besides=tuple(self._products(self.top, "in_jars_besides")),
            flats={kind: _whole(lids, kind) for kind in ("regular", "wide") if self.top.has("lids")},
            wide_share=_share(lids, "wide_share", _ZERO),
            gauge_checked=self.top.text("dial_gauge_checked"),
            canners=tuple(self._canner(f) for f in self._items("canners")),
            most_loads_a_day=self.top.read("most_loads_a_day", values.whole_number(1, 99), USUAL_MOST_LOADS),
            shelf_mm=sum((self._shelf(f) for f in self._items("shelves")), _ZERO),
            jar_width_mm=self._by_size(self.top, "jar_width_mm", "{qt: 100, pt: 85}"),
            free_litres=self._free_litres(),
            hours=tuple(h for f in self._items("kitchen_hours") if (h := _hours(f))),
            harvests=harvests,
            grounds=grounds,
            ground_free_ft=_number(self.top, "garden_feet_free"),
            tree_lb=tree_lb,
            odds=tuple(o for f in self._items("failure_odds") if (o := self._odds(f))),
            years=tuple(y for f in self._items("history") if (y := self._year(f))),
            this_season=running[-1] if running else (),
            servings=dict(s for f in self._items("servings") if (s := self._servings(f))),
            expected=tuple(e for f in self._items("expected") if (e := self._expected(f))),
            service=float(self.top.read("service", between_0_and_1, Fraction(USUAL_SERVICE).limit_denominator(100))),
            freeze_batch=freezing.read("batch", values.whole_number(1, 999), 6),
            freeze_hours=_number(freezing, "hours", _ONE),
        )
        return facts, free

    def _items(self, name: str) -> Iterator[Fields]:
        what, allowed = LISTS[name]
        return self._fields(name, what, (*allowed, "note"))

    def _fields(self, name: str, what: str, allowed: tuple[str, ...]) -> Iterator[Fields]:
        node = self.top.node(name)
        if node is not None and not isinstance(node, Items):
            self.top.say(name, f"'{name}' should be a list", _A_LIST)
            return
        for item in self.top.many(name):
            fields = Fields(item, allowed, what, self.gathering)
            if isinstance(item, Pairs):
                yield fields

    def _part(self, name: str, allowed: tuple[str, ...]) -> Fields:
        return Fields(self.top.node(name), allowed, f"'{name}'", self.gathering)

    def _product(self, fields: Fields) -> Product | None:
        """The product an item names; None where there is none, or it is not known (then it is written down)."""
        name = fields.text("product")
        return self._named(name, lambda wrong, right: fields.say("product", wrong, right)) if name else None

    def _named(self, name: str, say: Callable[[str, str], None]) -> Product | None:
        return self.known.find_or_say(name, say, self.gathering)

    def _products(self, fields: Fields, key: str) -> Iterator[str]:
        """The products a field lists, by their own names."""
        node = fields.node(key)
        if node is not None and not isinstance(node, Items):
            fields.say(key, f"'{key}' should be a list", "such as [Green beans, Dilly beans]")
            return
        for text in fields.texts(key):
            place = text.place
            product = self._named(text.text, lambda wrong, right, place=place: self.gathering.say(place, wrong, right))  # type: ignore[misc]
            if product is not None:
                yield product.name

    def _jar_size(self, fields: Fields) -> str:
        size = fields.read("size", self._known_size, "") if fields.need("size") else ""
        self._once("jars", size, "size", fields)
        return size

    def _once(self, what: str, of: object, key: str, fields: Fields) -> None:
        """Write down a second item of one list about the same thing: only one of the two could count."""
        first = self.first_of.setdefault((what, of), fields.place)
        if of and first is not fields.place:
            wrong = f"{shown(fields.text(key))} stands in '{what}' twice (first on line {first.line})"
            fields.say(key, wrong, "keep one")

    def _known_size(self, text: str) -> str:
        size = jar_among(text, self.sizes)
        if size is None:
            near = self.gathering.did_you_mean(text, self.sizes, f"the sizes are {', '.join(self.sizes)}")
            raise Wrong(f"{shown(text)} is no size of a jar", near)
        return size

    def _by_size(self, fields: Fields, key: str, example: str) -> dict[str, Fraction]:
        """A mapping of sizes to numbers above nothing."""
        out = {}
        for name, node in fields.pairs(key, example):
            size = self.gathering.attempt(name.place, self._known_size, name.text, "")
            if size:
                out[size] = _node_number(node, self.gathering)
        return out

    def _crop(self, fields: Fields, known_only: bool = False) -> str:
        """A crop's name as it was first spelt. known_only: it should be harvested, or grow in garden or orchard."""
        if not fields.need("crop"):
            return ""
        name = fields.text("crop")
        if known_only and fold(name) not in self.crops and self.crops:
            right = self.gathering.did_you_mean(name, self.crops.values(), "correct the name, or add it to harvest")
            fields.say("crop", f"{shown(name)} is no crop of harvest, garden or trees", right)
        return self.crops.setdefault(fold(name), name)

    def _harvest(self, fields: Fields) -> Harvest:
        crop, (first, last) = self._crop(fields), _window(fields)
        fields.need("products")
        elsewhere = [fields.read(key, values.yes_or_no, False) for key in ("from_barn", "wild", "bought")]
        return Harvest(crop, first, last, tuple(self._products(fields, "products")), not any(elsewhere))

    def _ground(self, fields: Fields) -> Ground:
        return Ground(
            self._crop(fields),
            _number(fields, "rows") * _in_either(fields, "feet_a_row", "metres_a_row", METRES_A_FOOT),
            _whole(fields, "plants"),
            fold(fields.text("place")) == "tunnel",
            _hoped_lb(fields),
        )

    def _trees(self) -> dict[str, Fraction]:
        """Pounds that the household hopes for, by crop."""
        out: dict[str, Fraction] = {}
        for fields in self._items("trees"):
            crop = self._crop(fields)
            _whole(fields, "count")
            hoped = _hoped_lb(fields)
            if hoped is not None:
                out[crop] = out.get(crop, _ZERO) + hoped
        return out

    def _canner(self, fields: Fields) -> Canner:
        fields.need("name", "kind", "holds")
        kind = fields.read("kind", values.one_of(("boiling", "pressure")), "boiling")
        holds = {size: int(n) for size, n in self._by_size(fields, "holds", "{qt: 7, pt: 8}").items()}
        first = _number(fields, "hours_first_load", Fraction(2))
        return Canner(fields.text("name"), kind, holds, first, _number(fields, "hours_next_load", first))

    def _shelf(self, fields: Fields) -> Fraction:
        """Millimetres of jar row."""
        fields.need("metres")
        self.places.code(fields)
        return _number(fields, "metres") * 1000 * _number(fields, "rows_deep", _ONE) * _number(fields, "tiers", _ONE)

    def _free_litres(self) -> Fraction | None:
        found = list(self._items("freezers"))
        for fields in found:
            fields.need("litres")
            self.places.code(fields)
        free = (_number(f, "litres") * (1 - _share(f, "full_now", _ZERO)) for f in found)
        return sum(free, _ZERO) if found else None

    def _odds(self, fields: Fields) -> Odds | None:
        crop = self._crop(fields, known_only=True)
        years = fields.read("one_year_in", more_than_1, None) if fields.need("one_year_in") else None
        still = fields.read("still_brings", values.zero_or_more, None)
        return None if years is None else Odds(crop, years, fields.text("why"), still)

    def _year(self, fields: Fields) -> WrittenYear | None:
        complete = fields.need("product", "season", "carried_over", "put_up", "used")
        product, year = self._product(fields), fields.read("season", values.whole_number(1900, 2200), None)
        carried, made, gone, used = (_number(fields, k) for k in ("carried_over", "put_up", "given_or_lost", "used"))
        if not complete or product is None or year is None:
            return None
        self._once("history", (product.name, year), "product", fields)
        written = WrittenYear(product.name, year, carried, made, gone, used)
        if written.carried_out < 0:
            wrong = f"more left the shelf than was on it ({-written.carried_out} too many)"
            self.gathering.say(fields.place, f"{product.name}, {year}: {wrong}", "look over the four figures")
        return written

    def _running(self, fields: Fields) -> ThisSeason | None:
        """A product in the season that is running."""
        fields.need("product", "size")
        product = self._product(fields)
        size = fields.read("size", one_of_its_sizes(product), "") if product is not None else ""
        made = []
        for node in fields.many("put_up"):
            each = Fields(node, ("day", "count", "note"), "a putting up", self.gathering)
            day = each.read("day", values.day, None) if each.need("day", "count") else None
            if day is not None:
                made.append((day, _number(each, "count")))
        given, lost, used = (_number(fields, k) for k in ("given", "lost", "used"))
        if product is None or not size:
            return None
        return ThisSeason(
            product.name,
            size,
            self._carried_over(fields),
            tuple(made),
            given,
            lost,
            used,
            fields.read("a_week_now", values.zero_or_more, None),
            fields.text("why_none"),
        )

    def _carried_over(self, fields: Fields) -> Fraction:
        """Containers, written at once or by the year in which they were put up."""
        if not isinstance(fields.node("carried_over"), Pairs):
            return _number(fields, "carried_over")
        by_year = (node for _, node in fields.pairs("carried_over", "{2024: 9}"))
        return sum((_node_number(node, self.gathering, values.zero_or_more) for node in by_year), _ZERO)

    def _servings(self, fields: Fields) -> tuple[str, tuple[Fraction, Fraction, Fraction]] | None:
        fields.need("product", "a_week", "weeks", "cups")
        product = self._product(fields)
        figures = _number(fields, "a_week"), _number(fields, "weeks"), _number(fields, "cups")
        if product is None:
            return None
        self._once("servings", product.name, "product", fields)
        return product.name, figures

    def _expected(self, fields: Fields) -> ExpectedCrop | None:
        fields.need("product", "amount", "day")
        product, day = self._product(fields), fields.read("day", values.day, None)
        if product is None:
            return None
        of = product
        amount: Fraction | None = fields.read("amount", lambda text: amount_of(of, text), None)
        return None if amount is None or day is None else ExpectedCrop(product.name, amount, day)


def _batch_hours(fields: Fields) -> Iterator[FreeHours]:
    """Hours free for batch days: 'weekday: Sat, hours: 5', between two yearly days where they are given."""
    if not fields.need("weekday", "hours"):
        return
    minutes = fields.read("hours", minutes_of, 0)
    first = fields.read("from", values.yearly_day, (1, 1))
    last = fields.read("to", values.yearly_day, (12, 31))
    for days in fields.read_many("weekday", values.weekdays):
        for day in days:
            yield FreeHours(day, minutes, first, last, fields.place)


def _hours(fields: Fields) -> Hours | None:
    first, last = _window(fields)
    hours = fields.read("hours_a_week", values.zero_or_more, None) if fields.need("hours_a_week") else None
    return None if hours is None else Hours(first, last, hours)


def _hoped_lb(fields: Fields) -> Fraction | None:
    """What is hoped for in a good year, in pounds; None where nothing is written."""
    if not fields.has("hoped_lb") and not fields.has("hoped_kg"):
        return None
    return _in_either(fields, "hoped_lb", "hoped_kg", KILOS_A_POUND)


def _in_either(fields: Fields, key: str, metric: str, factor: Fraction) -> Fraction:
    """A figure in feet or pounds, or written in metres or kilos; factor: metres in a foot."""
    if fields.has(key) and fields.has(metric):
        fields.say(metric, f"'{metric}' and '{key}' stand here both", "write one of them")
    return _number(fields, metric) / factor if fields.has(metric) else _number(fields, key)


def _window(fields: Fields) -> tuple[YearDay, YearDay]:
    fields.need("from", "to")
    return fields.read("from", values.yearly_day, (1, 1)), fields.read("to", values.yearly_day, (12, 31))


def _number(fields: Fields, key: str, otherwise: Fraction = _ZERO) -> Fraction:
    return fields.read(key, values.zero_or_more, otherwise)


def _whole(fields: Fields, key: str) -> int:
    return fields.read(key, values.whole_number(0, 1_000_000), 0)


def _share(fields: Fields, key: str, otherwise: Fraction) -> Fraction:
    return fields.read(key, from_0_to_1, otherwise)


def _node_number(node: Node, gathering: Gathering, read: Callable[[str], Fraction] = values.more_than_zero) -> Fraction:
    if isinstance(node, Pairs | Items):
        gathering.say(node.place, "a number should stand here", "write one such as 12 or 0.5")
        return _ZERO
    return gathering.attempt(node.place, read, node.text, _ONE)
