"""Next season's put-up list, before any limit: how many of what, in whole loads, and why."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.forecast.shelf import shelf_of
from pantrymeals.larder.book_history import book_year_of
from pantrymeals.larder.on_hand import all_held
from pantrymeals.plans.season import CropRisk, Need, PutUpLine, PutUpList, TwoNeeds
from pantrymeals.plans.span import SpanOf
from pantrymeals.records import Product
from pantrymeals.season.asked import (
    SeasonQuestion,
    first_content,
    need_by_the_book,
    need_of,
    on_shelf,
    seed_kept,
    this_year,
    window_of,
)
from pantrymeals.season.by_menus import where_they_differ
from pantrymeals.season.carry_over import carried_over
from pantrymeals.season.cautions import cautions_of, may_not_be_planned, season_cautions
from pantrymeals.season.kitchen_work import frozen_here, hours_of, litres_of, load_of, way_of
from pantrymeals.season.loads import chances_by_load, whole_loads
from pantrymeals.season.reserve import aim_for_service, chances_wanted
from pantrymeals.season.whole_animals import comes_whole
from pantrymeals.season.words import counted, load_words, none_words, why_words
from pantrymeals.season.yields import (
    containers_for,
    plants_for,
    pounds_a_foot,
    pounds_a_plant,
    quarts_in,
    raw_pounds,
    row_feet,
)
from pantrymeals.season_facts import Harvest
from pantrymeals.units import UNITS

USUAL_WORTH_A_QUART = Fraction(3)
"""Dollars, where the household has written no store price: only to weigh one jar against another."""

LEAST_KEEPING_MONTHS = 12
"""What keeps less than this is gone before the next crop could fail."""


def put_up_list(asked: SeasonQuestion) -> PutUpList:
    """Every product of the household's harvests: a line to put up, or why there is none."""
    risks = {h.crop: crop_risk(asked, h) for h in asked.facts.harvests}
    lines: list[PutUpLine] = []
    none: list[tuple[str, str]] = []
    for harvest in asked.facts.harvests:
        for name in harvest.products:
            product = asked.household.products.get(name)
            if product is None:
                continue
            found = line_for(asked, product, harvest, risks[harvest.crop])
            if isinstance(found, PutUpLine):
                lines.append(found)
            else:
                none.append((name, found))
        whole = comes_whole(harvest, _cuts(asked, harvest, risks[harvest.crop]))
        alone = [line for line in lines if line.product in harvest.each_gives]
        lines = [line for line in lines if line not in alone] + whole
        none = [(name, why) for name, why in none if all(name != line.product for line in whole)]
        none += [(line.product, f"{line.why}, too little for a whole one") for line in alone if not whole]
    lines.sort(key=lambda line: (line.first, line.crop, line.product))
    first = min((line.first for line in lines), default=asked.today)
    by_the_book = any(row.as_eaten for row in asked.at_crop()[1].values())
    cautions = season_cautions(asked, lines)
    return PutUpList(
        book_year_of(first, asked.household.year_opens), asked.today, tuple(lines), tuple(none), by_the_book, cautions,
        asked.household.measures == "metric", asked.household.year_opens,
    )  # fmt: skip


def _cuts(asked: SeasonQuestion, harvest: Harvest, risk: CropRisk) -> list[PutUpLine]:
    """A line, one to a load, for each product that an animal of the harvest gives, wanted or not."""
    out = []
    for name in harvest.each_gives:
        product = asked.household.products[name]
        shelf = shelf_for(asked, product, harvest, risk, carried_over(asked, name))
        line = _line(asked, shelf, window_of(asked.household, name, harvest))
        need, most = shelf.need, int(shelf.carried) + shelf.aim + ceil(10 * harvest.each_gives[name])
        still = float(line.risk.still_brings * shelf.a_year)
        chances = chances_wanted(float(shelf.a_year), need.spread, float(line.risk.fails), still, most, asked.seed)
        out.append(replace(line, chances=tuple(chances[int(shelf.carried) :])))
    return out


def crop_risk(asked: SeasonQuestion, harvest: Harvest) -> CropRisk:
    """The odds that a crop fails, and what share of the need a failed one still brings.

    The share is as written; failing that, what came of the running season, if that was such a year
    (less than half the need put up, with too little carried over to have been the cook's choice).
    """
    odds = asked.facts.odds_of(harvest.crop)
    if odds is None:
        return CropRisk(Fraction(0), Fraction(0))
    if odds.still_brings is not None:
        return CropRisk(1 / odds.one_year_in, odds.still_brings, odds.why)
    made = called = carried = Fraction(0)
    for name in harvest.products:
        running = this_year(asked, name)
        if name in asked.household.products and running is not None:
            quarts = first_content(asked.household.products[name])
            made += running.put_up * quarts
            carried += running.carried_in * quarts
            called += need_of(asked, name).a_year * quarts
    failed = bool(called) and made < called / 2 and carried < called * 3 / 4
    return CropRisk(1 / odds.one_year_in, made / called if failed else Fraction(0), odds.why)


