"""What the season's list takes that is bought: lids and jars, sugar and the like, seed; by when, and for how much."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from math import ceil

from pantrymeals.forecast.shelf import shelf_of
from pantrymeals.larder.must_reach import comes_round
from pantrymeals.plans.season import FittedSeason, PutUpLine, ToBuy
from pantrymeals.season.asked import SeasonQuestion, first_content, standing_a_year
from pantrymeals.season.words import counted
from pantrymeals.season.yields import jar_words


def to_buy(asked: SeasonQuestion, lines: Iterable[PutUpLine], fitted: FittedSeason) -> tuple[ToBuy, ...]:
    """Everything to be bought for what fits, in the order of lids, jars, goods and seed."""
    lines = tuple(lines)
    first: dict[str, date] = {}
    for item in fitted.days:
        first[item.product] = min(item.day, first.get(item.product, item.day))
    fits = {line.product: fitted.loads.get(line.product, line.loads) * line.load for line in lines}
    found = [
        *_lids(asked, lines, fits, fitted, first), *_jars(asked, lines, fits, fitted, first),
        *(bought for of in dict.fromkeys(g.of for g in asked.facts.jar_goods)
          if (bought := _good(asked, of, fits, fitted, first))),
        *_seed(asked, lines),
    ]  # fmt: skip
    return tuple(found)


def _begins(first: dict[str, date], products: Iterable[str]) -> date | None:
    """The day on which the first of these products is put up; None where none of them is."""
    return min((first[name] for name in products if name in first), default=None)


def _in_all(price: Fraction | None, count: int | Fraction) -> Fraction | None:
    """What so many cost; None where no price is written."""
    return None if price is None else price * count


def _lids(
    asked: SeasonQuestion, lines: tuple[PutUpLine, ...], fits: dict[str, int], fitted: FittedSeason,
    first: dict[str, date],
) -> Iterator[ToBuy]:  # fmt: skip
    jars = sum(fits[line.product] for line in lines if line.flats)
    by = _begins(first, (line.product for line in lines if line.flats))
    losses = asked.losses
    why = f"{jars} jars take {losses.lids_for(jars)} lids ({losses.told_by})"
    why += f"; {sum(asked.facts.flats.values()) or 'none'} on hand"
    for kind, count in fitted.flats_to_buy.items():
        if count:
            kinds = f"{kind} lids" if len(asked.facts.flats) > 1 or asked.facts.wide_share else "lids"
            yield ToBuy(kinds, Fraction(count), "", by, _in_all(asked.facts.lid_price, count), why)
            why = ""


def _jars(
    asked: SeasonQuestion, lines: tuple[PutUpLine, ...], fits: dict[str, int], fitted: FittedSeason,
    first: dict[str, date],
) -> Iterator[ToBuy]:  # fmt: skip
    """Jars by size: for what is cut for want of them, in place of those that break, and of a size that is nowhere."""
    facts = asked.facts
    for size in dict.fromkeys(line.size for line in lines if line.flats):
        ours = [line for line in lines if line.flats and line.size == size]
        filled = sum(fits[line.product] for line in ours)
        named, parts, count = f"{jar_words(size)} jars", [], 0
        cut = sum(c.jars for c in fitted.cuts if c.size == size and named in c.why)
        if cut:
            parts.append(f"{cut} for what is cut for want of them")
        if (breaks := asked.losses.broken_of(filled)) and size in facts.empties:
            parts.append(f"{breaks} for those that break")
        count = cut + (breaks if size in facts.empties else 0)
        if facts.empties and size not in facts.empties:
            count = filled + breaks
            parts = [f"season.yaml counts no {named} of yours: count them, or they are all to be bought"]
        if count:
            by, cost = _begins(first, (line.product for line in ours)), _in_all(facts.jar_price.get(size), count)
            yield ToBuy(named, Fraction(count), "", by, cost, "; ".join(parts))


def _good(
    asked: SeasonQuestion, of: str, fits: dict[str, int], fitted: FittedSeason, first: dict[str, date]
) -> ToBuy | None:
    """What goes into jars beside the crop, less what is on hand when standing use has had its part."""
    product = asked.household.products[of]
    alike = [good for good in asked.facts.jar_goods if good.of == of]
    takes = sum((fits.get(name, 0) * g.each for g in alike for name in g.products), Fraction(0)) / first_content(
        product
    )
    ours = [name for g in alike for name in g.products if fits.get(name)]
    begin = _begins(first, ours)
    last = max((item.day for item in fitted.days if item.product in ours), default=None)
    if not takes or begin is None or last is None:
        return None
    beside = standing_a_year(asked, of) * (last - asked.today).days / 365
    there = shelf_of(asked.household, of).to_use
    count = Fraction(ceil(takes + beside - there))
    if count <= 0:
        return None
    coming = [a for a in asked.household.arrivals if a.product == of and asked.today <= a.day <= last]
    by = max((a.day for a in coming if a.day <= begin), default=begin)
    size = product.sizes[0].name
    stood = f" and standing use to then {counted(Fraction(ceil(beside)), size)}" if beside else ""
    why = f"jars take {counted(Fraction(ceil(takes)), size)}{stood}; {counted(Fraction(int(there)), size)} on hand"
    ordered = sum((a.amount for a in coming), Fraction(0)) / first_content(product)
    why += f"; the calendar has {counted(ordered, size)} coming in to then" if ordered else ""
    return ToBuy(of, count, size, by, _in_all(product.price_usd, count), why)


def _seed(asked: SeasonQuestion, lines: tuple[PutUpLine, ...]) -> Iterator[ToBuy]:
    """Packets for the rows as they stand of each crop of the list."""
    crops = {line.crop for line in lines}
    for seed in asked.facts.seed:
        ground = asked.facts.ground_of(seed.crop)
        if seed.crop not in crops or ground is None or not ground.row_ft:
            continue
        count = ceil(ground.row_ft / seed.sows_ft)
        by = comes_round(date(2000, *seed.by), asked.today) if seed.by else None
        yield ToBuy(f"seed of {seed.crop}", Fraction(count), "packet", by, _in_all(seed.price, count), "")
