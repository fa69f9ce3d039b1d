"""A list understood line by line: each line counts, is left out with its reason, or is a question."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import KnownProducts, size_of
from pantrymeals.files.catalogue import Thing, catalogue, named
from pantrymeals.files.gathering import Wrong, fold
from pantrymeals.files.lists.days import Day, Order, find_day, order_of
from pantrymeals.files.lists.names import kinds_said, meant
from pantrymeals.files.lists.rows import Listed, ListLine
from pantrymeals.files.lists.said import LineSaid, read_amount, read_said
from pantrymeals.files.lists.table import Columns, cells_under, columns_of, is_heading, is_total
from pantrymeals.files.products import KINDS, sizes_and_measure
from pantrymeals.plans.first_count import FirstCount, LeftOut, Question, Understood
from pantrymeals.records import Kind, Measures, Product, Size, StorePlace
from pantrymeals.units import as_words, unit_named
from pantrymeals.words import either

SKIP = "skip"
_PLACE_KINDS: Mapping[str, tuple[Kind, ...]] = {
    "pantry": ("jar", "dry"), "cellar": ("cellar", "jar"), "loft": ("cellar", "dry"), "freezer": ("freezer",),
    "dry": ("dry", "jar"), "fridge": ("fridge",),
}  # fmt: skip
_HEADING_KINDS = {"freezer": "freezer", "pantry": "pantry", "cellar": "cellar", "larder": "pantry", "fridge": "fridge"}
_JARS = frozenset({"qt", "pt", "hp", "half-gal"})
_PACKS = ("pack", "bag", "tub", "block", "box", "carton", "parcel")
_WEIGHTS = frozenset({"lb", "kg", "g", "oz"})


@dataclass(frozen=True, slots=True)
class KnownHere:
    """What the list is read against: places, products there are already, and whose measures."""

    places: tuple[StorePlace, ...]
    known: KnownProducts
    measures: Measures

    def place_names(self) -> dict[str, str]:
        """Codes and names of places, folded, with their codes."""
        return {fold(word): place.code for place in self.places for word in (place.code, place.name)}

    def kinds_at(self, code: str) -> tuple[Kind, ...]:
        """How things are kept at a place; empty where it does not say."""
        kind = next((p.kind for p in self.places if p.code == code), "")
        return _PLACE_KINDS.get(kind, ())


@dataclass
class _Reading:
    """What was found so far; a heading's place holds for the lines under it."""

    kitchen: KnownHere
    order: Order | None
    answers: Mapping[int, Sequence[str]]
    lines: list[Understood] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    place: str = ""
    above: Fraction = Fraction(0)


def understand(
    listed: Listed, kitchen: KnownHere, order: Order | None = None, answers: Mapping[int, Sequence[str]] | None = None
) -> FirstCount:
    """The list line by line. order: whether days or months come first, where it was said; answers: by line number."""
    told, asked = order_of(_days_of(listed))
    reading = _Reading(kitchen, order or told, answers or {})
    columns = columns_of(listed)
    for line in listed.lines:
        if columns is None or line.number > columns.row:
            _read(reading, line, columns)
        else:
            why = "heads of columns" if line.number == columns.row else "above the heads"
            reading.left_out.append(LeftOut(line.number, line.written, why))
    return FirstCount(
        tuple(reading.lines), tuple(reading.questions), tuple(reading.left_out), order or told or "",
        asked and order is None, listed.encoding,
    )  # fmt: skip


def _days_of(listed: Listed) -> list[str]:
    return [cell for line in listed.lines for cell in line.cells]


def _read(reading: _Reading, line: ListLine, columns: Columns | None) -> None:
    answers = [a.strip() for a in reading.answers.get(line.number, ())]
    if any(fold(a) == SKIP for a in answers):
        reading.left_out.append(LeftOut(line.number, line.written, "left out, as you said"))
        return
    said, more = _said(reading, line, columns)
    if is_total(line, said.name, said.count, reading.above):
        reading.left_out.append(LeftOut(line.number, line.written, "a total"))
        return
    if said.count is None and said.day is None and is_heading(line):
        _heading(reading, line, said)
        return
    _line(reading, line, said, more, answers)


