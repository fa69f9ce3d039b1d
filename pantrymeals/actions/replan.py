"""Plans anew from today after life happened, keeping what was announced as far as it can be kept."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import (
    bans_meant,
    day_and_meal,
    day_meant,
    dish_meant,
    pin_meant,
    product_meant,
    when_and_what,
)
from pantrymeals.errors import NoMenuFits, NotUnderstood, PantryError
from pantrymeals.larder.table import occasions_on, those_at_home
from pantrymeals.menu.changes import changed_meals, more_batches, part_of, plan_keeping
from pantrymeals.menu.request import MenuRequest, NobodyWatching, Pin, Watch
from pantrymeals.plans.menu import MealChange, MenuPlan, Opening
from pantrymeals.records import Household, MealName, Occasion, PartJar
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import listed, long_day, short_day

if TYPE_CHECKING:
    from pantrymeals.actions.book.pulled_before import ToPull
    from pantrymeals.forecast.forecast import BookPace


class Life(Struct, frozen=True):
    """What happened, as typed. headcounts: 'Thu=14' or 'Sat lunch=10'; away: 'Thu=Joss'; gone: products;
    keep: days or dishes that must stay as announced; pin: 'Sun: Trout cakes'; ban: dishes to leave out."""

    headcounts: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    keep: tuple[str, ...] = ()
    pin: tuple[str, ...] = ()
    ban: tuple[str, ...] = ()


class Replanned(Struct, frozen=True):
    """The new menu, the household it is for, and what changed.

    happened: what was taken into account, in plain sentences. scaled: dishes made in more or fewer
    batches (day, meal, dish, was, is). fewest: proven that no menu changes fewer meals.
    """

    household: Household
    plan: MenuPlan
    changes: tuple[MealChange, ...]
    scaled: tuple[tuple[date, MealName, str, Fraction, Fraction], ...]
    happened: tuple[str, ...]
    fewest: bool


def replan(
    household: Household,
    announced: MenuPlan,
    life: Life,
    first: date | None = None,
    seed: int = 1,
    seconds: float = 10.0,
    watch: Watch | None = None,
    pulled: ToPull[MenuPlan] | None = None,
    up: tuple[date, ...] = (),
) -> Replanned:
    """The announced menu from ``first`` on, changed as little as can be.

    first: None for the household's today (or the menu's first day, if later). pulled: what of the menu is still to be
    pulled; the days that were pulled are eaten as they stand, and it begins after the last of them. up: days that
    stay as announced though earlier ones do not, being up already (see `around_what_is_up`). Raises PantryError when
    the menu is over or all pulled, something typed is not understood, or nothing fits.
    """
    begin = max(first or household.today, announced.first, household.today)
    end = announced.first + timedelta(days=announced.days)
    if begin >= end:
        raise PantryError(f"the menu ended on {end - timedelta(days=1)}: there is nothing left to change")
    begin, told = after_what_is_pulled(pulled, begin, end)
    kitchen = eaten_so_far(household, pulled.plan if pulled else announced, begin)
    came_before = len(kitchen.occasions)
    kitchen, happened = lived(kitchen, life, begin, (end - begin).days)
    rest = part_of(announced, begin, end)
    pins = _pins(kitchen, rest, life, up)
    _refuse_what_is_up(up, [o.first for o in kitchen.occasions[came_before:]], pins, rest)
    told = (*told, *_stays(up))
    request = MenuRequest(
        first=begin,
        days=(end - begin).days,
        seed=seed,
        seconds=seconds,
        pinned=pins,
        banned=bans_meant(kitchen, life.ban),
        keep=tuple((m.day, m.meal, d.role, d.dish) for m in rest.meals for d in m.dishes),
    )
    from pantrymeals.menu.for_later import with_for_later
    from pantrymeals.pull.pull import household_after

    try:
        kept = plan_keeping(kitchen, request, watch)
    except NoMenuFits:
        from pantrymeals.actions.clash import why_none

        raise NoMenuFits(why_none(kitchen, request, watch or NobodyWatching())) from None
    plan = with_for_later(kitchen, household_after, kept.plan)
    return Replanned(
        kitchen, plan, changed_meals(rest, plan), more_batches(rest, plan), (*told, *happened), kept.fewest
    )


def after_what_is_pulled(pulled: ToPull[MenuPlan] | None, begin: date, end: date) -> tuple[date, tuple[str, ...]]:
    """The first day from ``begin`` on that can be planned anew, and why it is another than that.

    Days whose jars, all or some of them, are off the shelf by the book stay. Raises PantryError when the menu's last
    day, before ``end``, is one of them.
    """
    last, what = pulled.up_from(begin) if pulled else (None, "")
    if last is None:
        return begin, ()
    after = last + timedelta(days=1)
    if after >= end:
        raise PantryError(
            f"all that is left of the menu has been pulled ({what}): there is nothing to change", _TO_TYPE
        )
    return after, (f"Pulled already, and eaten as announced: {what} ({_BACK}).",)


_BACK = "with the pull taken back it could be planned anew"
_TO_TYPE = ". 'book log' shows the number of the pull, 'undo NUMBER' takes it back"


def _stays(kept: tuple[date, ...]) -> tuple[str, ...]:
    return (f"Up already, and kept as announced: {listed(short_day(day) for day in kept)} ({_BACK}).",) if kept else ()


def _refuse_what_is_up(kept: tuple[date, ...], happens: list[date], pins: tuple[Pin, ...], rest: MenuPlan) -> None:
    """Raise PantryError where a day that is up was to have another table, or another dish."""
    stands = {(m.day, d.dish) for m in rest.meals for d in m.dishes}
    wanted = {*happens, *(pin.day for pin in pins if (pin.day, pin.dish) not in stands)}
    for day in kept:
        if day in wanted:
            raise PantryError(f"jars for {long_day(day)} are up already, so it stays as announced", _TO_TYPE)


def replan_answer(
    done: Replanned, *, whole_menu: bool = False, full: bool = False, pace: BookPace | None = None
) -> Answer:
    """What changes and why; then the whole new menu and its pull list, where it is asked for."""
    from pantrymeals.actions.menu import lay_out, with_cover, write_whole_menu
    from pantrymeals.reports.dates import menu_dates
    from pantrymeals.reports.json.plan import menu_json
    from pantrymeals.reports.pages.menu import menu_pdf
    from pantrymeals.reports.pictures.menus import evenness_picture
    from pantrymeals.reports.terminal.changes import write_changes

    sheet = with_cover(lay_out(done.household, done.plan, pace=pace))
    days = (done.plan.first, done.plan.last)

    def write(paper: Paper) -> None:
        write_changes(paper, days, done.happened, done.changes, done.scaled, done.fewest)
        if whole_menu:
            paper.blank()
            write_whole_menu(paper, sheet, full=full)

    return Answer(
        write,
        lambda: menu_json(sheet),
        lambda: tables.changes(done.changes, done.plan, sheet.pull),
        lambda printing: menu_pdf(sheet, printing),
        lambda: evenness_picture(sheet.household, sheet.plan),
        lambda: menu_dates(sheet),
        broken=sheet.broken,
    )


def eaten_so_far(household: Household, announced: MenuPlan, begin: date) -> Household:
    """The household on the morning of ``begin``: days up to then were eaten as announced.

    Up to the household's own day its count or its book has the word; what was announced for those
    days is only remembered, where the book says nothing of them.
    """
    from pantrymeals.pull.pull import household_after

    told = {day for day, _ in household.recent}
    past = [(m.day, d.dish) for m in announced.meals for d in m.dishes if m.day < household.today and m.day not in told]
    remembered = replace(household, recent=tuple(sorted([*household.recent, *past])))
    if begin > household.today:  # the days before the menu's first, too: bread may come in on them
        remembered = household_after(remembered, part_of(announced, household.today, begin))
    return _lifted_out(remembered, announced, begin)


def _lifted_out(household: Household, announced: MenuPlan, begin: date) -> Household:
    """Packs that the announced menu has lifted out to thaw before ``begin`` are in the fridge by now."""
    from pantrymeals.larder.on_hand import less, of_size

    thawing = [(jar.product, jar.opened) for jar in household.part_jars]
    later = (x.as_opening() for x in announced.for_later)
    open_now = {product for product, _ in thawing}
    begun = (  # a menu planned anew before the night of its thawing has that pack as open already
        Opening(b.uses[0][0], b.product, b.size, 1, b.opened, b.uses[-1][0])
        for b in announced.begun
        if b.uses and household.products[b.product].thaw_days and b.product not in open_now
    )
    for o in (*announced.openings, *later, *begun):
        product = household.products[o.product]
        size = product.size(o.size)
        if o.lifted is None or not o.lifted < begin <= o.day or size is None or (o.product, o.lifted) in thawing:
            continue
        count = min(o.count, of_size(household, product, size.name))
        pack = PartJar(product.name, size.name, size.content, o.lifted, o.lot.where if o.lot else "")
        household = replace(
            household,
            lots=less(product, household.lots, count * size.content, size.name),
            part_jars=(*household.part_jars, *[pack] * count),
        )
    return household


def lived(household: Household, life: Life, first: date, days: int) -> tuple[Household, tuple[str, ...]]:
    """The household with what happened, and that in plain sentences. So many heads: without those who are away."""
    said: list[str] = []
    for text in life.away:
        occasion, words = _away(household, text, first, days)
        household = replace(household, occasions=(*household.occasions, occasion))
        said.append(words)
    for text in life.headcounts:
        occasion, words = _headcount(household, text, first, days)
        household = replace(household, occasions=(*household.occasions, occasion))
        said.append(words)
    for text in life.gone:
        name = product_meant(household, text)
        household = replace(
            household,
            lots=tuple(lot for lot in household.lots if lot.product != name),
            part_jars=tuple(jar for jar in household.part_jars if jar.product != name),
        )
        said.append(f"There is no {name} left.")
    return household, tuple(said)


def _headcount(household: Household, text: str, first: date, days: int) -> tuple[Occasion, str]:
    """So many heads at a meal: those beyond the household's own eat as much as one of them does."""
    when, number = when_and_what(text)
    if not number.isdigit() or not when:
        raise NotUnderstood(f"'{text}' is no headcount; write 'Thu=14', or 'Sat lunch=10'")
    day, said_meal = day_and_meal(when, first, days)
    meal = said_meal or "supper"
    home = len(those_at_home(household, day))
    heads = int(number)
    if heads < home:
        raise NotUnderstood(
            f"{heads} is fewer than the {home} at home on {day}; say who is away: --away '{when.split()[0]}=name'"
        )
    eats = sum((p.portion for p in household.people), Fraction(0)) / max(1, len(household.people))
    expected = sum((o.guests for o in occasions_on(household, day) if meal in o.meals), Fraction(0))
    guests = max(Fraction(0), (heads - home) * eats - expected)
    occasion = Occasion(day, day, f"{heads} at table", guests, (meal,))
    return occasion, f"{heads} are at {meal} on {long_day(day)}."


