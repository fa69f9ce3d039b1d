"""What the readers of season.yaml share: its lists and their fields, products, crops and jar sizes by their names."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.season_values import from_0_to_1
from pantrymeals.files.stock import Places
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Items, Node, Pairs
from pantrymeals.records import Product, StorePlace
from pantrymeals.season_facts import YearDay
from pantrymeals.units import JAR_SIZES, KILOS_A_POUND, jar_among

LISTS = {
    "jars": ("jars of a size", ("size", "empties", "out", "full", "owned", "price")),
    "canners": ("a canner", ("name", "kind", "holds", "hours_first_load", "hours_next_load")),
    "shelves": ("a shelf", ("place", "metres", "rows_deep", "tiers")),
    "freezers": ("a freezer", ("place", "name", "litres", "full_now")),
    "kitchen_hours": ("kitchen hours", ("from", "to", "hours_a_week")),
    "batch_hours": ("hours for a batch day", ("weekday", "hours", "from", "to")),
    "harvest": ("a harvest", ("crop", "from", "to", "products", "from_barn", "wild", "bought", "each_gives")),
    "garden": (
        "a crop of the garden",
        ("crop", "rows", "feet_a_row", "metres_a_row", "plants", "place", "hoped_lb", "hoped_kg"),
    ),
    "trees": ("trees of a crop", ("crop", "kind", "count", "hoped_lb", "hoped_kg")),
    "failure_odds": ("the odds of a crop", ("crop", "one_year_in", "still_brings", "why")),
    "history": ("a season of a product", ("product", "season", "carried_over", "put_up", "given_or_lost", "used")),
    "servings": ("servings of a product", ("product", "a_week", "weeks", "cups")),
    "expected": ("what is expected", ("product", "amount", "day")),
    "takes": ("what goes into jars beside the crop", ("of", "each", "products")),
    "seed": ("seed to buy", ("crop", "sows_feet", "sows_metres", "price", "by")),
    "needs": ("what you chose to count with", ("product", "by", "a_year")),
    "season_notes": ("a note of the season", ("day", "what")),
    "count_differences": ("a difference at the count", ("product", "size", "book", "shelf")),
    "load_records": (
        "a load", ("day", "to", "product", "size", "jars_in", "loads", "sealed", "failed", "source"),
    ),
}  # fmt: skip
"""What an item of each list is called, and its fields; each may have a note besides."""
A_LIST = "write one item to a line, each after a dash"
ZERO, ONE = Fraction(0), Fraction(1)


class SeasonFields:
    """The file as it was read, and the names that its lists use."""

    def __init__(self, top: Fields, known: KnownProducts, places: tuple[StorePlace, ...] | None) -> None:
        self.top = top
        self.known = known
        self.places = Places(places)
        self.gathering = top.gathering
        self.sizes = dict.fromkeys([*JAR_SIZES, *(s.name for p in known.by_name.values() for s in p.sizes)])
        self.crops: dict[str, str] = {}
        self.first_of: dict[tuple[str, object], Place] = {}

    def items(self, name: str) -> Iterator[Fields]:
        what, allowed = LISTS[name]
        return self.fields(name, what, (*allowed, "note"))

    def fields(self, name: str, what: str, allowed: tuple[str, ...]) -> Iterator[Fields]:
        node = self.top.node(name)
        if node is not None and not isinstance(node, Items):
            self.top.say(name, f"'{name}' should be a list", A_LIST)
            return
        for item in self.top.many(name):
            fields = Fields(item, allowed, what, self.gathering)
            if isinstance(item, Pairs):
                yield fields

    def part(self, name: str, allowed: tuple[str, ...]) -> Fields:
        return Fields(self.top.node(name), allowed, f"'{name}'", self.gathering)

    def product(self, fields: Fields) -> Product | None:
        """The product an item names; None where there is none, or it is not known (then it is written down)."""
        name = fields.text("product")
        return self.named(name, lambda wrong, right: fields.say("product", wrong, right)) if name else None

    def named(self, name: str, say: Callable[[str, str], None]) -> Product | None:
        return self.known.find_or_say(name, say, self.gathering)

    def products(self, fields: Fields, key: str) -> Iterator[str]:
        """The products a field lists, by their own names."""
        node = fields.node(key)
        if node is not None and not isinstance(node, Items):
            fields.say(key, f"'{key}' should be a list", "such as [Green beans, Dilly beans]")
            return
        for text in fields.texts(key):
            place = text.place
            product = self.named(text.text, lambda wrong, right, place=place: self.gathering.say(place, wrong, right))  # type: ignore[misc]
            if product is not None:
                yield product.name

    def jar_size(self, fields: Fields) -> str:
        size = fields.read("size", self.known_size, "") if fields.need("size") else ""
        self.once("jars", size, "size", fields)
        return size

    def once(self, what: str, of: object, key: str, fields: Fields) -> None:
        """Write down a second item of one list about the same thing: only one of the two could count."""
        first = self.first_of.setdefault((what, of), fields.place)
        if of and first is not fields.place:
            wrong = f"{shown(fields.text(key))} stands in '{what}' twice (first on line {first.line})"
            fields.say(key, wrong, "keep one")

    def known_size(self, text: str) -> str:
        size = jar_among(text, self.sizes)
        if size is None:
            near = self.gathering.did_you_mean(text, self.sizes, f"the sizes are {', '.join(self.sizes)}")
            raise Wrong(f"{shown(text)} is no size of a jar", near)
        return size

    def by_size(self, fields: Fields, key: str, example: str) -> dict[str, Fraction]:
        """A mapping of sizes to numbers above nothing."""
        out = {}
        for name, node in fields.pairs(key, example):
            size = self.gathering.attempt(name.place, self.known_size, name.text, "")
            if size:
                out[size] = number_in(node, self.gathering)
        return out

    def crop(self, fields: Fields, known_only: bool = False) -> str:
        """A crop's name as it was first spelt. known_only: it should be harvested, or grow in garden or orchard."""
        if not fields.need("crop"):
            return ""
        name = fields.text("crop")
        if known_only and fold(name) not in self.crops and self.crops:
            right = self.gathering.did_you_mean(name, self.crops.values(), "correct the name, or add it to harvest")
            fields.say("crop", f"{shown(name)} is no crop of harvest, garden or trees", right)
        return self.crops.setdefault(fold(name), name)


