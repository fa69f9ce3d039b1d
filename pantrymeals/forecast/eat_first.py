"""What must be eaten this week before it goes over, and the weekly round of cellar, loft and bins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.cautions import APART, STANDING_LINE, CautionShown, shown, shown_in
from pantrymeals.forecast.history import containers
from pantrymeals.forecast.keeping import (
    Keeping,
    KeepingRow,
    bad_neighbours,
    keeping_of,
    names_any,
    published_keeping,
    text_of,
)
from pantrymeals.forecast.ready_dishes import dishes_for
from pantrymeals.forecast.words import day_words
from pantrymeals.larder.on_hand import amount_in, put_up_about
from pantrymeals.larder.opened_life import life_of
from pantrymeals.plans.outlook import EatFirst, Forecast, ForecastRow, MustGo, RoundLine
from pantrymeals.records import Household, Lot, PartJar, Product

_MONTH_DAYS = 365.25 / 12
_LOOK_FOR: tuple[tuple[str, str], ...] = (
    ("potato", "eyes opening, soft or green ones, wet rot"),
    ("onion", "soft necks, sprouts, damp skins"),
    ("garlic", "sprouts, dry or soft cloves"),
    ("squash", "spots, a soft stem end, mould"),
    ("pumpkin", "spots, a soft stem end, mould"),
    ("apple", "wrinkles, brown spots, one rotten one among them"),
    ("pear", "soft at the neck, brown at the core"),
    ("cabbage", "slimy or yellow outer leaves"),
    ("leek", "yellow leaves, soft shanks"),
)
"""What to look for: common practice, no published source."""
_LOOK_FOR_ROOTS = "soft or shrivelled ones, sprouts, rot"


def eat_first(household: Household, forecast: Forecast, rows: Sequence[KeepingRow]) -> EatFirst:
    """The list for today: part jars, keepers that will not wait, old packs and jars; the round; cautions."""
    must_go = [
        *(_part_jar(household, jar) for jar in household.part_jars),
        *_keepers(household, forecast, rows),
        *_old_packs(household, rows),
        *_old_jars(household, rows),
    ]
    names = frozenset(m.product for m in must_go)
    found = dishes_for(household, names)
    shown = tuple(_with_dishes(m, found) for m in sorted(must_go, key=_order))
    return EatFirst(household.name, household.today, shown, cellar_round(household, rows), _cautions(household, shown))


def _order(must_go: MustGo) -> tuple[int, date, str]:
    kinds = ("part jar", "keeper", "frozen", "jar")
    return kinds.index(must_go.kind), must_go.eat_by or date.max, must_go.product


def _with_dishes(must_go: MustGo, found: Mapping[str, tuple[str, ...]]) -> MustGo:
    if must_go.past and must_go.kind == "part jar":
        return must_go
    return replace(must_go, dishes=found.get(must_go.product, ()))


def _part_jar(household: Household, jar: PartJar) -> MustGo:
    product, today = household.products[jar.product], household.today
    last = life_of(product, jar).last
    opened = f"{'to be opened' if jar.opened > today else 'opened'} {day_words(jar.opened, today)}"
    past = last is not None and last < today
    if last is None:
        why = f"{opened}; no last day is written down for it"
    elif past:
        why = f"{opened}, its last day was {day_words(last, today)}: throw it out without tasting"
    else:
        why = f"{opened}, " + ("today is its last day" if last == today else f"last day {day_words(last, today)}")
    source = product.opened_source or "the household's own figure (opened_days)"
    left = float(jar.left / _content(product, jar.size))
    return MustGo("part jar", jar.product, jar.size, left, jar.where, last, past, why, source)


def _content(product: Product, size: str) -> Fraction:
    """What one such container holds: a part jar is told in its own size, not in the product's first."""
    own = product.size(size)
    return (product.sizes[0] if own is None else own).content


def _keepers(household: Household, forecast: Forecast, rows: Sequence[KeepingRow]) -> list[MustGo]:
    """What does not keep and is marked eat first at either pace."""
    return [
        _keeper(household, row, keeping_of(household.products[row.product], rows))
        for row in forecast.rows
        if "eat first" in row.marks()
    ]


def _keeper(household: Household, row: ForecastRow, keeping: Keeping | None) -> MustGo:
    lots = [lot for lot in household.lots if lot.product == row.product and lot.state == ""]
    noted = "; ".join(dict.fromkeys(lot.note for lot in lots if lot.note))
    pace = row.leading() if row.leading().mark == "eat first" else row.as_planned
    why = pace.reason.rstrip(".") + (f" ({noted})" if noted else "") + (f": {pace.advice}" if pace.advice else "")
    assert row.eat_by is not None  # or it would not be marked
    return MustGo(
        kind="keeper",
        product=row.product,
        size=row.size,
        amount=row.on_hand - row.reserve,
        where=", ".join(dict.fromkeys(lot.where for lot in lots)),
        eat_by=row.eat_by,
        past=row.eat_by < household.today,
        why=why,
        source="the household's own day (keeps to)" if keeping is None else _said(keeping),
    )