def book_and_menus(asked: SeasonQuestion) -> tuple[TwoNeeds, ...]:
    """Where the year by the book and by the menus differ, of everything that a crop is put up as."""
    names = dict.fromkeys(name for harvest in asked.facts.harvests for name in harvest.products)
    ours = [asked.household.products[name] for name in names if name in asked.household.products]
    needs = [(p, need_by_the_book(asked, p.name)) for p in ours if not why_never(asked, p)]
    return where_they_differ(asked.household, needs, asked.menus(), frozenset(asked.facts.chosen))


def why_never(asked: SeasonQuestion, product: Product) -> str:
    """Why a product is not to be put up, whatever the table uses of it; '' where nothing forbids it."""
    if not product.on_menus:
        return "kept off every menu: for gifts only"
    if all_held(asked.household, product.name):
        return "every jar of it is held: not again without a current tested recipe"
    return may_not_be_planned(asked, product, product.sizes[0].name)


class CropShelf(Struct, frozen=True):
    """How full the shelf of one product is to be. risk: that its crop fails.

    carried: whole containers carried over. aim: what should stand there once the crop is in; served: what that gives.
    """

    product: Product
    harvest: Harvest
    need: Need
    risk: CropRisk
    carried: Fraction
    aim: int
    plain: Fraction
    served: float

    @property
    def a_year(self) -> int:
        """Whole containers that a year needs."""
        return ceil(self.need.a_year)


def laid_by_against(product: Product, risk: CropRisk) -> CropRisk:
    """The risk that a reserve is laid by against: none where roots would not wait for the year that fails."""
    return risk if keeps_two_years(product) else CropRisk(Fraction(0), Fraction(0), risk.note)


def shelf_for(
    asked: SeasonQuestion, product: Product, harvest: Harvest, risk: CropRisk, carried: Fraction
) -> CropShelf:
    """The aim of one product of which something is needed."""
    need, against = need_of(asked, product.name), laid_by_against(product, risk)
    a_year = Fraction(ceil(need.a_year))
    plain = a_year * (1 + against.fails)
    still = float(against.still_brings * a_year)
    served_aim, seasons = aim_for_service(
        float(a_year), need.spread, float(against.fails), still, asked.facts.service, asked.seed
    )
    aim = max(served_aim, ceil(plain))
    return CropShelf(product, harvest, need, risk, carried, aim, plain, seasons.served)


def shelves_of(asked: SeasonQuestion) -> list[CropShelf]:
    """The shelf of every product that a crop is put up as and of which something is needed, listed this year or not."""
    out, seen = [], set()
    for harvest in asked.facts.harvests:
        risk = crop_risk(asked, harvest)
        for product in (asked.household.products.get(name) for name in harvest.products):
            if product is None or product.name in seen or why_never(asked, product):
                continue
            seen.add(product.name)
            if need_of(asked, product.name).a_year > 0:
                out.append(shelf_for(asked, product, harvest, risk, carried_over(asked, product.name)))
    return out


def line_for(
    asked: SeasonQuestion, product: Product, harvest: Harvest, risk: CropRisk, days: tuple[date, date] | None = None
) -> PutUpLine | str:
    """One product's line; or, in words, why none is to be put up.

    days: first and last of a crop that is in today; else the harvest's next.
    """
    if never := why_never(asked, product):
        return never
    need = need_of(asked, product.name)
    to_use = Fraction(floor(shelf_of(asked.household, product.name).to_use))
    carried, days = (
        (to_use, days)
        if days
        else (carried_over(asked, product.name), window_of(asked.household, product.name, harvest))
    )
    if need.a_year <= 0:
        return none_words(need, on_shelf(asked, product.name), product.sizes[0].name, carried)
    shelf = shelf_for(asked, product, harvest, risk, carried)
    if shelf.aim <= carried or carried >= shelf.a_year:  # a year's worth is carried over: skip a year after a glut
        return none_words(need, on_shelf(asked, product.name), product.sizes[0].name, carried)
    return _line(asked, shelf, days)


def keeps_two_years(product: Product) -> bool:
    """Whether a reserve against next year's failure can be laid by at all: roots do not wait."""
    return product.keeps_months is None or product.keeps_months >= LEAST_KEEPING_MONTHS


