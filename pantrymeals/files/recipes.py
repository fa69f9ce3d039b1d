"""Reads a folder of recipes: one YAML file a dish or batch day, written in stored products."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import resources
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.errors import PantryError, Place
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.dish_fields import BATCH, DISH, Book, UseReader, batch_day_of, dish_of, is_batch
from pantrymeals.files.each_of import called_here, each_of, lacking_of, words_called
from pantrymeals.files.gathering import Gathering, fold, shown
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Node, read_yaml
from pantrymeals.records import BatchDay, Dish, Measures

STARTER = "starter recipes"
"""What messages call the starter book's folder."""
PLAIN = "plain"
"""The starter book's folder of dishes written for things of the catalogue, for larders that name theirs."""
SPOT_FIELDS = ("goes_with", "not_with", "needs_left")


class RecipeBook(Struct, frozen=True):
    """The dishes and batch days of one folder, by name.

    skipped: starter dishes left out, with the products this larder does not keep;
        skipped_tags, skipped_leavings: what those dishes would carry and leave.
    spots: (dish, field, text) -> where it stands, for checks against other dishes.
    """

    dishes: Mapping[str, Dish] = field(default_factory=dict)
    batch_days: Mapping[str, BatchDay] = field(default_factory=dict)
    skipped: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    skipped_tags: frozenset[str] = frozenset()
    skipped_leavings: frozenset[str] = frozenset()
    spots: Mapping[tuple[str, str, str], Place] = field(default_factory=dict)


def starter_folder() -> Path:
    """The starter book: packaged beside the modules when installed, ``recipes/`` in a checkout.

    Raises PantryError when neither is there.
    """
    packaged = Path(str(resources.files("pantrymeals"))) / "starter_recipes"
    if packaged.is_dir():
        return packaged
    checkout = Path(__file__).resolve().parents[2]
    if (checkout / "pyproject.toml").is_file() and (checkout / "recipes").is_dir():
        return checkout / "recipes"
    raise PantryError("the starter recipes are missing from this installation; install pantrymeals again")


def gather_dishes(
    folder: Path, known: KnownProducts, book: Book, strict: bool, gathering: Gathering, measures: Measures = "us"
) -> RecipeBook:
    """The dishes and batch days of a folder, for a larder that keeps these products; mistakes are written down.

    strict: whether an unknown product is a mistake; otherwise that option is left out,
    and a dish with no option left for one of its uses is skipped and listed.
    """
    prefix = "recipes" if book == "household" else STARTER
    try:
        paths = sorted(p for p in folder.iterdir() if _is_recipe(p))
        if book == "starter" and any(product.thing for product in known.by_name.values()):
            paths += sorted(p for p in (folder / PLAIN).glob("*") if _is_recipe(p))
    except OSError as error:
        gathering.say(Place(prefix), f"this cannot be read as a folder ({error.strerror})", "keep recipes in it")
        return RecipeBook()
    reading = _RecipeReading(known, book, strict, gathering, measures)
    for path in paths:
        reading.read(path, f"{prefix}/{path.name}")
    return reading.result()


def half_a_year_on(book: RecipeBook) -> RecipeBook:
    """A book written for the north as the south cooks from it: soups in July, cold suppers in January."""

    def turned(months: frozenset[int]) -> frozenset[int]:
        return frozenset((month + 5) % 12 + 1 for month in months)

    dishes = {name: replace(dish, season=turned(dish.season)) for name, dish in book.dishes.items()}
    works = {name: replace(work, season=turned(work.season)) for name, work in book.batch_days.items()}
    return replace(book, dishes=dishes, batch_days=works)


def _is_recipe(path: Path) -> bool:
    return path.suffix.lower() in (".yaml", ".yml") and not path.name.startswith(".")


class _RecipeReading:
    """Reads file after file of one folder, and keeps what was found."""

    def __init__(
        self, known: KnownProducts, book: Book, strict: bool, gathering: Gathering, measures: Measures
    ) -> None:
        self.measures: Measures = measures
        self.known, self.which, self.strict, self.gathering = known, book, strict, gathering
        self.dishes: dict[str, Dish] = {}
        self.batch_days: dict[str, BatchDay] = {}
        self.skipped: dict[str, tuple[str, ...]] = {}
        self.skipped_dishes: list[Dish] = []
        self.spots: dict[tuple[str, str, str], Place] = {}
        self.first_of: dict[str, Place] = {}

    def read(self, path: Path, name: str) -> None:
        """One file."""
        before = len(self.gathering)
        node = read_yaml(path, name, self.gathering)
        if node is None:
            if len(self.gathering) == before:
                self.gathering.say(Place(name), "this file is empty", "write a dish, or delete the file")
            return
        made = tuple(each_of(node, self.known))
        if not made:
            name, group = lacking_of(node)
            self.skipped[name] = (group,)
        for one in made:
            self._read_one(self._as_called_here(*words_called(one)))

    def _as_called_here(self, node: Node, words: tuple[str, ...]) -> Node:
        """A starter dish by this household's words for what it takes."""
        if not words or not any(product.thing for product in self.known.by_name.values()):
            return node
        unheard = Gathering()
        fields = Fields(node, DISH, "a dish", unheard)
        read = UseReader(self.known, self.strict, unheard, self.measures, fields.text("name")).uses(fields, "uses")
        written = fields.many("uses")
        return (
            called_here(node, words, zip(written, read, strict=True), self.known) if len(read) == len(written) else node
        )

    def _read_one(self, node: Node) -> None:
        batch = is_batch(node)
        fields = Fields(node, BATCH if batch else DISH, "a batch day" if batch else "a dish", self.gathering)
        fields.need("name")
        self._say_if_named_before(fields)
        uses = UseReader(self.known, self.strict, self.gathering, self.measures, fields.text("name"))
        if batch:
            self._keep_batch_day(batch_day_of(fields, uses, self.which), uses)
        else:
            self._keep_dish(fields, dish_of(fields, uses, self.which), uses)

    def result(self) -> RecipeBook:
        """Everything read so far."""
        tags = frozenset(t for d in self.skipped_dishes for t in d.tags)
        leavings = frozenset(d.leaves.name for d in self.skipped_dishes if d.leaves)
        return RecipeBook(self.dishes, self.batch_days, self.skipped, tags, leavings, self.spots)

    def _say_if_named_before(self, fields: Fields) -> None:
        name = fields.text("name")
        place = fields.place_of("name")
        first = self.first_of.setdefault(fold(name), place)
        if name and first is not place:
            fields.say("name", f"{shown(name)} is already a dish at {first}", "give one of them another name")

    def _keep_dish(self, fields: Fields, dish: Dish, uses: UseReader) -> None:
        if uses.lacking:
            self.skipped[dish.name] = tuple(uses.lacking)
            self.skipped_dishes.append(dish)
            return
        self.dishes[dish.name] = dish
        for key in SPOT_FIELDS:
            for text in fields.texts(key):
                self.spots[dish.name, key, fold(text.text)] = text.place
        for node, instead in zip(fields.many("instead"), dish.instead, strict=False):
            self.spots[dish.name, "for", fold(instead.whom)] = node.place

    def _keep_batch_day(self, batch: BatchDay, uses: UseReader) -> None:
        if uses.lacking:
            self.skipped[batch.name] = tuple(uses.lacking)
        else:
            self.batch_days[batch.name] = batch
