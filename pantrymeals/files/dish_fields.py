"""The fields of one dish or batch day, made into records."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, get_args

from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, Lacking, parts_of, read_option, read_options
from pantrymeals.files.by_thing import meat_named, options_by_thing
from pantrymeals.files.gathering import Gathering, Wrong, fold
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Node, Pairs, Text
from pantrymeals.records import ROLES, Ahead, BatchDay, Dish, Instead, Leaving, Measures, Option, Role, Use

DISH = (
    "name", "role", "covers", "serves", "uses", "minutes", "hands_on_minutes", "ahead", "season", "tags",
    "contents", "goes_with", "not_with", "days_between", "leaves", "keeps", "needs_left", "instead", "only_for",
    "weekdays", "not_for", "liking", "whole_batches", "method", "note", "batch",
)  # fmt: skip
BATCH = ("name", "batch", "uses", "makes", "minutes", "season", "note")
USE = ("use", "or", "stand_in", "note")

Book = Literal["household", "starter"]
OnlyFor = Literal["", "feast", "crew"]
ONLY_FOR: tuple[OnlyFor, ...] = get_args(OnlyFor)
NotFor = Literal["tins", "feast"]
NOT_FOR: tuple[NotFor, ...] = get_args(NotFor)
_USUAL_MINUTES, _USUAL_HANDS_ON, _USUAL_BATCH_MINUTES = 30, 15, 60
_LONGEST_MINUTES = 10_000
MOST_KEPT_DAYS = 4
"""What is cooked keeps three to four days in the fridge (USDA FSIS; from memory)."""


def is_batch(node: Node) -> bool:
    """Whether a recipe says 'batch: yes'."""
    said = node.pairs.get("batch") if isinstance(node, Pairs) else None
    return isinstance(said, Text) and fold(said.text) in ("yes", "y", "true")


class UseReader:
    """Reads what a dish takes, against the products of one larder.

    strict: whether a product that is not kept is a mistake; otherwise ``lacking`` gathers
    the products of each use for which nothing kept is left.
    """

    def __init__(
        self, known: KnownProducts, strict: bool, gathering: Gathering, measures: Measures = "us", dish: str = ""
    ) -> None:
        self._known, self._strict, self._gathering = known, strict, gathering
        self._measures: Measures = measures
        self._dish = dish
        self._by_thing = not strict and any(p.thing for p in known.by_name.values())
        self.lacking: dict[str, None] = {}

    def example(self) -> str:
        """An amount of one of the products."""
        return self._known.example()

    def uses(self, fields: Fields, key: str) -> tuple[Use, ...]:
        """The uses a field lists; those with nothing left are absent (and ``lacking`` says so)."""
        found = (self._use(node) for node in fields.many(key))
        return tuple(use for use in found if use is not None)

    def makes(self, fields: Fields) -> tuple[Option, ...]:
        """What a batch day makes."""
        out = []
        for text in fields.texts("makes"):
            try:
                out.append(read_option(text.text, self._known))
            except Wrong as wrong:
                lacking = self._say(text, (wrong,))
                self.lacking.update(dict.fromkeys(lacking))
        return tuple(out)

    def _use(self, node: Node) -> Use | None:
        if isinstance(node, Text):
            options, lacking = self._options(node)
            return self._joined(node, options, lacking)
        fields = Fields(node, USE, "a use", self._gathering)
        if not isinstance(node, Pairs) or not fields.need("use"):
            return None
        texts = [*fields.texts("use"), *fields.texts("or")]
        liked, lacking = self._all_options(texts)
        stand_ins, lacking_too = self._all_options(fields.texts("stand_in"))
        note = fields.text("note")
        noted = tuple(Option(o.product, o.amount, o.as_written, stand_in=True, note=note) for o in stand_ins)
        if note and not noted:
            liked = tuple(Option(o.product, o.amount, o.as_written, note=note) for o in liked)
        return self._joined(node, liked + noted, lacking + lacking_too)

    def _joined(self, node: Node, options: tuple[Option, ...], lacking: list[str]) -> Use | None:
        if options:
            return Use(options, node.place)
        self.lacking.update(dict.fromkeys(lacking))
        return None

    def _all_options(self, texts: tuple[Text, ...] | list[Text]) -> tuple[tuple[Option, ...], list[str]]:
        options: tuple[Option, ...] = ()
        lacking: list[str] = []
        for text in texts:
            more, missing = self._options(text)
            options += more
            lacking += missing
        return options, lacking

    def _options(self, text: Text) -> tuple[tuple[Option, ...], list[str]]:
        if self._by_thing:
            return self._options_by_thing(text)
        options, wrongs = read_options(text.text, self._known)
        return options, self._say(text, wrongs)

    def _options_by_thing(self, text: Text) -> tuple[tuple[Option, ...], list[str]]:
        """Each alternative by what it is; by a product's own name where the catalogue knows nothing of it."""
        found: dict[tuple[str, Fraction], Option] = {}
        wrongs: list[Wrong] = []
        for part in parts_of(text.text):
            try:
                options = options_by_thing(part, self._known, self._dish, self._measures)
            except Wrong:
                options, wrong = read_options(part, self._known)
                wrongs += wrong
            for option in options:
                found.setdefault((option.product, option.amount), option)
        kept = self._known.by_name
        liked = sorted(found.values(), key=lambda o: o.stand_in)
        if meat := meat_named(self._dish, parts_of(text.text)):
            liked = [o for o in liked if fold(kept[o.product].family).startswith(meat)]
            wrongs += [] if liked else [Lacking(meat, f"no {meat} is kept here", known=True)]
        return tuple(liked), self._say(text, tuple(wrongs)) if not liked else []

    def _say(self, text: Text, wrongs: tuple[Wrong, ...]) -> list[str]:
        """Write wrongs down; the products merely not kept here are handed back instead, where not strict."""
        lacking = []
        for wrong in wrongs:
            right = wrong.right
            if isinstance(wrong, Lacking):
                if not self._strict:
                    lacking.append(wrong.product)
                    continue
                if not wrong.known and self._known.excuses(wrong.product):
                    continue
                right = right or self._known.right_name(wrong.product, self._gathering)
            self._gathering.say(text.place, wrong.wrong, right)
        return lacking