def _away(household: Household, text: str, first: date, days: int) -> tuple[Occasion, str]:
    when, name = when_and_what(text)
    known = {p.name.casefold(): p.name for p in household.people}
    who = known.get(name.casefold())
    if who is None:
        names = ", ".join(known.values())
        raise NotUnderstood(f"'{text}' does not say who is away; write 'Thu=name' with one of {names}")
    day = day_meant(when, first, days)
    return Occasion(day, day, f"{who} away", away=frozenset({who})), f"{who} is away on {long_day(day)}."


def _pins(household: Household, rest: MenuPlan, life: Life, kept: tuple[date, ...]) -> tuple[Pin, ...]:
    """Dishes that must stand: those asked for now, then those asked for before and those of the days and names kept,
    where no other is asked for in their place."""
    days, names = set(kept), set()
    for text in life.keep:
        try:
            days.add(day_meant(text, rest.first, rest.days))
        except NotUnderstood:
            names.add(dish_meant(household, text))
    standing = {d.dish for m in rest.meals for d in m.dishes}
    for name in names - standing:
        raise NotUnderstood(f"{name} is not on the announced menu from {rest.first} on")
    asked = tuple(pin_meant(household, text, rest.first, rest.days) for text in life.pin)
    banned = bans_meant(household, life.ban)
    taken = {(pin.day, pin.meal or "supper", household.dishes[pin.dish].role) for pin in asked}
    before = (
        Pin(m.day, d.dish, m.meal)
        for m in rest.meals
        for d in m.dishes
        if (m.day in days or d.dish in names or d.pinned)
        and (m.day, m.meal, d.role) not in taken
        and d.dish not in banned
    )
    return (*asked, *before)
