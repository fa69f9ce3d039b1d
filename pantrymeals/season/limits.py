"""What a season may not go beyond: jars, lids, hours, freezer, shelf and ground, as limits of one shape.

A limit has an amount for each week, for the weeks up to a week ('running': jars that come free as
they are emptied), or for the whole season; and what one load of each product takes of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import floor
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.forecast.sitters import in_house
from pantrymeals.plans.season import PutUpLine
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion, first_content, need_of, rate_now
from pantrymeals.season.kitchen_work import litres_of
from pantrymeals.season.put_up_list import ground_lb
from pantrymeals.season.words import counted
from pantrymeals.season.yields import jar_words, pounds_a_foot
from pantrymeals.season_facts import CANNING_DAYS, Hours, YearDay
from pantrymeals.units import JAR_SIZES, LITRES_A_QUART, METRES_A_FOOT
from pantrymeals.words import many

Span = Literal["week", "running", "season"]
GRAIN = 100
"""Limits are kept in hundredths of their unit, rounded to the careful side."""


class Limit(Struct, frozen=True):
    """One thing there is only so much of, in hundredths of ``unit``.

    have: by Monday for 'week' and 'running' (what there is by the end of that week); a season's
    limit has one entry, under the season's first Monday. takes: by product, what one load takes;
    starts: what its first load of a day takes more than the next ('week' hours only).
    freed: by product and week, at most how much of what its new jars took comes free by then, as they
    are eaten ('running'). step: how much 'one more' is. pool: another limit that it may borrow from,
    at ``pool_rate`` hundredths of that one for each hundredth here.
    """

    name: str
    unit: str
    span: Span
    have: Mapping[date, int]
    takes: Mapping[str, int]
    starts: Mapping[str, int] = field(default_factory=dict)
    freed: Mapping[str, Mapping[date, int]] = field(default_factory=dict)
    step: int = 0
    step_words: str = ""
    pool: str = ""
    pool_rate: Fraction = Fraction(0)

    @property
    def in_all(self) -> int:
        """What there is for the whole season."""
        return next(iter(self.have.values()))


class SeasonLimits(Struct, frozen=True):
    """All limits of a season, and how loads may be laid on days."""

    limits: tuple[Limit, ...]
    most_loads_a_day: int
    canning_days: int = CANNING_DAYS


class Without(Struct, frozen=True):
    """What is taken away in a what-if: jars by size, flats, hours a week, feet of row, litres of freezer."""

    jars: Mapping[str, int] = field(default_factory=dict)
    flats: int = 0
    hours_a_week: Fraction = Fraction(0)
    row_ft: Fraction = Fraction(0)
    litres: Fraction = Fraction(0)


def monday(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def weeks_of(line: PutUpLine) -> tuple[date, ...]:
    """The Mondays of the weeks in which a line's crop is in."""
    first, last = monday(line.first), monday(line.last)
    return tuple(first + timedelta(days=7 * i) for i in range((last - first).days // 7 + 1))


def open_days(line: PutUpLine, week: date, canning_days: int = CANNING_DAYS) -> tuple[int, ...]:
    """Which canning days of a week (0 = Monday) fall within a line's crop."""
    return tuple(i for i in range(canning_days) if line.first <= week + timedelta(days=i) <= line.last)


def eaten_from_new(line: PutUpLine, mondays: Iterable[date], each: Fraction) -> dict[date, int]:
    """At most how much comes free of what a line's new containers take, week by week, in hundredths.

    each: of the limit's unit that one container takes. They are eaten at the year's pace from the
    week after the crop's last day, when the old ones are surely gone or older ones are eaten first.
    """
    begin = monday(line.last) + timedelta(days=7)
    return {m: floor(line.need.a_year / 52 * ((m - begin).days // 7) * each * GRAIN) for m in mondays if m > begin}


def season_limits(
    asked: SeasonQuestion, lines: Iterable[PutUpLine], without: Without | None = None, flats_to_buy: int | None = None
) -> SeasonLimits:
    """Every limit the household has written figures for.

    flats_to_buy: how many flat lids may be bought at most; None: as many as are needed.
    """
    lines, less = tuple(lines), without or Without()
    mondays = sorted({m for line in lines for m in weeks_of(line)})
    if not mondays:
        return SeasonLimits((), asked.facts.most_loads_a_day)
    found = [
        *_jar_limits(asked, lines, mondays, less),
        *_flat_limit(asked, lines, mondays, less, flats_to_buy),
        *_hour_limit(asked, lines, mondays, less),
        *_freezer_limit(asked, lines, mondays, less),
        *_shelf_limit(asked, lines, mondays),
        *_ground_limits(asked, lines, mondays, less),
    ]
    return SeasonLimits(tuple(found), asked.facts.most_loads_a_day)


def use_by(asked: SeasonQuestion, product: Product, day: date) -> Fraction:
    """Containers of what is in the house now that will be empty by a day, at the year's pace."""
    need = need_of(asked, product.name)
    rate = rate_now(asked, product.name)
    pace = rate if rate is not None else need.a_year / 52
    weeks = Fraction(max(0, (day - asked.today).days), 7)
    return min(in_house(asked.household, product.name), pace * weeks)


def _at_least_nothing(amount: Fraction) -> int:
    """In hundredths. What is already spoken for beyond what there is leaves nothing, not less."""
    return max(0, floor(amount * GRAIN))


def _in_jars(asked: SeasonQuestion, size: str) -> list[Product]:
    return [
        p
        for p in asked.household.products.values()
        if p.sizes[0].name == size and (p.kind == "jar" or p.name in asked.facts.jars_besides)
    ]


def _loosening(
    asked: SeasonQuestion, name: str, unit: str, mondays: Iterable[date], free: Fraction,
    step: tuple[int | Fraction, str], takes: Mapping[str, int],
    each: Mapping[str, Fraction], freed: Mapping[str, Mapping[date, int]] | None = None,
) -> Limit:  # fmt: skip
    """A limit that loosens as what is in the house is eaten.

    free: of the unit, today. each: what a container of each product in the house takes of it.
    """
    products = asked.household.products
    have = {m: free + sum((use_by(asked, products[n], m) * of for n, of in each.items()), Fraction(0)) for m in mondays}
    at_least = {m: _at_least_nothing(amount) for m, amount in have.items()}
    size, words = floor(step[0] * GRAIN), step[1]
    return Limit(name, unit, "running", at_least, takes, freed=freed or {}, step=size, step_words=words)


def _jar_limits(asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date], less: Without) -> list[Limit]:
    out = []
    for size, empties in asked.facts.empties.items():
        ours = [
            line
            for line in lines
            if line.size == size and (line.way == "canner" or line.product in asked.facts.jars_besides)
        ]
        if not ours:
            continue
        takes = {line.product: line.load * GRAIN for line in ours}
        freed = {line.product: eaten_from_new(line, mondays, Fraction(1)) for line in ours}
        products = _in_jars(asked, size)
        free = empties - less.jars.get(size, 0) - _filled_before(asked, products, mondays[0])
        step = 12, f"a dozen more {counted(2, size).split(' ', 1)[1] if size in JAR_SIZES else many(size)}"
        name, each = f"{jar_words(size)} jars", {p.name: Fraction(1) for p in products}
        out.append(_loosening(asked, name, name, mondays, free, step, takes, each, freed))
    return out


def _filled_before(asked: SeasonQuestion, products: list[Product], first: date) -> Fraction:
    """Jars that will be filled between today and the season's first week, by what is expected."""
    by_name = {p.name: p for p in products}
    return sum(
        (
            coming.amount / first_content(by_name[coming.product])
            for coming in asked.facts.expected
            if coming.product in by_name and asked.today < coming.day < first
        ),
        Fraction(0),
    )


def _flat_limit(
    asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date], less: Without,
    to_buy: int | None,
) -> list[Limit]:  # fmt: skip
    takes = {line.product: asked.losses.lids_for(line.load * GRAIN) for line in lines if line.flats}
    if not takes or (to_buy is None and not less.flats):
        return []
    have = max(0, sum(asked.facts.flats.values()) - less.flats) + (to_buy or 0)
    return [
        Limit("lids", "lids", "season", {mondays[0]: have * GRAIN}, takes,
              step=12 * GRAIN, step_words="a dozen more lids")
    ]  # fmt: skip


def hours_in_week(hours: Iterable[Hours], first_day: date) -> Fraction:
    """Kitchen hours of the week that begins then; a week across two spans has its days' share of each."""
    total = Fraction(0)
    for offset in range(7):
        day = first_day + timedelta(days=offset)
        spot = (day.month, day.day)
        total += sum((h.a_week / 7 for h in hours if _within(spot, h)), Fraction(0))
    return total


def _within(spot: YearDay, hours: Hours) -> bool:
    """Whether a day of the year lies in the span of some hours, which may run over the new year."""
    if hours.first <= hours.last:
        return hours.first <= spot <= hours.last
    return spot >= hours.first or spot <= hours.last


def _hour_limit(asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date], less: Without) -> list[Limit]:
    if not asked.facts.hours:
        return []
    have = {
        m: floor(max(Fraction(0), hours_in_week(asked.facts.hours, m) - less.hours_a_week) * GRAIN) for m in mondays
    }
    busy = [line for line in lines if line.hours_first_load > 0]
    return [
        Limit(
            "kitchen hours", "hours", "week", have,
            {line.product: round(line.hours_next_load * GRAIN) for line in busy},
            {line.product: round((line.hours_first_load - line.hours_next_load) * GRAIN) for line in busy},
            step=GRAIN, step_words="one more hour",
        )
    ]  # fmt: skip


def _freezer_limit(
    asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date], less: Without
) -> list[Limit]:
    if asked.facts.free_litres is None:
        return []
    takes = {line.product: round(line.litres_each * line.load * GRAIN) for line in lines if line.litres_each}
    each = {p.name: litres_of(p) for p in asked.household.products.values() if p.kind == "freezer"}
    free, step = asked.facts.free_litres - less.litres, _more_freezer(asked)
    return [_loosening(asked, "freezer", "litres", mondays, free, step, takes, each)]


def _shelf_limit(asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date]) -> list[Limit]:
    """Width of shelf, counted through depth and tiers, less what stands there now."""
    width = asked.facts.jar_width_mm
    if not asked.facts.shelf_mm or not width:
        return []
    takes = {
        line.product: round(width[line.size] * line.load * GRAIN / 1000)
        for line in lines
        if line.way == "canner" and line.size in width
    }
    metres = {size: mm / 1000 for size, mm in width.items()}
    jars = [p for p in asked.household.products.values() if p.kind == "jar" and p.sizes[0].name in metres]
    each = {p.name: metres[p.sizes[0].name] for p in jars}
    free = asked.facts.shelf_mm / 1000 - sum((in_house(asked.household, n) * of for n, of in each.items()), Fraction(0))
    return [_loosening(asked, "jar shelves", "metres", mondays, free, _more_shelf(asked), takes, each)]


