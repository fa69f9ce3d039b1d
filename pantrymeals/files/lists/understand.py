"""A list understood line by line: each line counts, is left out with its reason, or is a question."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.catalogue import Thing, catalogue, named
from pantrymeals.files.gathering import fold
from pantrymeals.files.lists.containers import SKIP, Unclear, What, base_name, container, measured_out
from pantrymeals.files.lists.days import Day, Order, find_day, order_of
from pantrymeals.files.lists.names import SHORT, begun_by, kind_of_it, kinds_said, meant
from pantrymeals.files.lists.rows import Listed, ListLine
from pantrymeals.files.lists.said import LineSaid, read_amount, read_said
from pantrymeals.files.lists.table import Columns, cells_under, columns_of, is_heading, is_total
from pantrymeals.files.products import KINDS
from pantrymeals.plans.first_count import FirstCount, LeftOut, Question, Understood
from pantrymeals.records import Kind, Measures, StorePlace
from pantrymeals.units import JAR_SIZES
from pantrymeals.words import either

_PLACE_KINDS: Mapping[str, tuple[Kind, ...]] = {
    "pantry": ("jar", "dry"), "cellar": ("cellar", "jar"), "loft": ("cellar", "dry"), "freezer": ("freezer",),
    "dry": ("dry", "jar"), "fridge": ("fridge",),
}  # fmt: skip
_HEADING_KINDS = {"freezer": "freezer", "pantry": "pantry", "cellar": "cellar", "larder": "pantry", "fridge": "fridge"}
_PACKS = ("pack", "bag", "tub", "block", "box", "carton", "parcel")
_WEIGHTS = frozenset({"lb", "kg", "g", "oz"})


class KnownHere(Struct, frozen=True):
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


class _Reading(Struct):
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
    if is_heading(line, said) and not _names_a_thing(reading, said.name):
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


def _names_a_thing(reading: _Reading, name: str) -> bool:
    """Whether words without a number are something kept, of which nobody said how many."""
    plain = fold(name).strip(" :.-")
    return plain in named() or reading.kitchen.known.find(plain) is not None


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

    number = next((a for a in answers if re.fullmatch(r"\d+", a)), "")
    if said.count is None or said.count <= 0:
        if not number:
            ask("how many? no number stands here that could be a count", ("a number", SKIP))
            return
        said = replace(said, count=Fraction(number))
    elif number and said.guesses:
        said = replace(said, count=Fraction(number), guesses=())
    assert said.count is not None
    reading.above += said.count
    said, note = _whole_name(said, note)
    if said.note:
        guesses.append(f"'{said.note}' is kept as a note")
    what = _what(reading, said, place, answers)
    if isinstance(what, Unclear):
        ask(what.asked, what.choices)
        return
    said = measured_out(said, what)
    sized = container(reading.kitchen.measures, said, what, answers)
    if isinstance(sized, Unclear):
        ask(sized.asked, sized.choices)
        return
    if said.day is not None and said.day.unsure:
        ask("days or months first? say it once for the whole list (--dates)", ("days first", "months first"))
        return
    guesses += [*what.guesses, *sized.guesses]
    if said.guesses and not any(fold(a) == "yes" for a in answers):
        ask(f"{'; '.join(said.guesses)}: is that right?", ("yes", "a number", SKIP))
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
    guessed = [f"'{said.place_by}' is taken as where it stands"] if said.place_by and not written else []
    return code or reading.place, note, guessed


def _whole_name(said: LineSaid, note: str) -> tuple[LineSaid, str]:
    """'Beetroot' and its note 'pickled' are one name where the catalogue has it so; with the note that is left."""
    first, _, rest = said.note.partition("; ")
    for name in (f"{said.name}, {first}", f"{first} {said.name}", f"{said.name} {first}"):
        if first and (fold(name) in named() or _begins_one(name, said.name)):
            return replace(said, name=name, note=rest), note.removeprefix(first).removeprefix("; ")
    return said, note


def _begins_one(name: str, without: str) -> bool:
    """Whether 'toms, whole' begins a name where 'toms' alone, cut short, is none."""
    return len(without) <= SHORT and fold(without) not in named() and len(begun_by(name)) == 1


def _put_up(day: Day | None) -> str:
    return day.as_written if day else ""


def _day_guess(day: Day | None) -> tuple[str, ...]:
    return (f"'{day.text}' is written down as {day.day.isoformat()}",) if day and day.month_only else ()


def _what(reading: _Reading, said: LineSaid, place: str, answers: list[str]) -> What | Unclear:
    """Which product a line means: one there is, one of the catalogue, or a question."""
    own = reading.kitchen.known.find(said.name)
    if own is not None:
        return What(own.name, own.thing, own.kind, own=own, of_thing=catalogue().get(fold(own.thing)))
    if not said.name:
        return Unclear("of what? no name stands here", ("a name of the catalogue", SKIP))
    for answer in answers:
        if thing := catalogue().get(fold(answer)) or next(iter(named().get(fold(answer), ())), None):
            return _product(reading, said, thing, ())
        if fold(answer) in KINDS:
            kind: Kind = next(k for k in KINDS if k == fold(answer))
            return What(said.name[:1].upper() + said.name[1:], "", kind)
    kinds = _kinds(reading, said, place)
    found = meant(said.name, kinds)
    if not found.things and "dry" in (reading.kitchen.kinds_at(place) or KINDS) and not kinds_said(said.name):
        dry = meant(said.name, ("dry",))
        found = dry if dry.sure else found  # honey stands in pints, and is no jar that was put up
    if not found.things:
        elsewhere = meant(said.name).things
        names = tuple(f"{t.name}" for t in elsewhere[:4])
        if elsewhere:
            return Unclear(_against(reading, elsewhere, said, place), (*names, SKIP))
        if kind_of := tuple(t.name for t in kind_of_it(said.name, kinds)[:4]):
            return Unclear(f"is it a kind of {either(kind_of)}? Else say how it is kept", (*kind_of, *KINDS, SKIP))
        return Unclear(
            "what is it? the catalogue has no such name; say one of its names, or how it is kept", (*KINDS, SKIP)
        )
    if (len(found.things) > 1 or found.alike) and not found.sure:
        names = tuple(t.name for t in found.things[:4])
        which = "which is it:" if len(names) > 1 else "is it"
        return Unclear(f"{which} {either(names)}?", (*names, SKIP))
    thing = found.things[0]
    guesses = () if found.sure else (f"'{said.name}' is taken as {thing.name}",)
    return _product(reading, said, thing, guesses)


_KEPT: Mapping[Kind, str] = {
    "jar": "in jars that were put up", "freezer": "in a freezer", "cellar": "in a cellar", "dry": "dry",
    "fridge": "in a fridge",
}  # fmt: skip


def _against(reading: _Reading, things: Sequence[Thing], said: LineSaid, place: str) -> str:
    """'is it Cheese, kept in a fridge? This stands at P, the kitchen press'."""
    names = either(tuple(f"{t.name}, kept {_KEPT[t.kind]}" for t in things[:4]))
    at = next((p.name for p in reading.kitchen.places if p.code == place), "")
    if at and not {t.kind for t in things} & set(reading.kitchen.kinds_at(place)):
        return f"is it {names}? This stands at {at}"
    return f"is it {names}? This is counted in {base_name(said.size) or said.box}"


def _product(reading: _Reading, said: LineSaid, thing: Thing, guesses: tuple[str, ...]) -> What:
    """The product of a thing: a kind of it by the household's own words ('Golden Queen peaches'), else the one that the
    household has of it, else named in its own words where they are a name of the catalogue."""
    own = said.name[:1].upper() + said.name[1:]
    if _is_a_kind_of(own, thing):
        return What(own, thing.name, thing.kind, guesses, thing)
    for product in reading.kitchen.known.by_name.values():
        if product.thing == thing.name and not _is_a_kind_of(product.name, thing):
            return What(product.name, thing.name, thing.kind, guesses, thing, product)
    for line in reading.lines:
        if line.thing == thing.name and not _is_a_kind_of(line.product, thing):
            if fold(own) != fold(line.product) and not guesses:
                guesses = (f"'{said.name}' is counted as {line.product}, another name of the same",)
            return What(line.product, thing.name, thing.kind, guesses, thing)
    own_words = fold(own) in {fold(n) for n in thing.also_called} and len(named()[fold(own)]) == 1
    return What(own if own_words else thing.name, thing.name, thing.kind, guesses, thing)


def _is_a_kind_of(name: str, thing: Thing) -> bool:
    return fold(name) not in named() and thing in kind_of_it(name)


def _kinds(reading: _Reading, said: LineSaid, place: str) -> frozenset[Kind]:
    """How a line's thing can be kept, by its place, its container and its own words; empty where nothing tells."""
    at = frozenset(reading.kitchen.kinds_at(place))
    by_word = frozenset(kinds_said(said.name))
    if by_word:
        return by_word & (at or frozenset(KINDS)) or at
    by_size: frozenset[Kind] = frozenset()
    size = base_name(said.size)
    if size in JAR_SIZES or size.endswith("jar") or said.box in ("jar", "tin"):
        by_size = frozenset({"jar"} if said.box in ("jar", "tin") or at else {"jar", "fridge"})  # 2 qt of milk
    elif size in _WEIGHTS or size.endswith(_PACKS) or " of " in size or said.box in _PACKS:
        by_size = frozenset({"freezer", "cellar", "dry", "fridge"})
    return at & by_size or at or by_size


def answers_of(texts: Sequence[str]) -> dict[int, list[str]]:
    """'8=pt', '12=skip': answers by line number. Raises PantryError where one is no answer."""
    found: dict[int, list[str]] = {}
    for text in texts:
        number, equals, answer = text.partition("=")
        if not equals or not number.strip().isdigit() or not answer.strip():
            raise PantryError(f"'{text}' is no answer; write the line's number and what it is, such as 8=pt")
        found.setdefault(int(number), []).append(answer.strip())
    return found
