"""Pulling a planned menu: the whole pull list, part of it, or something else instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.actions.book.enter import Entered, enter
from pantrymeals.actions.book.moments import when_pulled
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.pulled_before import still_to_pull
from pantrymeals.actions.book.take import Wanted, candidates, eat_from, fridge, take
from pantrymeals.actions.book.words import Said, product_meant, split_at, understand
from pantrymeals.actions.stored_menu import a_strangers
from pantrymeals.book.book import Book
from pantrymeals.book.lines import LEFT_OUT, PULLED, AnyLine, GlassLine, Line, PartFacts, PartLine, ServedLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.errors import PantryError
from pantrymeals.larder.opened_life import goes_back_frozen
from pantrymeals.plans.menu import BegunUse, DayUse, FromLot, Opening
from pantrymeals.records import Product, Size
from pantrymeals.reports.json.plan_pull import MenuToPull as MenuToPull
from pantrymeals.reports.words import amount_of, sized
from pantrymeals.words import day_and_year, listed, short_date, short_day


class PullAsked(Struct, frozen=True):
    """What is asked of a menu's pull list.

    last: only what is opened and used up to that day. days: only what these days take, if any are named.
    products: only these, if any are named. without: leave these. swaps: (instead of this, that) as understood; the
    menu's use of the first is not pulled. coming_in: products that come in by themselves (milk, eggs): the book may
    lack them.
    """

    last: date
    products: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    swaps: tuple[tuple[Said, Said], ...] = ()
    coming_in: frozenset[str] = frozenset()
    days: frozenset[date] = frozenset()

    def wants(self, day: date) -> bool:
        """Whether what that day takes is asked for."""
        return day <= self.last and (not self.days or day in self.days)


class Pulled(Struct):
    """The lines of a pull, and what it leaves: what the book lacks and comes in by itself, days of which all or part
    was pulled before, and what stays for batch days."""

    lines: list[AnyLine] = field(default_factory=list)
    as_it_comes: list[str] = field(default_factory=list)
    again: tuple[date, ...] = ()
    for_batch_days: tuple[str, ...] = ()


def pull_asked(
    pantry: Pantry, plan: MenuToPull, only: list[str] | None, without: list[str] | None, instead: list[str] | None,
    last: date, on: Iterable[date] = (),
) -> PullAsked:  # fmt: skip
    """What is asked of a menu's list: only these, all but those, this for that, of some days. Raises PantryError."""
    swaps = []
    for text in instead or ():
        new, old = split_at(text, "for")
        if not old:
            raise PantryError(f"--instead '{text}': write it as 'THIS for THAT', such as '2 jars sauce for 1 jar tom'")
        swaps.append((understand(pantry, old), understand(pantry, new)))
    return PullAsked(
        last=last,
        products=frozenset(product_meant(pantry, text).name for text in only or ()),
        without=frozenset(product_meant(pantry, text).name for text in without or ()),
        swaps=tuple(swaps),
        coming_in=pantry.comes_in(min(pantry.today, plan.first), last),
        days=frozenset(on),
    )


def enter_pull(
    pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, command: str, key: str = ""
) -> tuple[Entered, list[str]]:
    """Pull what is asked of a menu's list; what was entered, and what else is to be said. Raises BookTrouble."""
    done = Pulled()

    def decide(open_now: Book) -> list[AnyLine]:
        nonlocal done
        done = pull_of_plan(pantry, open_now, plan, asked)
        return done.lines

    entered = enter(
        pantry, book, command, decide, key=key,
        cautions=when_pulled(pantry, book, {o.product for o in plan.openings} | {x.product for x in plan.for_later}),
        nothing="All of that has been pulled already: there is nothing to enter.",
    )  # fmt: skip
    return entered, said_of_pull(done)


def said_of_pull(done: Pulled) -> list[str]:
    """What a pull leaves to be said: pulled before, not from the shelf, left for a batch day."""
    said = []
    if done.again:
        said.append(f"Pulled before, and not again: {listed(short_day(day) for day in done.again)}.")
    if done.as_it_comes:
        said.append(f"Not from the shelf, but as it comes in: {', '.join(done.as_it_comes)}.")
    said += [
        f"Left where it stands: {g}. When that is done, it is made over, then put up." for g in done.for_batch_days
    ]
    return said