def _more_freezer(asked: SeasonQuestion) -> tuple[Fraction, str]:
    """A step of freezer room, in litres, and in the household's own words."""
    if asked.household.measures == "metric":
        return Fraction(10), "10 litres more of freezer"
    return 10 * LITRES_A_QUART, "10 quarts more of freezer"


def _more_shelf(asked: SeasonQuestion) -> tuple[Fraction, str]:
    """A step of shelf, in metres, and in the household's own words."""
    if asked.household.measures == "metric":
        return Fraction(1), "a metre more of shelf"
    return 3 * METRES_A_FOOT, "3 feet more of shelf"


def _ground_limits(
    asked: SeasonQuestion, lines: tuple[PutUpLine, ...], mondays: list[date], less: Without
) -> list[Limit]:
    """Pounds that rows, plants and trees bring, crop by crop; open rows may borrow free ground."""
    out: list[Limit] = []
    free = max(Fraction(0), asked.facts.ground_free_ft - less.row_ft)
    for crop in dict.fromkeys(line.crop for line in lines if line.grown and line.raw_lb_a_load):
        ours = [line for line in lines if line.crop == crop and line.raw_lb_a_load]
        names = _garden_names(asked, ours)
        pounds = ground_lb(asked, crop, names)
        if pounds is None:
            continue
        foot = next((f for n in names if (f := pounds_a_foot(asked.tables, n)) is not None), None)
        ground = asked.facts.ground_of(crop)
        may_borrow = foot is not None and ground is not None and not ground.under_cover
        each = (foot.low + foot.high) / 2 if foot is not None else Fraction(1)
        out.append(
            Limit(
                f"{crop}: rows, plants or trees", "lb", "season", {mondays[0]: floor(pounds * GRAIN)},
                {line.product: round(line.raw_lb_a_load * GRAIN) for line in ours},
                pool="free ground" if may_borrow else "", pool_rate=1 / each if may_borrow else Fraction(0),
            )
        )  # fmt: skip
    if any(limit.pool for limit in out):
        metric = asked.household.measures == "metric"
        step = floor(3 / METRES_A_FOOT * GRAIN) if metric else 10 * GRAIN
        more = "3 m more of row" if metric else "10 ft more of row"
        out.append(
            Limit("free ground", "ft of row", "season", {mondays[0]: floor(free * GRAIN)}, {},
                  step=step, step_words=more)
        )  # fmt: skip
    return out


def _garden_names(asked: SeasonQuestion, lines: Iterable[PutUpLine]) -> list[str]:
    out = []
    for line in lines:
        product = asked.household.products[line.product]
        name = asked.tables.of(product)
        if name is not None and name.garden:
            out.append(name.garden)
    return list(dict.fromkeys(out))


def one_more_of(limits: SeasonLimits, name: str, week: date | None = None) -> SeasonLimits:
    """The same limits with one step more of one of them (in one week only, where a week is named)."""

    def more(limit: Limit) -> Limit:
        if limit.name != name or not limit.step:
            return limit
        return replace(
            limit, have={m: h + (limit.step if week is None or m == week else 0) for m, h in limit.have.items()}
        )

    return replace(limits, limits=tuple(more(limit) for limit in limits.limits))
