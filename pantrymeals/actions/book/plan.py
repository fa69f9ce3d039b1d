"""Pulling a planned menu: the whole pull list, part of it, or something else instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.take import Wanted, eat_from, fridge, take
from pantrymeals.actions.book.words import Said
from pantrymeals.book.book import Book
from pantrymeals.book.lines import AnyLine, GlassLine, Line, PartFacts, PartLine, PartOnHand, ServedLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.larder.opened_life import OpenedLife, life_from, life_since, lifted_out
from pantrymeals.records import Product, Size
from pantrymeals.reports.json.plan_pull import MenuToPull


@dataclass(frozen=True, slots=True)
class PullAsked:
    """What is asked of a menu's pull list.

    first, last: only the openings ready on these days. products: only these, if any are named.
    without: leave these. swaps: (instead of this, that) as understood; the menu's use of the first
    is not pulled. coming_in: products that come in by themselves (milk, eggs): the book may lack them.
    """

    first: date
    last: date
    products: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    swaps: tuple[tuple[Said, Said], ...] = ()
    coming_in: frozenset[str] = frozenset()


@dataclass
class Container:
    """One opened container: what is left of it (base measure), since when, and until when it may be used."""

    size: Size
    opened: date
    left: Fraction
    life: OpenedLife
    part: PartOnHand | None = None


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
    touched = _touched(plan, asked)
    for name in sorted(touched):
        product = pantry.product(name)
        if product is None or name in asked.without or (asked.products and name not in asked.products):
            continue
        pull_one = _whole if product.whole else _loose
        try:
            pulled.lines += pull_one(pantry, book, plan, asked, product, swapped.get(name, Fraction(0)))
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


def _touched(plan: MenuToPull, asked: PullAsked) -> frozenset[str]:
    """Every product that is opened or used on the days asked for."""
    opened = {o.product for o in plan.openings if asked.first <= o.day <= asked.last}
    used = {
        use.product
        for meal in plan.meals
        if asked.first <= meal.day <= asked.last
        for dish in meal.dishes
        for use in dish.uses
    }
    return frozenset(opened | used)


def _swapped_out(asked: PullAsked) -> Mapping[str, Fraction]:
    """What is not pulled because something else is, in the base measure, by product."""
    out: dict[str, Fraction] = {}
    for old, _ in asked.swaps:
        out[old.product.name] = out.get(old.product.name, Fraction(0)) + old.count * old.size.content
    return out


def _uses(plan: MenuToPull, asked: PullAsked, name: str) -> Iterable[tuple[date, Fraction]]:
    """(day, amount in base measure) of each use of a product on the days asked for, by day."""
    for meal in sorted(plan.meals, key=lambda meal: meal.day):
        if asked.first <= meal.day <= asked.last:
            for dish in meal.dishes:
                for use in dish.uses:
                    if use.product == name and use.amount:
                        yield meal.day, use.amount


def _loose(
    pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, product: Product, swapped: Fraction
) -> list[AnyLine]:
    used = _total(_uses(plan, asked, product.name)) - swapped
    if used < 0:
        raise BookTrouble(f"the menu does not take that much {product.name}")
    size = product.sizes[0]
    if not used:
        return []
    return take(pantry, book, Wanted(Said(product, size, used / size.content), "pulled"))


def _total(uses: Iterable[tuple[date, Fraction]]) -> Fraction:
    return sum((amount for _, amount in uses), Fraction(0))


def _whole(
    pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, product: Product, swapped: Fraction
) -> list[AnyLine]:
    """Jars off the shelf; then what the menu uses of them and of the part jars, the oldest first."""
    if _total(_uses(plan, asked, product.name)) < swapped:
        raise BookTrouble(f"the menu does not take that much {product.name}")
    lines: list[AnyLine] = []
    containers = _open_now(book, product)
    spare = swapped
    for opening in sorted(plan.openings, key=lambda o: o.day):
        if opening.product != product.name or not asked.first <= opening.day <= asked.last:
            continue
        size = product.size(opening.size)
        if size is None:
            raise BookTrouble(f"{product.name} no longer comes in {opening.size}")
        spared = min(opening.count, int(spare // size.content))
        spare -= spared * size.content
        if opening.count > spared:
            said = Said(product, size, Fraction(opening.count - spared))
            lines += _without_empties(take(pantry, book, Wanted(said, "pulled"), lines))
            containers += _opened(product, size, opening.day, opening.count - spared)
    _use_up(containers, _less(_uses(plan, asked, product.name), swapped))
    return lines + _what_is_left(pantry, product, containers)


def _without_empties(lines: list[AnyLine]) -> list[AnyLine]:
    """Empties come back as each jar is emptied, which is told apart below."""
    return [line for line in lines if not isinstance(line, GlassLine)]


def _less(uses: Iterable[tuple[date, Fraction]], spared: Fraction) -> list[tuple[date, Fraction]]:
    """The uses, with so much of the first of them left out."""
    left = []
    for day, amount in uses:
        cut = min(amount, spared)
        spared -= cut
        if amount > cut:
            left.append((day, amount - cut))
    return left


def _open_now(book: Book, product: Product) -> list[Container]:
    found = []
    for jar in book.part_jars():
        size = product.size(jar.part.size)
        if jar.part.product == product.name and size is not None:
            life = life_since(product, jar.part.opened, untouched=jar.left >= 1)
            found.append(Container(size, jar.part.opened, jar.left * size.content, life, jar))
    return found


def _opened(product: Product, size: Size, ready: date, count: int) -> list[Container]:
    """Written down under the day it was lifted out, so that its last day is the one the menu reckoned with."""
    life, lifted = life_from(product, ready), lifted_out(product, ready)
    return [Container(size, lifted, size.content, life) for _ in range(count)]


def _use_up(containers: list[Container], uses: Sequence[tuple[date, Fraction]]) -> None:
    """Take each use from the oldest that is open and within its clock on that day."""
    for day, amount in uses:
        left = amount
        for container in sorted(containers, key=lambda c: (c.opened, c.part is None)):
            if container.life.good(day):
                taken = min(left, container.left)
                container.left -= taken
                left -= taken


def _what_is_left(pantry: Pantry, product: Product, containers: list[Container]) -> list[AnyLine]:
    """Part jars as the menu leaves them, and the empties of those it empties."""
    lines: list[AnyLine] = []
    for container in containers:
        left = container.left / container.size.content
        if container.part is not None:
            if left != container.part.left:
                lines += eat_from(pantry, container.part, container.part.left - left, "pulled")
        elif left:
            part = PartFacts(product.name, container.size.name, container.opened, fridge(pantry))
            lines.append(PartLine(part, left, "pulled"))
        else:
            jar = pantry.jar_size(product, container.size.name)
            lines += [GlassLine("empties", jar, 1)] if jar else []
    return lines


def _served(plan: MenuToPull, asked: PullAsked) -> list[AnyLine]:
    """The dishes of the days asked for, so that the next menu knows of them; none for part of a list."""
    if asked.products:
        return []
    return [
        ServedLine(meal.day, meal.meal, dish.dish)
        for meal in plan.meals
        if asked.first <= meal.day <= asked.last
        for dish in meal.dishes
    ]


def jars_in(lines: Sequence[AnyLine]) -> tuple[Line, ...]:
    """The jar movements among lines, for saying what was taken from where."""
    return tuple(line for line in lines if isinstance(line, Line))
