"""What the household's files must agree on: names of dishes, tags, marks, people and leavings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.contents_told import said_to_be_without
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.calendar import EVERYONE, CalendarSheet
from pantrymeals.files.gathering import Gathering, fold, nearest, shown
from pantrymeals.files.household_yaml import HouseholdSheet
from pantrymeals.files.recipes import RecipeBook
from pantrymeals.records import Dish, Occasion, Product

_SLIP = 0.8
"""How alike two words must be for one to be called a slip of the pen: 'tomatto' and 'tomato' are 0.92.

A tag or mark that nothing carries may be rightly there (an allergy to what is never
kept); one letter away from a mark that something carries it guards nobody, unseen.
"""
_SHORTEST = 4
"""Shorter words are too like one another for a slip to be told."""
_OTHERS_FOR = ("low salt", "baby")


class DishWords(Struct, frozen=True):
    """Every name that dishes may speak of, folded -> as written; skipped starter dishes count."""

    dishes: Mapping[str, str]
    tags: frozenset[str]
    leavings: Mapping[str, str]
    marks: frozenset[str]


def both_books(starter: RecipeBook, own: RecipeBook) -> RecipeBook:
    """The household's dishes over the starter's of the same name, of which none is made of what nothing leaves."""
    ours = {fold(n) for n in (*own.dishes, *own.batch_days)}
    theirs = {n: d for n, d in starter.dishes.items() if fold(n) not in ours}
    left = {fold(d.leaves.name) for d in (*theirs.values(), *own.dishes.values()) if d.leaves}
    never = {
        n: (d.needs_left, "a dish that leaves it")
        for n, d in theirs.items()
        if d.needs_left and fold(d.needs_left) not in left
    }
    return RecipeBook(
        {**{n: d for n, d in theirs.items() if n not in never}, **own.dishes},
        {**{n: b for n, b in starter.batch_days.items() if fold(n) not in ours}, **own.batch_days},
        {n: p for n, p in (*starter.skipped.items(), *never.items(), *own.skipped.items()) if fold(n) not in ours},
        starter.skipped_tags | own.skipped_tags,
        starter.skipped_leavings | own.skipped_leavings,
        {**starter.spots, **own.spots},
    )


def words_of(book: RecipeBook, known: KnownProducts) -> DishWords:
    """The names, tags, leavings and marks of all dishes and products."""
    dishes = book.dishes.values()
    names = (*book.dishes, *book.batch_days, *book.skipped)
    leavings = (*(d.leaves.name for d in dishes if d.leaves), *book.skipped_leavings)
    return DishWords(
        {fold(n): n for n in names},
        frozenset(t for d in dishes for t in d.tags) | book.skipped_tags,
        {fold(n): n for n in leavings},
        frozenset(m for d in dishes for m in d.contents)
        | frozenset(m for p in known.by_name.values() for m in p.contents),
    )


def say_what_dishes_miss(
    book: RecipeBook, words: DishWords, sheet: HouseholdSheet | None, gathering: Gathering
) -> None:
    """Write down what the household's own dishes speak of and nothing carries."""
    for (name, key, text), place in book.spots.items():
        dish = book.dishes.get(name)
        if dish is None or dish.book != "household":
            continue
        if key == "needs_left" and text not in words.leavings:
            right = gathering.did_you_mean(text, words.leavings.values(), "write it under 'leaves' of the dish before")
            gathering.say(place, f"no dish leaves {shown(text)}", right)
        elif key in ("goes_with", "not_with") and text not in words.dishes and text not in words.tags:
            names = (*words.dishes.values(), *words.tags)
            right = gathering.did_you_mean(text, names, "name a dish, or a tag that one carries")
            gathering.say(place, f"{shown(text)} is neither a dish nor a tag of one", right)
        elif key == "for" and sheet is not None:
            whom = {*_OTHERS_FOR, *words.marks, *(fold(p.name) for p in sheet.people)}
            whom |= {m for p in sheet.people for m in p.must_not} | {"honey"}
            if text not in whom:
                right = gathering.did_you_mean(text, whom, "name a person, a mark, low salt or baby")
                gathering.say(place, f"{shown(text)} is nobody at this table", right)


def say_what_rules_miss(sheet: HouseholdSheet, words: DishWords, gathering: Gathering) -> None:
    """Write down fixed nights that no dish can keep, and tags and marks with a slip of the pen."""
    for (what, text), place in sheet.spots.items():
        if what == "fixed" and text not in words.tags:
            right = gathering.did_you_mean(text, words.tags, "write this tag under 'tags' of a dish")
            gathering.say(place, f"no dish carries the tag {shown(text)}", right)
        elif what in ("tag", "mark"):
            carried = words.tags if what == "tag" else words.marks | {"honey"}
            slips = (mark for mark in sorted(carried) if one_slip(text, mark))
            near = None if text in carried else nearest(text, carried, _SLIP) or next(slips, None)
            if near:
                who = "dish" if what == "tag" else "product or dish"
                gathering.say(place, f"no {who} carries the {what} {shown(text)}", f"did you mean {shown(near)}?")


