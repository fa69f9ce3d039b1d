"""The sheet for a freezer that has lost its cold: what lies where, how long it stays cold, what to judge."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Literal

from pantrymeals.cautions import THAWED, in_own_measures, shown, shown_in
from pantrymeals.errors import PantryError
from pantrymeals.forecast.history import containers
from pantrymeals.forecast.keeping import names_any, text_of
from pantrymeals.larder.on_hand import amount_in
from pantrymeals.plans.outlook import Clock, FreezerOff, PackLine
from pantrymeals.records import Household, Lot, Product, StorePlace

FULL_H, HALF_FULL_H, FRIDGE_H, WARM_H = 48, 24, 4, 2
"""Hours a shut full or half-full freezer and a shut fridge stay cold, and hours above 40 F that perishable
food may stand: two different clocks. FoodSafety.gov; USDA FSIS; FDA; University of Alaska Extension (C16)."""

_DISCARD = "Ice crystals or 40 F (4 C) or below: may be refrozen. Above 40 F for more than 2 hours: throw out."
_PLAIN = (
    "Ice crystals or 40 F (4 C) or below: may be refrozen, though it will be softer. "
    "Warmer, or in doubt: throw out without tasting."
)
_GROUPS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("meat, poultry and fish",
     ("beef", "pork", "chicken", "lamb", "venison", "sausage", "bacon", "ham", "liver", "trout", "fish",
      "bones", "turkey", "goose", "duck"), _DISCARD),
    ("milk, cheese and eggs", ("egg", "milk", "cheese", "cream"), _DISCARD),
    ("soups and cooked dishes", ("soup", "stew", "stock", "pie", "pasta sauce", "broth", "paste"), _DISCARD),
    ("fats", ("butter", "lard"), _PLAIN),
    ("bread", ("bread", "loaf", "loaves", "dough"), _PLAIN),
)  # fmt: skip
_REST = "vegetables, fruit and the rest"


def freezer_off(
    household: Household, wanted: Sequence[str] = (), *, full: bool | None = None, off_since: datetime | None = None
) -> FreezerOff:
    """The sheet for the freezers named (all, if none is).

    full: True full, False half full, None as the place's note says, else not known (both clocks).
    Raises PantryError for a place that is no freezer.
    """
    places = freezers_named(household, wanted)
    codes = {place.code for place in places}
    metric = household.measures == "metric"
    packs = [_pack(household, lots) for lots in _by_shelf(household, codes)]
    return FreezerOff(
        household.name,
        household.today,
        tuple(f"{place.code}, {place.name}" for place in places),
        off_since,
        _clocks(places, full, off_since, metric=metric),
        tuple(sorted(packs, key=lambda p: (p.where, _rank(p.group), p.product))),
        _STEPS,
        shown_in((shown("C16"), THAWED), metric=metric),
    )


_STEPS = (
    "Keep it shut. Write down when it went off, and the temperature whenever it is opened.",
    "Put nothing warm in. A blanket over it helps, with the vents left free.",
    "When it is cold again, open it once and go through it shelf by shelf with this sheet.",
    "Feel and measure each pack on its own: a frozen bottom layer says nothing of the top.",
    "Meat, fish, milk, eggs and cooked dishes first; what is doubtful goes out, and is not tasted.",
    "Wipe up what has dripped: a pack that meat juice has run on is judged as meat.",
    "Write what goes out into the book as spoiled, so that the shelves and the book agree.",
)


def freezers_named(household: Household, wanted: Sequence[str]) -> list[StorePlace]:
    """The household's freezers, or those asked for by code or name; raises PantryError for any other."""
    freezers = [place for place in household.places if place.kind == "freezer"]
    if not freezers:
        raise PantryError("no place of kind freezer is written down in household.yaml")
    if not wanted:
        return freezers
    out = []
    for text in wanted:
        found = [p for p in freezers if text.lower() in (p.code.lower(), p.name.lower())]
        if not found:
            known = ", ".join(f"{p.code} ({p.name})" for p in freezers)
            raise PantryError(f"'{text}' is no freezer of this household; its freezers are {known}")
        out += found
    return out


Fullness = Literal["full", "half", "less", ""]