def hoped_lb_of(fields: Fields) -> Fraction | None:
    """What is hoped for in a good year, in pounds; None where nothing is written."""
    if not fields.has("hoped_lb") and not fields.has("hoped_kg"):
        return None
    return in_either(fields, "hoped_lb", "hoped_kg", KILOS_A_POUND)


def in_either(fields: Fields, key: str, metric: str, factor: Fraction) -> Fraction:
    """A figure in feet or pounds, or written in metres or kilos; factor: metres in a foot."""
    if fields.has(key) and fields.has(metric):
        fields.say(metric, f"'{metric}' and '{key}' stand here both", "write one of them")
    return number_of(fields, metric) / factor if fields.has(metric) else number_of(fields, key)


def window_of(fields: Fields) -> tuple[YearDay, YearDay]:
    fields.need("from", "to")
    return fields.read("from", values.yearly_day, (1, 1)), fields.read("to", values.yearly_day, (12, 31))


def number_of(fields: Fields, key: str, otherwise: Fraction = ZERO) -> Fraction:
    return fields.read(key, values.zero_or_more, otherwise)


def whole_of(fields: Fields, key: str) -> int:
    return fields.read(key, values.whole_number(0, 1_000_000), 0)


def share_of(fields: Fields, key: str, otherwise: Fraction) -> Fraction:
    return fields.read(key, from_0_to_1, otherwise)


def number_in(node: Node, gathering: Gathering, read: Callable[[str], Fraction] = values.more_than_zero) -> Fraction:
    if isinstance(node, Pairs | Items):
        gathering.say(node.place, "a number should stand here", "write one such as 12 or 0.5")
        return ZERO
    return gathering.attempt(node.place, read, node.text, ONE)