def say_what_marks_miss(
    book: RecipeBook, known: KnownProducts, sheet: HouseholdSheet | None, gathering: Gathering
) -> None:
    """Write down marks that are one slip away from a mark somebody must not have: unseen, they would guard nobody.

    Where several things carry the mark and none the word of the must-not, the slip is in that, which is said there.
    """
    wanted = {fold(m) for p in sheet.people for m in p.must_not} | {"honey"} if sheet else set()
    dishes = [d for d in book.dishes.values() if d.book == "household"]
    carriers: list[Product | Dish] = [*known.by_name.values(), *dishes]
    times = Counter(fold(mark) for it in carriers for mark in it.contents)
    for it in carriers:
        for mark in sorted(it.contents):
            slips = (w for w in sorted(wanted) if one_slip(fold(mark), w) and (times[w] or times[fold(mark)] == 1))
            near = "" if fold(mark) in wanted else next(slips, "")
            if near:
                gathering.say(
                    it.place, f"{it.name}: the mark {shown(mark)} guards nobody", f"did you mean {shown(near)}?"
                )


def say_what_dishes_deny(book: RecipeBook, known: KnownProducts, gathering: Gathering) -> None:
    """Write down dishes of the household's own whose name or tags say that they are without what they have in them."""
    for dish in (d for d in book.dishes.values() if d.book == "household"):
        # a meatless supper of many a house is fried in lard, or is fish: that word promises nothing here
        without = said_to_be_without("; ".join((dish.name, *sorted(dish.tags - {"meatless"}))))
        has = dict.fromkeys(dish.contents, "'contents' of the dish")
        for use in dish.uses:
            in_all = frozenset.intersection(*(known.by_name[o.product].contents for o in use.options))
            has.update(dict.fromkeys(in_all, use.options[0].product))
        for mark in sorted(without & has.keys()):
            gathering.say(
                dish.place, f"{dish.name} is said to be without {shown(mark)}, and {has[mark]} has it",
                "change its name or tag, or what it takes",
            )  # fmt: skip


def one_slip(one: str, other: str) -> bool:
    """Whether two words differ by one letter put in, left out or mistaken, or by two neighbours changed about."""
    if min(len(one), len(other)) < _SHORTEST or abs(len(one) - len(other)) > 1 or one == other:
        return False
    at = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    first, second = one[at:], other[at:]
    changed = first[:2] == second[1::-1] and first[2:] == second[2:]
    return changed or first[1:] == second[1:] or first[1:] == second or first == second[1:]


def say_what_calendar_misses(
    calendar: CalendarSheet, words: DishWords, book: RecipeBook, sheet: HouseholdSheet | None, gathering: Gathering
) -> None:
    """Write down people and dishes of the calendar that the household has not."""
    people = {fold(p.name): p.name for p in sheet.people} if sheet else {}
    skipped = {fold(n): products for n, products in book.skipped.items()}
    for (what, text), place in calendar.spots.items():
        if what == "away" and sheet is not None and text not in people:
            right = gathering.did_you_mean(text, people.values(), "name someone of household.yaml")
            gathering.say(place, f"{shown(text)} is nobody at this table", right)
        elif what == "dish" and text in skipped:
            lacking = ", ".join(skipped[text])
            gathering.say(place, f"{shown(text)} takes what this larder does not keep: {lacking}", "name another dish")
        elif what == "dish" and text not in words.dishes:
            right = gathering.did_you_mean(text, words.dishes.values(), "write a recipe for it")
            gathering.say(place, f"there is no dish {shown(text)}", right)


def in_one_spelling(dishes: Iterable[Dish], words: DishWords) -> dict[str, Dish]:
    """The dishes with every name of another dish, tag or leaving spelt as its owner spells it."""
    out = {}
    for dish in dishes:
        left = dish.needs_left
        out[dish.name] = replace(
            dish,
            goes_with=frozenset(_spelt(n, words) for n in dish.goes_with),
            not_with=frozenset(_spelt(n, words) for n in dish.not_with),
            needs_left=words.leavings.get(fold(left), left) if left else None,
        )
    return out


def occasions_in_one_spelling(
    occasions: Iterable[Occasion], words: DishWords, sheet: HouseholdSheet
) -> tuple[Occasion, ...]:
    """The occasions with people and dishes spelt as their owners spell them."""
    people = {fold(p.name): p.name for p in sheet.people}
    return tuple(
        replace(
            o,
            away=_spelt_people(o.away, people),
            no_tins=_spelt_people(o.no_tins, people),
            dish=words.dishes.get(fold(o.dish), o.dish),
        )
        for o in occasions
    )


def _spelt_people(names: Iterable[str], people: Mapping[str, str]) -> frozenset[str]:
    """People as household.yaml spells them; all of them for 'all'."""
    spelt = ([people.get(fold(n), n)] if fold(n) != EVERYONE else people.values() for n in names)
    return frozenset(name for of in spelt for name in of)


def _spelt(name: str, words: DishWords) -> str:
    """A dish's name as its recipe writes it, or a tag in small letters."""
    return words.dishes.get(fold(name), fold(name))