def dish_of(fields: Fields, uses: UseReader, book: Book) -> Dish:
    """The dish its fields describe; what is missing or wrong is written down."""
    fields.need("role", "serves")
    if not fields.has("uses") and not fields.has("needs_left"):
        fields.say("uses", "this dish uses nothing", f"list what it takes, such as '- {uses.example()}'")
    any_role: Role = "main"
    any_day: OnlyFor = ""
    minutes = fields.read("minutes", values.whole_number(0, _LONGEST_MINUTES), _USUAL_MINUTES)
    usual = min(_USUAL_HANDS_ON, minutes)
    hands_on = fields.read("hands_on_minutes", values.whole_number(0, _LONGEST_MINUTES), usual)
    if hands_on > minutes:
        fields.say(
            "hands_on_minutes", f"{hands_on} minutes of work do not fit in {minutes}", "minutes is the whole time"
        )
    return Dish(
        name=fields.text("name"),
        role=fields.read("role", values.one_of(ROLES), any_role),
        serves=fields.read("serves", values.more_than_zero, Fraction(1)),
        uses=uses.uses(fields, "uses"),
        covers=frozenset(fields.read_many("covers", values.one_of(ROLES))),
        minutes=minutes,
        hands_on_minutes=hands_on,
        ahead=_ahead(fields),
        season=_season(fields),
        tags=fields.marks("tags"),
        contents=fields.marks("contents"),
        goes_with=frozenset(t.text for t in fields.texts("goes_with")),
        not_with=frozenset(t.text for t in fields.texts("not_with")),
        days_between=fields.read("days_between", values.whole_number(1, 366), None),
        leaves=_leaves(fields),
        needs_left=fields.text("needs_left") or None,
        instead=_instead(fields, uses),
        only_for=fields.read("only_for", values.one_of(ONLY_FOR), any_day),
        weekdays=frozenset(d for days in fields.read_many("weekdays", values.weekdays) for d in days),
        not_for=frozenset(fields.read_many("not_for", values.one_of(NOT_FOR))),
        liking=fields.read("liking", values.whole_number(-2, 2), 0),
        whole_batches=fields.read("whole_batches", values.yes_or_no, False),
        method=_method(fields),
        note=fields.text("note"),
        book=book,
        place=fields.place,
    )


def batch_day_of(fields: Fields, uses: UseReader, book: Book) -> BatchDay:
    """The batch day its fields describe; what is missing or wrong is written down."""
    fields.need("uses", "makes")
    return BatchDay(
        name=fields.text("name"),
        uses=uses.uses(fields, "uses"),
        makes=uses.makes(fields),
        minutes=fields.read("minutes", values.whole_number(0, _LONGEST_MINUTES), _USUAL_BATCH_MINUTES),
        season=_season(fields),
        note=fields.text("note"),
        book=book,
        place=fields.place,
    )


def _season(fields: Fields) -> frozenset[int]:
    return frozenset(m for months in fields.read_many("season", values.months) for m in months)


def _method(fields: Fields) -> tuple[str, ...]:
    """The steps as they are listed, or the lines of a block of text; a semicolon divides nothing."""
    node = fields.node("method")
    if isinstance(node, Text):
        return tuple(" ".join(line.split()) for line in node.text.splitlines() if line.strip())
    return tuple(step.text for step in fields.texts("method"))


def _ahead(fields: Fields) -> tuple[Ahead, ...]:
    out = []
    for node in fields.many("ahead"):
        step = Fields(node, ("days_before", "what"), "a step ahead", fields.gathering)
        if step.need("days_before", "what"):
            days = step.read("days_before", values.whole_number(0, 60), 1)
            out.append(Ahead(days, step.text("what")))
    return tuple(out)


def _leaves(fields: Fields) -> Leaving | None:
    node = fields.node("leaves")
    if node is None:
        keeps = fields.read("keeps", values.whole_number(1, MOST_KEPT_DAYS), None)
        return Leaving(fields.text("name"), Fraction(0), keeps, over=True) if keeps else None
    if fields.has("keeps"):
        fields.say("keeps", "a dish that leaves something has its days there", "take one of the two out")
    left = Fields(node, ("name", "portions", "days"), "what is left", fields.gathering)
    if not left.need("name", "portions", "days"):
        return None
    portions = left.read("portions", values.more_than_zero, Fraction(1))
    return Leaving(left.text("name"), portions, left.read("days", values.whole_number(1, 60), 1))


def _instead(fields: Fields, uses: UseReader) -> tuple[Instead, ...]:
    """The noted alternatives; one whose products a starter dish finds lacking is left out alone."""
    out = []
    for node in fields.many("instead"):
        noted = Fields(node, ("for", "what", "uses"), "an alternative", fields.gathering)
        if not noted.need("for", "what"):
            continue
        lacking = dict(uses.lacking)
        taken = uses.uses(noted, "uses")
        if uses.lacking == lacking:
            out.append(Instead(noted.text("for"), noted.text("what"), taken))
        uses.lacking = lacking
    return tuple(out)
