"""The cautions of the book's commands: which line is shown at which moment, long once, then short.

The wording is ours; the bodies named are those to ask. Nothing here gives a time, a pressure or
an amount for putting up, and nothing says that a jar is safe.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pantrymeals.records import Product


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. long: the whole of it. short: after the first reading. ask: whom to ask."""

    number: int
    long: str
    short: str
    ask: str
    always_long: bool = False


CAUTIONS = {
    c.number: c
    for c in (
        Caution(
            1,
            "Which tested recipe did this come from? Write it with --source, with its year. A blank is "
            "allowed, and shows as 'source not recorded'.",
            "Source not recorded; --source says which tested recipe.",
            "USDA Complete Guide to Home Canning; National Center for Home Food Preservation",
        ),
        Caution(
            2,
            "Low-acid food: pressure canning by a tested process is the only recommended way to can it at "
            "home. A boiling-water bath is not enough.",
            "Low-acid: only pressure canning by a tested process.",
            "USDA; National Center for Home Food Preservation; CDC",
        ),
        Caution(
            3,
            "On the line between acid and low-acid. Follow a current tested recipe exactly, added acid "
            "included; some of these are now freeze-only.",
            "On the acid line: only by a current tested recipe, exactly.",
            "USDA; National Center for Home Food Preservation; University of Maine Extension",
        ),
        Caution(
            5,
            "Half-gallon jars: tested only for very acid juices such as apple and grape. Hold anything else.",
            "Half-gallons are tested for very acid juices only; hold anything else.",
            "National Center for Home Food Preservation; Michigan State Extension",
        ),
        Caution(
            7,
            "Higher up, water boils cooler, so a tested recipe asks for more. Your altitude is kept here as "
            "a reminder; take the adjustment from the recipe.",
            "Adjust for your altitude, as the tested recipe says.",
            "USDA; Colorado State Extension",
        ),
        Caution(
            9,
            "Check each seal after 12 to 24 hours. Rings off, jar wiped, label on: what, when, which load. "
            "Keep cool (about 50 to 70 F, 10 to 21 C), dark and dry. No stacking jar on jar.",
            "Seals checked after a night, rings off, wiped, labelled; cool, dark, dry.",
            "National Center for Home Food Preservation; University of Georgia; Michigan State Extension",
        ),
        Caution(
            10,
            "A jar that did not seal is not for the shelf. Into the fridge to eat soon, into the freezer, or "
            "put up again within a day by the recipe's rules. It is counted as failed, not as put up.",
            "Failed seals: fridge, freezer, or again within a day by the recipe; never the shelf.",
            "National Center for Home Food Preservation",
        ),
        Caution(
            11,
            "Before opening: lid tight and dipped; no leak, streak, bulge, rising bubbles, cloudiness or "
            "mould. On opening: no spurt, foam or wrong smell. Any of these: do not taste.",
            "Look every jar over before opening; in doubt, out, untasted.",
            "USDA; National Center for Home Food Preservation; CDC",
        ),
        Caution(
            12,
            "Treat low-acid food as if it held botulism toxin. Do not taste, do not feed to animals, do not "
            "pour out. Sealed: bag it and bin it out of reach. Open or leaking: follow your Extension "
            "office's disposal steps.",
            "Do not taste, feed or pour out; bag it and bin it out of reach.",
            "CDC; USDA; Oregon State Extension",
            always_long=True,
        ),
        Caution(
            13,
            "If anyone may have eaten it: blurred or double vision, drooping eyelids, slurred speech, "
            "trouble swallowing or breathing, weakness: emergency help now; take the jar.",
            "Blurred sight, drooping lids, slurred speech, trouble swallowing: emergency help now.",
            "CDC; poison centre",
            always_long=True,
        ),
        Caution(
            14,
            "Boiling before eating has long been advised as an extra precaution for rightly canned low-acid "
            "food. It does not rescue a suspect jar, nor one whose process is not known: CDC says discard.",
            "Boiling does not rescue a jar whose process is not known.",
            "National Center for Home Food Preservation; CDC",
        ),
        Caution(
            15,
            "Opened: refrigerate. Home-canned low-acid food keeps 3 to 4 days, acid fruit and tomatoes about "
            "a week, pickles and jam longer. The part jar's clock has begun.",
            "Opened: into the fridge; its clock has begun.",
            "USDA FSIS",
        ),
        Caution(
            27,
            "Name, date and everything in it on the label. Only lots with a recorded tested process. Food "
            "banks generally cannot take home-canned food.",
            "To give away: label with name, date and all that is in it.",
            "National Center for Home Food Preservation; your food bank",
        ),
        Caution(
            30,
            "A recipe that was withdrawn or changed after a lot was made: hold the lot and ask.",
            "Recipe changed since: hold the lot and ask.",
            "National Center for Home Food Preservation; Extension notices",
        ),
    )
}
"""The cautions that belong to the book's commands, by number."""

_HIGH_FT = 1000
"""Above this a tested recipe asks for an adjustment (USDA Complete Guide to Home Canning)."""


def when_put_up(product: Product, size: str, source: str, failed: int, altitude_ft: int | None) -> tuple[int, ...]:
    """The cautions as a lot is written down; jars only, and C9 for every jar that goes on a shelf."""
    if product.kind != "jar":
        return ()
    numbers = [9]
    if failed:
        numbers.insert(0, 10)
    if altitude_ft is None or altitude_ft > _HIGH_FT:
        numbers.insert(0, 7)
    if size == "half-gal":
        numbers.insert(0, 5)
    if product.acid == "borderline":
        numbers.insert(0, 3)
    if product.acid == "low":
        numbers.insert(0, 2)
        if not source:
            numbers.insert(1, 14)
    if not source:
        numbers.insert(0, 1)
    return tuple(numbers)


def when_taken(unknown_low_acid: bool) -> tuple[int, ...]:
    """The cautions as jars are pulled: look over each; and for low-acid without a source, C14."""
    return (11, 14) if unknown_low_acid else (11,)


def words_for(numbers: Iterable[int], *, read_before: bool) -> tuple[str, ...]:
    """The lines to show: whole on the first reading of a day, then short (but spoilage always whole)."""
    lines = []
    for number in numbers:
        caution = CAUTIONS[number]
        short = read_before and not caution.always_long
        lines.append(f"C{number} {caution.short if short else caution.long}")
    return tuple(lines)
