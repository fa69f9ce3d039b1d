"""Which cautions of the table belong to the putting-up season, each at its moment."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pantrymeals.cautions import HIGH_FT, STANDING_LINE, CautionShown, shown, shown_in
from pantrymeals.jar_doubts import half_gallon_wrong, says_withdrawn, why_untested
from pantrymeals.larder.on_hand import all_held
from pantrymeals.plans.season import PutUpLine
from pantrymeals.records import Household, Product, wants_little_salt
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.yields import QUARTS, WORDS, tested_sizes
from pantrymeals.units import METRES_A_FOOT
from pantrymeals.words import first_four

_BORDERLINE = re.compile(r"\b(figs?|elderberr(y|ies)|white peach(es)?)\b", re.IGNORECASE)


def withdrawn(household: Household, product: str) -> bool:
    """A lot of it came from a recipe since withdrawn, as the household wrote."""
    return any(lot.product == product and says_withdrawn(f"{lot.tested_source} {lot.note}") for lot in household.lots)


def source_missing(household: Household, product: str) -> bool:
    """A lot of it in jars has no tested source written down."""
    return any(lot.product == product and not lot.tested_source for lot in household.lots)


def cautions_of(asked: SeasonQuestion, product: Product, size: str) -> tuple[str, ...]:
    """Codes of the cautions that a line of the list carries."""
    if product.kind != "jar":
        return ()
    tested = tested_sizes(asked.tables, asked.tables.of(product))
    said = {
        "C1": source_missing(asked.household, product.name),
        "C2": product.acid == "low",
        "C3": product.acid == "borderline" or bool(_BORDERLINE.search(product.name)),
        "C4": bool(why_untested(product)),
        "C5": half_gallon_wrong(product, size),
        "C6": bool(tested) and size in QUARTS and QUARTS[size] > QUARTS[tested[0]],
        "C25": product.acid == "acidified",  # kept by vinegar: pickles, relishes, chutneys, salsa
        "C30": withdrawn(asked.household, product.name),
    }
    return tuple(code for code, yes in said.items() if yes)


def may_not_be_planned(asked: SeasonQuestion, product: Product, size: str) -> str:
    """Why a product is not to be canned as it stands (C4, C5, C6); '' where nothing forbids it."""
    tested = tested_sizes(asked.tables, asked.tables.of(product))
    said = {
        "C4": "no tested recipe for canning it: freeze it instead (C4)",
        "C5": "half-gallon jars are tested only for apple and grape juice (C5)",
        "C6": f"the largest jar tested for it is the {WORDS[tested[0]] if tested else ''} (C6)",
    }
    return next((said[code] for code in cautions_of(asked, product, size) if code in said), "")


def altitude_caution(asked: SeasonQuestion) -> list[CautionShown]:
    """C7 where the altitude is not written down, or high enough to matter."""
    altitude = asked.household.altitude_ft
    if altitude is not None and altitude <= HIGH_FT:
        return []
    if altitude is None:
        return [shown("C7", "Altitude not written down. ")]
    metres = asked.household.measures == "metric"
    high = f"{round(altitude * METRES_A_FOOT):,} m" if metres else f"{altitude:,} ft"
    return [shown("C7", f"You are at {high}. ")]


def season_cautions(asked: SeasonQuestion, lines: Iterable[PutUpLine]) -> tuple[CautionShown, ...]:
    """What to say with the list: start of season, altitude, and each line's own, naming the products once."""
    lines = tuple(lines)
    out = []
    canned = any(line.way == "canner" for line in lines)
    if canned:
        checked = asked.facts.gauge_checked
        out += [shown("C8", after=f" Dial gauge last checked: {checked}." if checked else ""), *altitude_caution(asked)]
    held = {p for h in asked.facts.harvests for p in h.products if all_held(asked.household, p)}
    also = {
        "C1": {p for p in held if source_missing(asked.household, p)},
        "C30": {p for p in held if withdrawn(asked.household, p)},
    }
    for number in ("C2", "C3", "C25", "C1", "C30"):
        named = {line.product for line in lines if number in line.cautions} | also.get(number, set())
        if named:
            out.append(shown(number, f"{first_four(sorted(named))}: "))
    if canned and wants_little_salt(asked.household.people):
        out.append(shown("C24"))
    if canned:
        out += [shown("C9"), shown("C10")]
    return (*shown_in(out, metric=asked.household.measures == "metric"), CautionShown("", STANDING_LINE))