def _said(reading: _Reading, line: ListLine, columns: Columns | None) -> tuple[LineSaid, dict[str, str]]:
    places = reading.kitchen.place_names()
    if columns is None:
        return read_said(line.written, reading.order, places), {}
    cells = cells_under(line, columns)
    if "count" not in columns.of and "size" not in columns.of:
        return read_said(cells["product"], reading.order, places), cells
    count, size, box, guesses = read_amount(cells.get("count", ""), cells.get("size", ""))
    day = find_day(cells.get("put_up", ""), reading.order)
    if cells.get("put_up") and day is None:
        cells["note"] = "; ".join(filter(None, (cells["note"], f"put up: {cells['put_up']}")))
        guesses = (*guesses, f"'{cells['put_up']}' is no day; kept as a note")
    named_size = read_said(cells["product"], reading.order, places) if not size and not box else None
    if named_size is not None and named_size.count is not None and (named_size.size or named_size.box):
        count = count if count is not None else named_size.count
        return LineSaid(
            count, named_size.size, named_size.name, day or named_size.day, "", "", guesses, named_size.box
        ), cells
    return LineSaid(count, size, " ".join(cells["product"].split()), day, "", "", guesses, box), cells


def _heading(reading: _Reading, line: ListLine, said: LineSaid) -> None:
    """A heading's place holds for what follows: by its name, or the only place of the kind that it names."""
    words = fold(line.written).strip(" :.-=*#")
    code = said.place or reading.kitchen.place_names().get(words, "")
    if not code:
        kind = next((k for w, k in _HEADING_KINDS.items() if w in words.split()), "")
        of_kind = [p.code for p in reading.kitchen.places if p.kind == kind and kind]
        code = of_kind[0] if len(of_kind) == 1 else ""
    reading.place = code
    where = f"a heading: what follows stands at {code}" if code else "a heading: there is no number in it"
    reading.left_out.append(LeftOut(line.number, line.written, where))


def _line(reading: _Reading, line: ListLine, said: LineSaid, cells: dict[str, str], answers: list[str]) -> None:
    place, note, guesses = _place(reading, said, cells)
    guesses = [*said.guesses, *guesses]

    def ask(asked: str, choices: Sequence[str] = ()) -> None:
        reading.questions.append(Question(line.number, line.written, asked, tuple(choices)))

    if said.count is None or said.count <= 0:
        if not (number := next((a for a in answers if re.fullmatch(r"\d+", a)), "")):
            ask("how many? no number stands here that could be a count", ("a number", SKIP))
            return
        said = replace(said, count=Fraction(number))
    assert said.count is not None
    reading.above += said.count
    said, note = _whole_name(said, note)
    if said.note:
        guesses.append(f"'{said.note}' is kept as a note")
    what = _what(reading, said, place, answers)
    if isinstance(what, _Asked):
        ask(what.asked, what.choices)
        return
    sized = _size(reading, said, what, answers)
    if isinstance(sized, _Asked):
        ask(sized.asked, sized.choices)
        return
    if said.day is not None and said.day.unsure:
        ask("days or months first? say it once for the whole list (--dates)", ("days first", "months first"))
        return
    guesses += [*what.guesses, *sized.guesses]
    if said.guesses and not any(fold(a) == "yes" for a in answers):
        ask(f"{'; '.join(said.guesses)}: is that right?", ("yes", SKIP))
        return
    reading.lines.append(
        Understood(
            line.number,
            line.written,
            what.product,
            what.thing,
            what.kind,
            sized.size,
            sized.count,
            _put_up(said.day),
            place,
            cells.get("load", ""),
            cells.get("source", ""),
            note,
            sized.loose,
            tuple(g for g in guesses if g not in said.guesses) + _day_guess(said.day),
        )
    )


def _place(reading: _Reading, said: LineSaid, cells: dict[str, str]) -> tuple[str, str, list[str]]:
    """(code, note, guesses): a place that household.yaml has not is kept as a note, and said."""
    note = "; ".join(filter(None, (said.note, cells.get("note", ""))))
    written = cells.get("place", "")
    code = reading.kitchen.place_names().get(fold(written), "") or said.place
    if written and not code:
        note = "; ".join(filter(None, (f"at {written}", note)))
        return reading.place, note, [f"'{written}' is no place of household.yaml; kept as a note"]
    return code or reading.place, note, []


def _whole_name(said: LineSaid, note: str) -> tuple[LineSaid, str]:
    """'Beetroot' and its note 'pickled' are one name where the catalogue has it so; with the note that is left."""
    first, _, rest = said.note.partition("; ")
    for name in (f"{said.name}, {first}", f"{first} {said.name}", f"{said.name} {first}"):
        if first and fold(name) in named():
            return replace(said, name=name, note=rest), note.removeprefix(first).removeprefix("; ")
    return said, note