def _old_packs(household: Household, rows: Sequence[KeepingRow]) -> list[MustGo]:
    """Frozen lots past their best by the published months, or by the household's own."""
    return _past_their_best(household, rows, "freezer", "frozen", "past its best: flavour goes first")


def _old_jars(household: Household, rows: Sequence[KeepingRow]) -> list[MustGo]:
    return _past_their_best(household, rows, "jar", "jar", "over its best year: open the oldest first")


def _past_their_best(
    household: Household, rows: Sequence[KeepingRow], kind: str, shown_as: str, words: str
) -> list[MustGo]:
    old: dict[str, list[Lot]] = {}
    for lot in household.lots:
        product = household.products[lot.product]
        keeping = keeping_of(product, rows)
        if product.kind == kind and lot.state == "" and lot.count > 0 and keeping and product.on_menus:
            best_to = best_until(lot, keeping)
            if best_to is not None and best_to < household.today:
                old.setdefault(lot.product, []).append(lot)
    return [_old_one(household, rows, name, lots, shown_as, words) for name, lots in old.items()]


def _old_one(
    household: Household, rows: Sequence[KeepingRow], name: str, lots: list[Lot], shown_as: str, words: str
) -> MustGo:
    product = household.products[name]
    keeping = keeping_of(product, rows)
    assert keeping is not None  # only lots with a figure come here
    amount = containers(product, sum((amount_in(product, lot) for lot in lots), Fraction(0)))
    first = min(lots, key=lambda lot: lot.put_up or date.max)
    when = str(first.put_up.year) if first.year_only and first.put_up else day_words(first.put_up or date.min, date.min)
    where = ", ".join(dict.fromkeys(lot.where for lot in lots))
    why = f"put up {when}, {words}"
    size, until = product.sizes[0].name, best_until(first, keeping)
    return MustGo(shown_as, name, size, amount, where, until, True, why, _said(keeping))


def best_until(lot: Lot, keeping: Keeping) -> date | None:
    """The day to which a lot is at its best; a year alone counts from its summer's end; None: day unknown."""
    begin = put_up_about(lot)
    return begin and begin + timedelta(days=round(keeping.high_months * _MONTH_DAYS))


def _said(keeping: Keeping) -> str:
    months = f"{keeping.low_months:g}-{keeping.high_months:g}".replace(
        f"{keeping.low_months:g}-{keeping.low_months:g}", f"{keeping.low_months:g}"
    )
    memory = ", from memory" if keeping.from_memory else ""
    return f"{months} months: {keeping.source}{memory}"


def cellar_round(household: Household, rows: Sequence[KeepingRow]) -> tuple[RoundLine, ...]:
    """Every cellar lot in walking order, with its age, what is published of its keeping, what to look for."""
    walk = {place.code: at for at, place in enumerate(household.places)}
    names = {place.code: place.name for place in household.places}
    lines = []
    for lot in household.lots:
        product = household.products[lot.product]
        if product.kind == "cellar" and lot.count > 0 and lot.state != "held":
            lines.append((walk.get(lot.where, len(walk)), _round_line(household, lot, names, rows)))
    return tuple(line for _, line in sorted(lines, key=lambda x: (x[0], x[1].product)))


def _round_line(household: Household, lot: Lot, names: Mapping[str, str], rows: Sequence[KeepingRow]) -> RoundLine:
    product = household.products[lot.product]
    published = published_keeping(product, rows)
    weeks = None if lot.put_up is None or lot.year_only else (household.today - lot.put_up).days // 7
    text = text_of(product)
    look = next((words for key, words in _LOOK_FOR if names_any(text, (key,))), _LOOK_FOR_ROOTS)
    keeps = f"{published.low_months:g} to {published.high_months:g} months" if published else ""
    note = "; ".join(part for part in ("seed: not to be eaten" if lot.state == "seed" else "", lot.note) if part)
    return RoundLine(
        lot.where, names.get(lot.where, lot.where), lot.product, lot.size, float(lot.count), weeks, keeps,
        _said(published) if published else "", look, note,
    )  # fmt: skip


def _cautions(household: Household, must_go: Sequence[MustGo]) -> tuple[CautionShown, ...]:
    """Each caution at its moment, and only then."""
    kinds = {m.kind for m in must_go}
    cellar = [household.products[x.product] for x in household.lots if x.count > 0]
    text = [text_of(p) for p in cellar if p.kind == "cellar"]
    potatoes = any("potato" in t for t in text)
    first = {"C15": "part jar" in kinds, "C11": "jar" in kinds, "C18": "frozen" in kinds, "C20": potatoes}
    return (
        *shown_in((shown(code) for code, due in first.items() if due), metric=household.measures == "metric"),
        *(_neighbour_caution(n.where, n.giver, n.suffers, n.caution) for n in bad_neighbours(household)),
        *([shown("C22")] if text else []),
        *([CautionShown("", STANDING_LINE)] if kinds & {"part jar", "jar"} else []),
    )


def _neighbour_caution(where: str, giver: str, suffers: Sequence[str], number: str) -> CautionShown:
    beside = f"{where}: {giver} beside {', '.join(suffers)}. "
    return shown("C21", beside) if number == "C21" else replace(APART, words=beside + APART.words)