def pull_of_plan(pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked) -> Pulled:
    """The lines that pull what a menu takes, with the part jars it leaves and the dishes it serves.

    What was pulled before is not pulled again. Of what comes in by itself, what is there is taken. The goods of batch
    days stay where they are, for 'make-over'.

    Raises BookTrouble naming everything that the book has too little of, at once; and for a menu of another
    household, or with a product that is not kept.
    """
    mend = "write its present product's name there with this one under also_called, or plan the menu anew"
    if why := a_strangers(plan, pantry.name, pantry.product, mend):
        raise BookTrouble(f"{why}; nothing was pulled")
    if plan.reckoned_from is not None:
        raise BookTrouble(
            f"this menu was planned from a shelf reckoned from the count of {day_and_year(plan.reckoned_from)}, so it "
            "knows of no jar; plan it anew once it is near; nothing was pulled",
            f": 'menu --from {plan.first} --days {plan.days} --announce' plans it anew",
        )
    pulled, short = Pulled(for_batch_days=_batch_goods(pantry, plan, asked)), []
    todo = still_to_pull(book, plan, asked.products)
    plan, pulled.again = todo.plan, tuple(day for day in todo.again if asked.wants(day))
    swapped = _swapped_out(asked)
    touched = _touched(plan, asked)
    for name in sorted(touched):
        product = pantry.product(name)
        if product is None or name in asked.without or (asked.products and name not in asked.products):
            continue
        pull_one = _whole if product.whole else _loose
        try:
            taken = pull_one(pantry, book, plan, asked, product, swapped.get(name, Fraction(0)))
        except BookTrouble as trouble:
            short.append(_first_sentence(trouble))
            continue
        pulled.lines += taken.lines
        if taken.missing:
            pulled.as_it_comes.append(f"{amount_of(product, taken.missing)} {name}")
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
        raise BookTrouble(
            "\n".join([*short, "nothing was pulled"]), "; leave some out (--without) or take something else (--instead)"
        )
    pulled.lines += _served(plan, asked)
    return pulled


class _Taken(Struct):
    """The lines that take one product, and how much of it is still to come in (base measure)."""

    lines: list[AnyLine] = field(default_factory=list)
    missing: Fraction = Fraction(0)


def _batch_goods(pantry: Pantry, plan: MenuToPull, asked: PullAsked) -> tuple[str, ...]:
    """'6 lb Brown beans, dry for Beans for the shelf (Sat 24 Jan)' for each batch day of the days asked for."""
    said = []
    for work in plan.batch_work:
        if asked.wants(work.day) and not asked.products:
            goods = [
                f"{amount_of(product, use.amount)} {product.name}"
                for use in work.uses
                if (product := pantry.product(use.product)) is not None
            ]
            said.append(f"{listed(goods)} for {work.name} ({short_day(work.day)})")
    return tuple(said)


def _first_sentence(trouble: BookTrouble) -> str:
    return str(trouble).split(". If the shelf")[0]


def _touched(plan: MenuToPull, asked: PullAsked) -> frozenset[str]:
    """Every product that is opened or used on the days asked for."""
    opened = {o.product for o in plan.openings if asked.wants(o.day)}
    opened |= {x.product for x in plan.for_later if asked.wants(x.lifted)}
    used = {use.product for meal in plan.meals if asked.wants(meal.day) for dish in meal.dishes for use in dish.uses}
    return frozenset(opened | used)


def _swapped_out(asked: PullAsked) -> Mapping[str, Fraction]:
    """What is not pulled because something else is, in the base measure, by product."""
    out: dict[str, Fraction] = {}
    for old, _ in asked.swaps:
        out[old.product.name] = out.get(old.product.name, Fraction(0)) + old.count * old.size.content
    return out


def _loose(
    pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, product: Product, swapped: Fraction
) -> _Taken:
    uses = (u for m in plan.meals if asked.wants(m.day) for d in m.dishes for u in d.uses if u.product == product.name)
    used = sum((use.amount for use in uses), Fraction(0)) - swapped
    if used < 0:
        raise _not_that_much(product)
    taken = _Taken()
    for size, lot, amount in _by_lot(plan, asked, product, used):
        wanted = Wanted(Said(product, size, amount / size.content), "pulled", named=lot)
        part = _what_there_is(pantry, book, wanted, asked, taken.lines)
        taken.lines += part.lines
        taken.missing += part.missing
    return taken


def _by_lot(
    plan: MenuToPull, asked: PullAsked, product: Product, used: Fraction
) -> Iterator[tuple[Size, FromLot | None, Fraction]]:
    """So much (base measure) of loose goods by the lots that the list fetches it from; what it names none for, last."""
    lots: dict[tuple[str, FromLot | None], Fraction] = {}
    for got in plan.fetched:
        if got.product == product.name and not got.work and asked.wants(got.day):
            amount = min(used, got.count * _size(product, got.size).content)
            lots[got.size, got.lot] = lots.get((got.size, got.lot), Fraction(0)) + amount
            used -= amount
    yield from ((_size(product, name), lot, amount) for (name, lot), amount in lots.items() if amount)
    if used:
        yield product.sizes[0], None, used


def _what_there_is(
    pantry: Pantry, book: Book, wanted: Wanted, asked: PullAsked, before: Sequence[AnyLine] = ()
) -> _Taken:
    """The lines that take it; of what comes in by itself, as much as is there."""
    said, count = wanted.said, wanted.said.count
    if said.product.name in asked.coming_in:
        there = sum((here.count for here in candidates(pantry, book, wanted, before)), Fraction(0))
        count = min(count, Fraction(floor(there)) if said.product.whole else there)
    lines = take(pantry, book, replace(wanted, said=replace(said, count=count)), before) if count else []
    return _Taken(lines, (said.count - count) * said.size.content)