def _put_up(day: Day | None) -> str:
    return day.as_written if day else ""


def _day_guess(day: Day | None) -> tuple[str, ...]:
    return (f"'{day.text}' is written down as {day.day.isoformat()}",) if day and day.month_only else ()


@dataclass(frozen=True, slots=True)
class _Asked:
    asked: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _What:
    product: str
    thing: str
    kind: Kind
    guesses: tuple[str, ...] = ()
    of_thing: Thing | None = None
    own: Product | None = None


def _what(reading: _Reading, said: LineSaid, place: str, answers: list[str]) -> _What | _Asked:
    """Which product a line means: one there is, one of the catalogue, or a question."""
    own = reading.kitchen.known.find(said.name)
    if own is not None:
        return _What(own.name, own.thing, own.kind, own=own, of_thing=catalogue().get(fold(own.thing)))
    if not said.name:
        return _Asked("of what? no name stands here", ("a name of the catalogue", SKIP))
    for answer in answers:
        if thing := catalogue().get(fold(answer)) or next(iter(named().get(fold(answer), ())), None):
            return _product(reading, said, thing, ())
        if fold(answer) in KINDS:
            kind: Kind = next(k for k in KINDS if k == fold(answer))
            return _What(said.name[:1].upper() + said.name[1:], "", kind)
    kinds = _kinds(reading, said, place)
    found = meant(said.name, kinds)
    if not found.sure and "dry" in (reading.kitchen.kinds_at(place) or KINDS) and not kinds_said(said.name):
        dry = meant(said.name, ("dry",))
        found = dry if dry.sure else found  # honey stands in pints, and is no jar that was put up
    if not found.things:
        elsewhere = meant(said.name).things
        names = tuple(f"{t.name}" for t in elsewhere[:4])
        if elsewhere:
            return _Asked(f"is it {either(names)}? Its container or its place speaks against it", (*names, SKIP))
        return _Asked(
            "what is it? the catalogue has no such name; say one of its names, or how it is kept", (*KINDS, SKIP)
        )
    if len(found.things) > 1 and not found.sure:
        names = tuple(t.name for t in found.things[:4])
        return _Asked(f"which is it: {either(names)}?", (*names, SKIP))
    thing = found.things[0]
    guesses = () if found.sure else (f"'{said.name}' is taken as {thing.name}",)
    return _product(reading, said, thing, guesses)


def _product(reading: _Reading, said: LineSaid, thing: Thing, guesses: tuple[str, ...]) -> _What:
    """The product of a thing: the one the household has of it, else named in the household's own words where they
    are a name of the catalogue."""
    for product in reading.kitchen.known.by_name.values():
        if product.thing == thing.name:
            return _What(product.name, thing.name, thing.kind, guesses, thing, product)
    for line in reading.lines:
        if line.thing == thing.name:
            return _What(line.product, thing.name, thing.kind, guesses, thing)
    own_words = fold(said.name) in {fold(n) for n in thing.also_called} and len(named()[fold(said.name)]) == 1
    name = said.name[:1].upper() + said.name[1:] if own_words else thing.name
    return _What(name, thing.name, thing.kind, guesses, thing)


def _kinds(reading: _Reading, said: LineSaid, place: str) -> frozenset[Kind]:
    """How a line's thing can be kept, by its place, its container and its own words; empty where nothing tells."""
    at = frozenset(reading.kitchen.kinds_at(place))
    by_word = frozenset(kinds_said(said.name))
    if by_word:
        return by_word & (at or frozenset(KINDS)) or at
    by_size: frozenset[Kind] = frozenset()
    size = base_name(said.size)
    if size in _JARS or size.endswith("jar") or said.box in ("jar", "tin"):
        by_size = frozenset({"jar"})
    elif size in _WEIGHTS or size.endswith(_PACKS) or " of " in size or said.box in _PACKS:
        by_size = frozenset({"freezer", "cellar", "dry", "fridge"})
    return at & by_size or at or by_size


@dataclass(frozen=True, slots=True)
class _Sized:
    size: str
    count: Fraction
    loose: bool = False
    guesses: tuple[str, ...] = ()


