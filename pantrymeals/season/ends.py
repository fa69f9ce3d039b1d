"""Honest ends for what is not eaten, and what it cost to make.

A held lot has one end: to be held. Hens and compost are for sound, unsuspected surplus that is
high-acid or plain vegetable, never for meat, fish, or anything doubtful.
"""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from math import ceil

from pantrymeals.jar_doubts import low_acid_jar
from pantrymeals.plans.season import End
from pantrymeals.records import Household, Product
from pantrymeals.season.asked import SeasonQuestion, need_of, next_window
from pantrymeals.season.carry_over import carried_over
from pantrymeals.season.cautions import withdrawn
from pantrymeals.season.clear import Clearing, dishes_using
from pantrymeals.season.kitchen_work import canner_of, litres_of, load_of
from pantrymeals.season.words import counted, freezer_room
from pantrymeals.season.yields import raw_pounds
from pantrymeals.units import as_words, weighed
from pantrymeals.words import month_name, plural, priced, times

VEGETABLES = frozenset(
    {
        "bean, green", "beet", "broccoli", "cabbage", "carrot", "corn", "greens", "leek", "parsnip", "pea",
        "pepper", "pumpkin", "rutabaga", "squash", "tomato", "zucchini",
    }
)  # fmt: skip
"""Families that are plain vegetables when nothing else is in the jar."""

HOLD = "hold every jar: not eaten, given, bartered or fed; ask your Extension office"

_MAKE_OVER = (
    (r"\b(jelly|jam)$", "a glaze for meat, a tart or a cake filling"),
    (r"(?<!bread-and-)\bbutter$", "cake, or porridge for a week"),
    (r"\b(chutney|relish)$", "a sauce for cold meat, or the last spoonful in a stew"),
    (r"\b(in syrup|stewed)$", "a crumble or a cobbler"),
    (r"\bsoup\b", "the start of another soup, with something fresh in it"),
    (r"\bliver\b", "a spread or a loaf, mixed with other meat"),
    (r"\b(trout|fish)\b", "cakes or a pie, half and half with potato"),
)
"""What a sitter can be turned into at table: common practice, no published source."""


def held_ends(household: Household, name: str, ours: bool) -> tuple[End, ...]:
    """The one end of what is held. ours: it is put up here, and not to be again."""
    hold = End("hold", f"{HOLD} ({'C30' if withdrawn(household, name) else 'C1'})")
    return (hold, End("not again", "not again without a current tested recipe")) if ours else (hold,)


def ends_of(asked: SeasonQuestion, product: Product, clearing: Clearing | None = None) -> tuple[End, ...]:
    """Every end open to what is on the shelf, the best first; the last says what to do next season."""
    ends = [_eat(asked, product, clearing), _make_over(asked, product), _give(asked, product), _hens(product)]
    return (*(end for end in ends if end is not None), End("not again", not_again_words(asked, product)))


def _eat(asked: SeasonQuestion, product: Product, clearing: Clearing | None) -> End | None:
    dishes = dishes_using(asked.household, product.name)
    if not dishes:
        return None
    named = {d.name: d.name if d.book == "household" else f"{d.name} (starter book)" for d, _ in dishes}
    if clearing is None or not clearing.days:
        words = "eat it down in " + " or ".join([named[d.name] for d, _ in dishes][:3])
        if clearing is not None and clearing.weeks is None:
            never = "not to be cleared within a year at a pace the table will bear"
            words += f"; {never if clearing.proven else 'how soon was not found'}"
        return End("eat", words)
    often = Counter(dish for _, dish in clearing.days)
    listed = ", ".join(f"{named[dish]} {times(n)}" for dish, n in often.most_common())
    weeks = clearing.weeks or 0
    maybe = "" if clearing.proven else " (perhaps sooner: not all ways were tried)"
    return End("eat", f"eat it down in {plural(weeks, 'week')}{maybe}: {listed}", weeks)


def _make_over(asked: SeasonQuestion, product: Product) -> End | None:
    for batch in asked.household.batch_days.values():
        if any(o.product == product.name for use in batch.uses for o in use.options):
            return End("make over", f"make over: {batch.name}")
    name = product.name.casefold()
    for words, into in _MAKE_OVER:
        if re.search(words, name):
            return End("make over", f"make over into {into}; eaten soon or frozen, never back into a jar")
    return None