_NOT_HALF = re.compile(
    r"\b(quarter|third|fifth|tenth|nearly empty|almost empty|empty|never|hardly|rarely|seldom|not|isn't|barely)\b"
    r"|\bless than half\b|\bunder half\b|1/4|1/3|¼|⅓"
)
_HALF = re.compile(r"\b(half|two thirds|three quarters|nearly|almost|mostly|about|fairly|partly)\b|3/4|2/3|1/2|¾|⅔|½")
_FULL = re.compile(r"\b(full|brimming|packed)\b")
_PERCENT = re.compile(r"(\d+) ?(%|per ?cent)")
_FULL_ALONE = re.compile(
    r"^(?:(?:the|a|is|it|always|kept|chock|cram|crammed|jam|packed|brimming|stuffed|quite|completely|very|still|now"
    r"|chest|upright|freezer)\b[ -]*)*\b(?:full|brimming|packed)\b(?!.*\b(?:once|often|sometimes|in|at|after|before"
    r"|until|till|by|only|when|while|from)\b)"
)
"""A clause that says 'full' and nothing that takes of it: neither 'far from', nor 'one shelf', nor 'in autumn'."""
_MORE_THAN_HALF = re.compile(r"\b(two thirds|three[- ]quarters?)\b")


def fullness_of(place: StorePlace) -> Fullness:
    """How full the place's note says it is; '' where it is silent. Only 'full', by itself, is full."""
    said = f"{place.note}; {place.holds}".lower()
    if percent := _PERCENT.search(said):
        return "full" if int(percent[1]) >= 100 else "half" if int(percent[1]) >= 50 else "less"
    if _MORE_THAN_HALF.search(said):
        return "half"
    if _NOT_HALF.search(said) and (_FULL.search(said) or "empty" in said or _HALF.search(said)):
        return "less"
    if re.search(r"\bhalf\b|½|1/2", said):
        return "half"
    if not _FULL.search(said):
        return ""
    if _HALF.search(said):
        return "half"
    return "full" if any(_FULL_ALONE.search(clause.strip()) for clause in re.split(r"[,;:.()]", said)) else ""


def _clocks(
    places: Sequence[StorePlace], full: bool | None, off_since: datetime | None, *, metric: bool
) -> tuple[Clock, ...]:
    """The fridge's clock, each freezer's (both where its fullness is not known), and that of warm food."""

    def clock(what: str, hours: int) -> Clock:
        return Clock(what, hours, off_since + timedelta(hours=hours) if off_since else None)

    clocks = [clock("fridge, shut", FRIDGE_H)]
    for place in places:
        known = fullness_of(place) if full is None else "full" if full else "half"
        if known == "less":
            clocks.append(Clock(f"{place.code}, shut, less than half full: less than half full's", HALF_FULL_H, None))
        if known in ("half", ""):
            clocks.append(clock(f"{place.code}, shut, half full", HALF_FULL_H))
        if known in ("full", ""):
            clocks.append(clock(f"{place.code}, shut, full", FULL_H))
    warm = in_own_measures("meat, fish, milk, eggs, cooked dishes above 40 F (4 C)", metric=metric)
    return (*clocks, Clock(warm, WARM_H, None))


def _by_shelf(household: Household, codes: set[str]) -> list[list[Lot]]:
    """Lots in those places, gathered by place and product; a place's shelves begin with its code."""
    groups: dict[tuple[str, str], list[Lot]] = defaultdict(list)
    for lot in household.lots:
        if lot.count > 0 and is_in(lot.where, codes):
            groups[lot.where, lot.product].append(lot)
    return list(groups.values())


def is_in(where: str, codes: set[str]) -> bool:
    """Whether a lot's place is one of the codes, or a shelf of it ('F1 top' is in F1)."""
    return any(where.lower() == c.lower() or where.lower().startswith(c.lower() + " ") for c in codes)


def _pack(household: Household, lots: list[Lot]) -> PackLine:
    product = household.products[lots[0].product]
    amount = containers(product, sum((amount_in(product, lot) for lot in lots), Fraction(0)))
    days = [(x.put_up, x.year_only) for x in lots if x.put_up]
    oldest = ""
    if days:
        first, year_only = min(days)
        oldest = str(first.year) if year_only else f"{first:%Y-%m}"
    group, verdict = group_of(product)
    verdict = in_own_measures(verdict, metric=household.measures == "metric")
    return PackLine(lots[0].where, product.name, product.sizes[0].name, amount, oldest, group, verdict)


def group_of(product: Product) -> tuple[str, str]:
    """Which group a pack is judged with, and how."""
    for group, words, verdict in _GROUPS:
        if names_any(text_of(product), words):
            return group, verdict
    return _REST, _PLAIN


def _rank(group: str) -> int:
    return next((i for i, (name, _, _) in enumerate(_GROUPS) if name == group), len(_GROUPS))