def _size(reading: _Reading, said: LineSaid, what: _What, answers: list[str]) -> _Sized | _Asked:
    """Which container, and how many: as said, as there is already, or a question; a count is never made up."""
    assert said.count is not None
    own = what.own
    size = said.size or next((a for a in answers if _is_size(a)), "")
    if own is not None and not size:
        if len(own.sizes) == 1:
            return _Sized(own.sizes[0].name, said.count, not own.whole)
        return _Asked("of which size?", (*(s.name for s in own.sizes), SKIP))
    if own is not None and (there := size_of(own, size)) is not None:
        return _Sized(there.name, said.count, not own.whole)
    usual = _usual(reading, what)
    if not size:
        if len(usual) == 1 and _is_a_piece(what, usual[0]):
            return _Sized(usual[0].name, said.count, _loose(what))
        if said.box and said.box not in ("jar", "tin", "piece") and what.kind in ("freezer", "dry", "cellar"):
            return _Asked(f"how much does one {said.box} hold? say it as '{said.box} = 1 lb' or '500 g {said.box}'")
        return _Asked("of which size?", (*(s.name for s in usual), SKIP))
    return _contained(said.count, size, what, usual)


def _contained(count: Fraction, size: str, what: _What, usual: tuple[Size, ...]) -> _Sized | _Asked:
    """A bare weight or volume of what is kept in packs or jars in whole ones of the usual size; else as it was said."""
    unit = unit_named(size)
    if unit is None and (like := _like_usual(size, usual)):
        return _whole(count, like, False)
    if unit is None or size in _JARS or what.kind in ("cellar", "dry", "fridge"):
        loose = what.kind in ("cellar", "dry", "fridge") and unit is not None
        return _whole(count, size, loose or (_loose(what) and unit is not None))
    packs = [s for s in usual if not _is_a_piece(what, s) and (count * unit[1] / s.content).denominator == 1]
    same = next((s for s in usual if s.name == size), None)
    if same is not None and count.denominator == 1:
        return _Sized(size, count)
    if packs and unit[0] == sizes_and_measure(packs[0].name)[1]:
        many = count * unit[1] / packs[0].content
        guess = f"{as_words(count)} {size} is taken as {as_words(many)} x {packs[0].name}"
        return _Sized(packs[0].name, many, guesses=(guess,))
    return _Sized(size, count, loose=True)


def _like_usual(size: str, usual: tuple[Size, ...]) -> str:
    """The usual container that holds the same: '500 g pack' of raspberries is their '500 g bag'; '' where none does."""
    sizes, measure = sizes_and_measure(size)
    like = (s for s in usual if s.content == sizes[0].content and sizes_and_measure(s.name)[1] == measure)
    return next((s.name for s in like if measure != "each"), "")


def _whole(count: Fraction, size: str, loose: bool) -> _Sized | _Asked:
    if count.denominator != 1 and not loose:
        return _Asked(f"{as_words(count)} of {size}? what is opened whole is counted whole", ("a number", SKIP))
    return _Sized(size, count, loose)


def _usual(reading: _Reading, what: _What) -> tuple[Size, ...]:
    thing = what.of_thing
    if thing is None:
        return ()
    text = thing.sizes if reading.kitchen.measures == "us" else thing.sizes_metric
    return sizes_and_measure(text)[0]


def _is_a_piece(what: _What, size: Size) -> bool:
    """Whether a container is the thing itself, a bird or a head: then a bare count is clear."""
    measure = sizes_and_measure(what.of_thing.sizes)[1] if what.of_thing else "g"
    return measure == "each" and size.content == 1


def base_name(size: str) -> str:
    """'pt bag' of 'pt bag = 1 pt'."""
    return size.partition("=")[0].strip()


def _loose(what: _What) -> bool:
    return what.of_thing is not None and what.of_thing.loose


def _is_size(answer: str) -> bool:
    try:
        sizes, _ = sizes_and_measure(answer)
    except Wrong:
        return False
    return len(sizes) == 1 and (unit_named(answer) is not None or bool(re.search(r"\d|=", answer)))


def answers_of(texts: Sequence[str]) -> dict[int, list[str]]:
    """'8=pt', '12=skip': answers by line number. Raises PantryError where one is no answer."""
    found: dict[int, list[str]] = {}
    for text in texts:
        number, equals, answer = text.partition("=")
        if not equals or not number.strip().isdigit() or not answer.strip():
            raise PantryError(f"'{text}' is no answer; write the line's number and what it is, such as 8=pt")
        found.setdefault(int(number), []).append(answer.strip())
    return found