def may_be_given(asked: SeasonQuestion, name: str) -> bool:
    """Every lot sound by its state, with the tested recipe it came from written down."""
    lots = [lot for lot in asked.household.lots if lot.product == name]
    return bool(lots) and all(not lot.state and lot.tested_source for lot in lots)


def _give(asked: SeasonQuestion, product: Product) -> End | None:
    if product.kind != "jar":
        return None
    if not may_be_given(asked, product.name):
        return None
    return End("give or barter", "give or barter, with name, date and contents on the label (C27)")


def may_go_to_hens(product: Product) -> bool:
    """Surplus that is high-acid fruit or plain vegetable; nothing with meat, fish, milk or salt in it."""
    if low_acid_jar(product):
        return False
    if product.contents & {"pork", "fish", "milk", "salty", "egg", "tree nut", "honey"}:
        return False
    plain = product.family in VEGETABLES and product.acid in {"low", ""} and product.measure != "each"
    return product.acid == "high" or plain


def _hens(product: Product) -> End | None:
    if not may_go_to_hens(product):
        return None
    return End("hens or compost", "what is sound only: to the hens or the compost, rather than another winter")


def shelf_calls_for(asked: SeasonQuestion, name: str) -> bool:
    """It is eaten, and less than a year's worth will be carried over to its next crop."""
    a_year = need_of(asked, name).a_year
    return a_year > 0 and asked.facts.harvest_of(name) is not None and carried_over(asked, name) < a_year


def instead(asked: SeasonQuestion, product: Product) -> str:
    """Another product of the same crop that is eaten, the most eaten first; '' where there is none."""
    harvest = asked.facts.harvest_of(product.name)
    others = [
        (need_of(asked, other).a_year * asked.household.products[other].sizes[0].content, other)
        for other in (harvest.products if harvest else ())
        if other != product.name
        and other in asked.household.products
        and asked.household.products[other].kind in {"jar", "freezer"}
        and asked.household.products[other].family == product.family
        and shelf_calls_for(asked, other)
    ]
    amount, other = max(others, default=(Fraction(0), ""))
    return other if amount > 0 else ""


def not_again_words(asked: SeasonQuestion, product: Product) -> str:
    """What to do about it next season."""
    harvest = asked.facts.harvest_of(product.name)
    if shelf_calls_for(asked, product.name):
        return "fewer next season: see the put-up list"
    other = instead(asked, product)
    if other and harvest is not None and asked.facts.ground_of(harvest.crop) is not None:
        return f"none next season: put the crop up as {other} instead, or sow half"
    if other:
        return f"none next season: put the crop up as {other} instead"
    if harvest is not None:
        first, _ = next_window(asked.today, harvest, asked.household.year_opens)
        return f"none next season (its crop comes in from {first.day} {month_name(first)})"
    return "not again"


def cost_words(asked: SeasonQuestion, product: Product, count: Fraction) -> str:
    """What the containers in the house cost to fill: lids, kitchen hours, shelf or freezer, pounds."""
    parts = []
    size = product.sizes[0].name
    if product.kind == "jar":
        parts.append(f"{as_words(count)} lids")
        loads = ceil(count / load_of(asked, product))
        canner = canner_of(asked, product)
        if canner is not None and loads:
            hours = canner.first_load_hours + (loads - 1) * canner.next_load_hours
            parts.append(f"about {as_words(hours)} kitchen hours")
        width = asked.facts.jar_width_mm.get(size)
        if width:
            parts.append(f"{float(count * width) / 1000:.1f} m of shelf")
    elif product.kind == "freezer":
        parts.append(f"{freezer_room(count * litres_of(product), asked.household.measures)} of freezer")
    raw = raw_pounds(asked.tables, asked.tables.of(product), ceil(count), size)
    if raw is not None:
        (low, unit), (high, _) = (weighed(lb, asked.household.measures == "metric") for lb in (raw.low, raw.high))
        least = "" if round(low) == round(high) else f"{round(low)} to "
        parts.append(f"{least}{round(high)} {unit} of crop")
    if product.price_usd:
        parts.append(f"{priced(product.price_usd * count, asked.household.money, whole=True)} at store prices")
    return ", ".join(parts) if parts else counted(count, size)