def _line(asked: SeasonQuestion, shelf: CropShelf, days: tuple[date, date]) -> PutUpLine:
    product, need, carried = shelf.product, shelf.need, int(shelf.carried)
    risk, way = laid_by_against(product, shelf.risk), way_of(product)
    size = product.sizes[0].name
    wanted, load = max(0, shelf.aim - carried), load_of(asked, product)
    loads = whole_loads(wanted, load)
    jars = loads * load
    still = float(risk.still_brings * shelf.a_year)
    chances = chances_wanted(float(shelf.a_year), need.spread, float(risk.fails), still, carried + jars, asked.seed)
    raw, boxes, feet, plants = _ground(asked, product, jars, size)
    hours = hours_of(asked, product)
    kept = seed_kept(asked, product.name)
    seed = f", and {counted(kept, size)} of seed besides" if kept else ""
    return PutUpLine(
        product=product.name,
        size=size,
        crop=shelf.harvest.crop,
        need=need,
        risk=risk,
        carried_over=Fraction(carried),
        aim=shelf.aim,
        wanted=wanted,
        loads=loads,
        load=load,
        served=shelf.served,
        plain_sum=shelf.plain,
        chances=chances_by_load(chances[carried:], load),
        flats=asked.losses.lids_for(jars) if way == "canner" else 0,
        way=way,
        first=days[0],
        last=days[1],
        hours_first_load=hours[0],
        hours_next_load=hours[1],
        worth=worth_of(product),
        why=why_words(need, carried, risk) + ": " + load_words(jars, size, loads, way) + seed,
        raw_lb=raw,
        containers_in=boxes,
        row_ft=feet,
        plants=plants,
        raw_lb_a_load=(raw.low + raw.high) / 2 / loads if raw else Fraction(0),
        litres_each=litres_of(product) if way == "freezer" else Fraction(0),
        grown=shelf.harvest.grown,
        comes=coming(asked, product.name, shelf.harvest, days),
        cautions=cautions_of(asked, product, size),
    )


def coming(
    asked: SeasonQuestion, name: str, harvest: Harvest, days: tuple[date, date]
) -> tuple[tuple[date, Fraction], ...]:
    """What share of a crop has come in by the end of each of its weeks (Monday, share), the last of them the whole.

    By the days on which the household expects it, where it expects it on several, or on the one on which an animal is
    cut; else evenly from its first day to its last. None where it comes within one week.
    """
    first, last = days
    weeks = [first - timedelta(days=first.weekday())]
    while weeks[-1] + timedelta(days=7) <= last:
        weeks.append(weeks[-1] + timedelta(days=7))
    ours = [e for e in asked.facts.expected if e.product == name and first <= e.day <= last]
    own = [asked.household.products[n] for n in harvest.products if n in asked.household.products]
    cut_up = not harvest.grown and any(p.kind == "freezer" and not frozen_here(p) for p in own)
    if name in harvest.each_gives and not ours:
        return ()  # it is there when the animal is cut up
    if len({e.day for e in ours}) > (0 if cut_up else 1):
        total = sum((e.amount for e in ours), Fraction(0))
        there = [
            sum((e.amount for e in ours if e.day < week + timedelta(days=7)), Fraction(0)) / total for week in weeks
        ]
    else:
        there = [
            Fraction((min(last, week + timedelta(days=6)) - first).days + 1, (last - first).days + 1) for week in weeks
        ]
    return tuple(zip(weeks, there, strict=True)) if len(weeks) > 1 else ()


def worth_of(product: Product) -> Fraction:
    """What a container is worth, to weigh one against another: its store price, else as much a quart as is usual."""
    return product.price_usd or USUAL_WORTH_A_QUART * (quarts_in(product.sizes[0].name) or Fraction(1))


def _ground(
    asked: SeasonQuestion, product: Product, jars: int, size: str
) -> tuple[SpanOf | None, SpanOf | None, SpanOf | None, SpanOf | None]:
    name = asked.tables.of(product)
    raw = raw_pounds(asked.tables, name, jars, size)
    if raw is None and product.kind == "cellar" and product.measure == "g":
        pounds = Fraction(jars) * first_content(product) / UNITS["lb"][1]
        raw = SpanOf(pounds, pounds, "lb", "by weight")
    boxes = containers_for(asked.tables, name, jars, size)
    if raw is None or name is None or not name.garden:
        return raw, boxes, None, None
    feet, plants = row_feet(asked.tables, name.garden, raw), plants_for(asked.tables, name.garden, raw)
    if feet and plants and feet.from_memory and not plants.from_memory:
        feet = None  # a recalled figure beside one that was read: eight feet of row for one tomato plant
    return raw, boxes, feet, plants


def ground_lb(asked: SeasonQuestion, crop: str, garden_names: Iterable[str]) -> Fraction | None:
    """Pounds that the household's rows, plants or trees of a crop bring in a fair year; None: not known.

    The household's own hopes where written; else plants times pounds a plant, or feet times pounds
    a foot, in the middle of the published ranges.
    """
    ground = asked.facts.ground_of(crop)
    if ground is None:
        return asked.facts.tree_lb.get(crop)
    if ground.hoped_lb is not None:
        return ground.hoped_lb
    for name in garden_names:
        plant, foot = pounds_a_plant(asked.tables, name), pounds_a_foot(asked.tables, name)
        if ground.plants and plant is not None:
            return ground.plants * (plant.low + plant.high) / 2
        if ground.row_ft and foot is not None:
            return ground.row_ft * (foot.low + foot.high) / 2
    return None