def _whole(
    pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, product: Product, swapped: Fraction
) -> _Taken:
    """What the menu takes of part jars, and the containers it opens; what is swapped is cut from its first uses."""
    taken = _Taken()
    for begun in plan.begun:
        if begun.product == product.name:
            used, swapped = _less(_taken(begun.uses, asked), swapped)
            _eat_begun(pantry, book, product, begun, used, taken, asked)
    for opening in sorted(plan.openings, key=lambda o: o.day):
        if opening.product == product.name and asked.wants(opening.day):
            used, cut_left = _less(_taken(opening.uses, asked), swapped)
            _open(pantry, book, product, opening, (used, swapped - cut_left), taken, asked)
            swapped = cut_left
    if swapped:
        raise _not_that_much(product)
    for x in plan.for_later:
        if x.product == product.name and asked.wants(x.lifted):
            _open(pantry, book, product, x.as_opening(), (Fraction(0), Fraction(0)), taken, asked)
    return taken


def _not_that_much(product: Product) -> BookTrouble:
    return BookTrouble(f"the menu does not take that much {product.name}")


def _taken(uses: Iterable[DayUse], asked: PullAsked) -> Fraction:
    """What is used on the days asked for (base measure)."""
    return sum((amount for day, amount in uses if asked.wants(day)), Fraction(0))


def _less(amount: Fraction, swapped: Fraction) -> tuple[Fraction, Fraction]:
    """An amount less what is swapped out, and what is still to be swapped."""
    cut = min(amount, swapped)
    return amount - cut, swapped - cut


def _size(product: Product, name: str) -> Size:
    size = product.size(name)
    if size is None:
        raise BookTrouble(f"{product.name} no longer comes in {name}")
    return size


def _eat_begun(
    pantry: Pantry, book: Book, product: Product, begun: BegunUse, used: Fraction, into: _Taken, asked: PullAsked
) -> None:
    """So much (base measure) of the part jars that were opened, or lifted out, on that day."""
    wanted = used / _size(product, begun.size).content
    for jar in book.part_jars():
        if (jar.part.product, jar.part.size, jar.part.opened) == (product.name, begun.size, begun.opened):
            taken = min(wanted, jar.left)
            wanted -= taken
            into.lines += eat_from(pantry, jar, taken, "pulled") if taken else []
    if wanted and product.name in asked.coming_in:
        into.missing += wanted * _size(product, begun.size).content
    elif wanted:
        more, opened = sized(wanted, begun.size), short_date(begun.opened)
        raise BookTrouble(f"the menu takes {more} more of the {product.name} opened {opened} than is left")


def _open(
    pantry: Pantry, book: Book, product: Product, opening: Opening, amounts: tuple[Fraction, Fraction], taken: _Taken,
    asked: PullAsked,
) -> None:  # fmt: skip
    """Containers off the shelf, from the lot that the pull list names; the part jar they leave, and the empties.

    amounts: what is used of them up to the day asked (base measure), and what is swapped out of it.
    """
    used, cut = amounts
    size = _size(product, opening.size)
    in_all = sum((amount for _, amount in opening.uses), Fraction(0)) - cut
    count = min(opening.count, ceil(in_all / size.content)) if cut else opening.count
    if not count:
        return
    wanted = Wanted(Said(product, size, Fraction(count)), "pulled", named=opening.lot)
    fetched = _what_there_is(pantry, book, wanted, asked, taken.lines)
    count -= int(fetched.missing / size.content)
    used = min(used, count * size.content)
    taken.missing += fetched.missing
    taken.lines += [x for x in fetched.lines if not isinstance(x, GlassLine)]
    left = count - used / size.content
    came_from = next((line.place for line in fetched.lines if isinstance(line, Line)), "")
    stands = came_from if goes_back_frozen(product) else fridge(pantry)
    part = PartFacts(product.name, size.name, opening.out, stands)
    taken.lines += [PartLine(part, left, "pulled")] if left else []
    jar, emptied = pantry.jar_size(product, size.name), floor(used / size.content)
    taken.lines += [GlassLine("empties", jar, emptied)] if jar and emptied else []


def _served(plan: MenuToPull, asked: PullAsked) -> list[AnyLine]:
    """The dishes of the days asked for, so that the next menu knows of them; of part of a list its products."""
    meals = [meal for meal in plan.meals if asked.wants(meal.day)]
    used = sorted({(meal.day, use.product) for meal in meals for dish in meal.dishes for use in dish.uses})
    out = {(x.lifted, x.product) for x in plan.for_later if asked.wants(x.lifted) and x.product not in asked.without}
    if asked.products:
        return [ServedLine(d, PULLED, name) for d, name in sorted({*used, *out}) if name in asked.products]
    dishes: list[AnyLine] = [ServedLine(day, PULLED, name) for day, name in sorted(out)]
    dishes += [ServedLine(meal.day, meal.meal, dish.dish) for meal in meals for dish in meal.dishes]
    return dishes + [ServedLine(day, LEFT_OUT, name) for day, name in used if name in asked.without]
