"""The cautions of the putting-up season, each at its moment. No process is named, and no jar is called safe.

The wording is ours; beside each stand the bodies to ask. Codes are the household's way to look one up.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from pantrymeals.plans.season import PutUpLine
from pantrymeals.records import Household, Product
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.yields import QUARTS, WORDS, tested_sizes

ASK = "Ask your Extension office or national food-safety body."

WORDING: dict[str, str] = {
    "C1": ("Which tested recipe did this come from? Blank is allowed and shows as: source not recorded."),
    "C2": (
        "Low-acid food: pressure canning by a tested recipe is the only recommended way to can it "
        "at home. A boiling-water bath is not enough. (USDA; National Center for Home Food "
        "Preservation; CDC)"
    ),
    "C3": (
        "On the line between acid and low-acid. Follow a current tested recipe exactly, added "
        "acid included; some of these are now freeze-only. (USDA; National Center for Home Food "
        "Preservation)"
    ),
    "C4": (
        "No tested home recipe for canning anything mashed, creamed or thickened, or with "
        "noodles, rice, flour, milk or butter. Freeze it instead. Jars already made: hold, do not "
        "eat. (NCHFP; Extension)"
    ),
    "C5": ("Half-gallon jars: tested only for very acid juices such as apple and grape. Hold anything else. (NCHFP)"),
    "C6": (
        "You may go down a jar size from the one in the tested recipe and follow the larger "
        "jar's; never up. There is no sum for a larger jar. (NCHFP)"
    ),
    "C7": (
        "Higher up, water boils cooler, and a tested recipe must be adjusted. Your altitude is "
        "kept here as a reminder; take the adjustment from the tested recipe. (USDA; Extension)"
    ),
    "C8": (
        "Start of season: have the dial gauge checked, look at gaskets and vents, buy this year's "
        "flat lids. Flats are for one use; cracked or chipped jars are done. (NCHFP; local "
        "Extension)"
    ),
    "C9": (
        "When jars are shelved: check the seal after 12 to 24 hours. Rings off, jar wiped, label "
        "on: what, when, which load. Cool, dark and dry; no stacking jar on jar. (NCHFP; "
        "Extension)"
    ),
    "C10": (
        "A jar that failed to seal is not for the shelf: into the fridge to eat soon, into the "
        "freezer, or by the tested recipe's own rules the same day. Count it as failed, not as "
        "put up. (NCHFP)"
    ),
    "C25": (
        "Pickles and relish: vinegar of known strength, by a tested recipe. Home vinegar is for the table. (NCHFP)"
    ),
    "C27": (
        "Giving away or bartering: name, date and everything in it on the label. Only lots with a "
        "recorded tested recipe. Food banks generally cannot take home-canned food. (Food-bank "
        "policy; NCHFP)"
    ),
    "C30": (
        "This recipe was withdrawn or changed since the lot was made: hold the lot and ask. (NCHFP; Extension notices)"
    ),
    "LINE": (
        "Follow a tested recipe, process for your altitude, look over every jar before you open "
        "it. If in doubt, throw it out without tasting. Ask your Extension office or national "
        "food-safety body."
    ),
}

ALTITUDE_FT = 1000
_THICK = re.compile(r"\b(mashed|mash|creamed|thickened|noodles?|rice|puree|(pumpkin|squash) butter)\b", re.IGNORECASE)
_BORDERLINE = re.compile(r"\b(figs?|elderberr(y|ies)|white peach(es)?)\b", re.IGNORECASE)
_ACID_JUICE = re.compile(r"\b(apple|grape)\b.*\bjuice\b|\bcider\b(?! vinegar)", re.IGNORECASE)
_WITHDRAWN = re.compile(r"\b(withdrawn|old recipe|no longer)\b", re.IGNORECASE)


def is_pickle(product: Product) -> bool:
    """Kept by vinegar: pickles, relishes, chutneys, salsa."""
    return product.kind == "jar" and product.acid == "acidified"


def is_thickened(product: Product) -> bool:
    """Canned, and mashed, creamed, thickened or with starch in it, by its name."""
    return product.kind == "jar" and bool(_THICK.search(product.name))


def half_gallon_wrong(product: Product, size: str) -> bool:
    """A half-gallon of anything but apple or grape juice."""
    return product.kind == "jar" and size == "half-gal" and not _ACID_JUICE.search(product.name)


def larger_than_tested(size: str, tested: Sequence[str]) -> bool:
    """A jar larger than every size that stands tested in the tables; False where they say nothing."""
    if not tested or size not in QUARTS:
        return False
    return QUARTS[size] > max(QUARTS[t] for t in tested)


def withdrawn(household: Household, product: str) -> bool:
    """A lot of it came from a recipe since withdrawn, as the household wrote."""
    return any(
        lot.product == product and _WITHDRAWN.search(f"{lot.tested_source} {lot.note}") for lot in household.lots
    )


def all_held_lots(household: Household, product: str) -> bool:
    """There are lots of it, and every one is held or suspect."""
    lots = [lot for lot in household.lots if lot.product == product]
    return bool(lots) and all(lot.state in {"held", "suspect"} for lot in lots)


def source_missing(household: Household, product: str) -> bool:
    """A lot of it in jars has no tested source written down."""
    return any(lot.product == product and not lot.tested_source for lot in household.lots)


def cautions_of(asked: SeasonQuestion, product: Product, size: str) -> tuple[str, ...]:
    """Codes of the cautions that a line of the list carries."""
    if product.kind != "jar":
        return ()
    tested = tested_sizes(asked.tables, asked.tables.name_of(product.name, product.also_called))
    said = {
        "C1": source_missing(asked.household, product.name),
        "C2": product.acid == "low",
        "C3": product.acid == "borderline" or bool(_BORDERLINE.search(product.name)),
        "C4": is_thickened(product),
        "C5": half_gallon_wrong(product, size),
        "C6": larger_than_tested(size, tested),
        "C25": is_pickle(product),
        "C30": withdrawn(asked.household, product.name),
    }
    return tuple(code for code, yes in said.items() if yes)


def may_not_be_planned(asked: SeasonQuestion, product: Product, size: str) -> str:
    """Why a product is not to be canned as it stands (C4, C5, C6); '' where nothing forbids it."""
    codes = cautions_of(asked, product, size)
    if "C4" in codes:
        return "no tested recipe for canning it: freeze it instead (C4)"
    if "C5" in codes:
        return "half-gallon jars are tested only for apple and grape juice (C5)"
    if "C6" in codes:
        tested = tested_sizes(asked.tables, asked.tables.name_of(product.name, product.also_called))
        largest = max(tested, key=lambda t: QUARTS[t])
        return f"the largest jar tested for it is the {WORDS[largest]} (C6)"
    return ""


def altitude_caution(asked: SeasonQuestion) -> list[tuple[str, str]]:
    """C7 where the altitude is not written down, or high enough to matter."""
    altitude = asked.household.altitude_ft
    if altitude is not None and altitude <= ALTITUDE_FT:
        return []
    here = "Altitude not written down. " if altitude is None else f"You are at {altitude:,} ft. "
    return [("C7", here + WORDING["C7"])]


def season_cautions(asked: SeasonQuestion, lines: Iterable[PutUpLine]) -> tuple[tuple[str, str], ...]:
    """What to say with the list: start of season, altitude, and each line's own, naming the products once."""
    lines = tuple(lines)
    out = []
    if any(line.way == "canner" for line in lines):
        checked = asked.facts.gauge_checked
        tail = f" Dial gauge last checked: {checked}." if checked else ""
        out.append(("C8", WORDING["C8"] + tail))
        out += altitude_caution(asked)
    held = {p for h in asked.facts.harvests for p in h.products if all_held_lots(asked.household, p)}
    for code in ("C2", "C3", "C25", "C1", "C30"):
        named = sorted({line.product for line in lines if code in line.cautions})
        if code == "C1":
            named = sorted({*named, *(p for p in held if source_missing(asked.household, p))})
        if code == "C30":
            named = sorted({*named, *(p for p in held if withdrawn(asked.household, p))})
        if named:
            out.append((code, f"{_some(named)}: {WORDING[code]}"))
    if any(line.way == "canner" for line in lines):
        out += [("C9", WORDING["C9"]), ("C10", WORDING["C10"])]
    return (*out, ("", WORDING["LINE"]))


def _some(names: Sequence[str], most: int = 4) -> str:
    if len(names) <= most:
        return "; ".join(names)
    return "; ".join(names[:most]) + f"; and {len(names) - most} more"
