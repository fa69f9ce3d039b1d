"""Pulling a planned menu: the whole pull list, part of it, or something else instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from math import ceil, floor

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.take import Wanted, eat_from, fridge, take
from pantrymeals.actions.book.words import Said
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, GlassLine, PartFacts, PartLine, ServedLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.plans.menu import BegunUse, DayUse, Opening
from pantrymeals.records import Product, Size
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.reports.words import sized
from pantrymeals.words import short_date


@dataclass(frozen=True, slots=True)
class PullAsked:
    """What is asked of a menu's pull list.

    last: only what is opened and used up to that day. products: only these, if any are named.
    without: leave these. swaps: (instead of this, that) as understood; the menu's use of the first
    is not pulled. coming_in: products that come in by themselves (milk, eggs): the book may lack them.
    """

    last: date
    products: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    swaps: tuple[tuple[Said, Said], ...] = ()
    coming_in: frozenset[str] = frozenset()


@dataclass
class Pulled:
    """The lines of a pull, and what is left to the household because the book has none."""

    lines: list[AnyLine] = field(default_factory=list)
    as_it_comes: list[str] = field(default_factory=list)


def pull_of_plan(pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked) -> Pulled:
    """The lines that pull what a menu takes, with the part jars it leaves and the dishes it serves.

    Raises BookTrouble naming everything that the book has too little of, at once.
    """
    pulled, short = Pulled(), []
    swapped = _swapped_out(asked)
    touched = _touched(plan, asked.last)
    for name in sorted(touched):
        product = pantry.product(name)
        if product is None or name in asked.without or (asked.products and name not in asked.products):
            continue
        pull_one = _whole if product.whole else _loose
        try:
            pulled.lines += pull_one(pantry, book, plan, asked.last, product, swapped.get(name, Fraction(0)))
        except BookTrouble as trouble:
            if name in asked.coming_in:
                pulled.as_it_comes.append(name)
            else:
                short.append(_first_sentence(trouble))
    for old, new in asked.swaps:
        if old.product.name not in touched:
            short.append(f"the menu takes no {old.product.name}, so nothing can go in its place")
            continue
        wanted = Wanted(new, "pulled", note=f"instead of {old}")
        try:
            pulled.lines += take(pantry, book, wanted, pulled.lines)
        except BookTrouble as trouble:
            short.append(_first_sentence(trouble))
    if short:
        raise BookTrouble("\n".join([*short, "nothing was pulled; leave some out (--without) or swap (--swap)"]))
    pulled.lines += _served(plan, asked)
    return pulled


def _first_sentence(trouble: BookTrouble) -> str:
    return str(trouble).split(". If the shelf")[0]


def _touched(plan: MenuToPull, last: date) -> frozenset[str]:
    """Every product that is opened or used up to that day."""
    opened = {o.product for o in plan.openings if o.day <= last}
    used = {use.product for meal in plan.meals if meal.day <= last for dish in meal.dishes for use in dish.uses}
    return frozenset(opened | used)


def _swapped_out(asked: PullAsked) -> Mapping[str, Fraction]:
    """What is not pulled because something else is, in the base measure, by product."""
    out: dict[str, Fraction] = {}
    for old, _ in asked.swaps:
        out[old.product.name] = out.get(old.product.name, Fraction(0)) + old.count * old.size.content
    return out


def _loose(
    pantry: Pantry, book: Book, plan: MenuToPull, last: date, product: Product, swapped: Fraction
) -> list[AnyLine]:
    taken = (u for m in plan.meals if m.day <= last for d in m.dishes for u in d.uses if u.product == product.name)
    used = sum((use.amount for use in taken), Fraction(0)) - swapped
    if used < 0:
        raise _not_that_much(product)
    size = product.sizes[0]
    return take(pantry, book, Wanted(Said(product, size, used / size.content), "pulled")) if used else []


def _whole(
    pantry: Pantry, book: Book, plan: MenuToPull, last: date, product: Product, swapped: Fraction
) -> list[AnyLine]:
    """What the menu takes of part jars, and the containers it opens; what is swapped is cut from its first uses."""
    lines: list[AnyLine] = []
    for begun in plan.begun:
        if begun.product == product.name:
            used, swapped = _less(_taken(begun.uses, last), swapped)
            lines += _eat_begun(pantry, book, product, begun, used)
    for opening in sorted(plan.openings, key=lambda o: o.day):
        if opening.product == product.name and opening.day <= last:
            used, cut_left = _less(_taken(opening.uses, last), swapped)
            lines += _open(pantry, book, product, opening, used, swapped - cut_left, lines)
            swapped = cut_left
    if swapped:
        raise _not_that_much(product)
    return lines


def _not_that_much(product: Product) -> BookTrouble:
    return BookTrouble(f"the menu does not take that much {product.name}")


def _taken(uses: Iterable[DayUse], last: date) -> Fraction:
    """What is used up to a day (base measure)."""
    return sum((amount for day, amount in uses if day <= last), Fraction(0))


def _less(amount: Fraction, swapped: Fraction) -> tuple[Fraction, Fraction]:
    """An amount less what is swapped out, and what is still to be swapped."""
    cut = min(amount, swapped)
    return amount - cut, swapped - cut


def _size(product: Product, name: str) -> Size:
    size = product.size(name)
    if size is None:
        raise BookTrouble(f"{product.name} no longer comes in {name}")
    return size


def _eat_begun(pantry: Pantry, book: Book, product: Product, begun: BegunUse, used: Fraction) -> list[AnyLine]:
    """So much (base measure) of the part jars that were opened, or lifted out, on that day."""
    lines: list[AnyLine] = []
    wanted = used / _size(product, begun.size).content
    for jar in book.part_jars():
        if (jar.part.product, jar.part.size, jar.part.opened) == (product.name, begun.size, begun.opened):
            taken = min(wanted, jar.left)
            wanted -= taken
            lines += eat_from(pantry, jar, taken, "pulled") if taken else []
    if wanted:
        more, opened = sized(wanted, begun.size), short_date(begun.opened)
        raise BookTrouble(f"the menu takes {more} more of the {product.name} opened {opened} than is left")
    return lines


def _open(
    pantry: Pantry, book: Book, product: Product, opening: Opening, used: Fraction, cut: Fraction, before: list[AnyLine]
) -> list[AnyLine]:
    """Containers off the shelf, from the lot that the pull list names; the part jar they leave, and the empties.

    used: what is taken of them up to the day asked (base measure). cut: what is swapped out of it.
    """
    size = _size(product, opening.size)
    in_all = sum((amount for _, amount in opening.uses), Fraction(0)) - cut
    count = min(opening.count, ceil(in_all / size.content)) if cut else opening.count
    if not count:
        return []
    wanted = Wanted(Said(product, size, Fraction(count)), "pulled", named=opening.lot)
    lines: list[AnyLine] = [x for x in take(pantry, book, wanted, before) if not isinstance(x, GlassLine)]
    left = count - used / size.content
    part = PartFacts(product.name, size.name, opening.out, fridge(pantry))
    lines += [PartLine(part, left, "pulled")] if left else []
    jar, emptied = pantry.jar_size(product, size.name), floor(used / size.content)
    lines += [GlassLine("empties", jar, emptied)] if jar and emptied else []
    return lines


def _served(plan: MenuToPull, asked: PullAsked) -> list[AnyLine]:
    """The dishes of the days asked for, so that the next menu knows of them; none for part of a list."""
    if asked.products:
        return []
    return [
        ServedLine(meal.day, meal.meal, dish.dish)
        for meal in plan.meals
        if meal.day <= asked.last
        for dish in meal.dishes
    ]
