"""What is made and never eaten, kept and never opened, or the wrong one of two; each with an honest end."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.forecast.sitters import TOO_FEW, in_house, is_sitter, reached_by_own
from pantrymeals.larder.must_reach import season_days
from pantrymeals.plans.season import End, SitterRow
from pantrymeals.records import Product
from pantrymeals.season.asked import (
    SeasonQuestion,
    all_held,
    carried_over,
    need_of,
    next_window,
    on_shelf,
    rate_now,
    this_year,
)
from pantrymeals.season.clear import clear_down, dishes_using
from pantrymeals.season.ends import cost_words, ends_of
from pantrymeals.season.words import counted, years_words
from pantrymeals.season_facts import Harvest

LONG_COVER_YEARS = 2.0
LATE_SHARE = 0.6
"""Share of openings that come only once the jar is ten months old, from which a favourite is a hoard."""


def sits(asked: SeasonQuestion, name: str) -> bool:
    """Whether the rule of sitters finds it one."""
    return is_sitter(asked.household, name, this_year(asked, name), name in asked.put_up_here)


def cover_years(asked: SeasonQuestion, name: str) -> float | None:
    """Years that what is on the shelf lasts at a year's use; None where nothing is used."""
    need = need_of(asked, name)
    return float(on_shelf(asked, name) / need.a_year) if need.a_year > 0 else None


def is_hoard(asked: SeasonQuestion, name: str) -> bool:
    """A favourite that is mostly opened only when the next crop is in.

    By the book's own openings; failing those, by half a year's use and more left over two years
    running although no more was made than is eaten (else it is a glut, not a hoard).
    """
    if not _favourite(asked, name) or in_house(asked.household, name) < TOO_FEW:
        return False
    if name in asked.late_opened:
        return asked.late_opened[name] >= LATE_SHARE
    harvest = asked.facts.harvest_of(name)
    if harvest is None or not 5 <= harvest.first[0] <= 10:
        return False  # a crop of late winter is rightly on the shelf on 1 May
    full = [y for y in asked.years if y.product == name and y.full][-2:]
    kept = [y.used >= TOO_FEW and y.carried_out >= y.used / 2 and y.put_up <= y.used * 5 / 4 for y in full]
    return len(kept) == 2 and all(kept)


def _favourite(asked: SeasonQuestion, name: str) -> bool:
    liked = any(dish.liking >= 1 for dish, _ in dishes_using(asked.household, name))
    return liked or bool(asked.household.products[name].reserve_note)


def runs_short(asked: SeasonQuestion, name: str, harvest: Harvest) -> int:
    """Weeks without it before its crop, at the present rate; 0 where it reaches."""
    rate = rate_now(asked, name) or need_of(asked, name).a_year / 52
    if rate <= 0:
        return 0
    first, _ = next_window(asked, harvest)
    product = asked.household.products[name]
    weeks = Fraction(season_days(product, asked.today, first) / 7).limit_denominator(100)
    return max(0, int(weeks - on_shelf(asked, name) / rate))


def wrong_of_two(asked: SeasonQuestion, name: str) -> tuple[str, int] | None:
    """The other product of the same crop that runs short while this one is in glut, and the weeks."""
    harvest = asked.facts.harvest_of(name)
    if harvest is None or name not in asked.household.products:
        return None
    need = need_of(asked, name)
    first, _ = next_window(asked, harvest)
    if not need.a_year or carried_over(asked, name, first, need) < need.a_year:
        return None
    short = [
        (runs_short(asked, other, harvest), other)
        for other in harvest.products
        if other != name and other in asked.household.products and _same_shelf(asked, name, other)
    ]
    weeks, other = max(short, default=(0, ""))
    return (other, weeks) if weeks >= 2 else None


def _same_shelf(asked: SeasonQuestion, one: str, other: str) -> bool:
    first, second = asked.household.products[one], asked.household.products[other]
    return first.kind == second.kind == "jar" and first.acid == second.acid


def sitters(asked: SeasonQuestion, seconds: float = 5.0) -> tuple[SitterRow, ...]:
    """Every sitter, near-sitter, hoard, wrong one of two and held gift, with why, its ends and its cost."""
    rows = []
    for name, product in asked.household.products.items():
        if not product.on_menus or not in_house(asked.household, name):
            continue
        row = _row(asked, product, seconds)
        if row is not None:
            rows.append(row)
    order = {"sitter": 0, "wrong of two": 1, "hoard": 2, "near-sitter": 3, "held": 4}
    return tuple(sorted(rows, key=lambda row: (order[row.kind], row.product)))


def _row(asked: SeasonQuestion, product: Product, seconds: float) -> SitterRow | None:
    name, size = product.name, product.sizes[0].name
    held = all_held(asked, name)
    cover = cover_years(asked, name)
    count = in_house(asked.household, name)
    if sits(asked, name):
        kind, why = "sitter", sitter_why(asked, product)
    elif held:
        ends: tuple[End, ...] = (
            End("hold", "hold: not to be eaten, given, fed or counted; ask your Extension office"),
        )
        return SitterRow(name, size, count, "held", product.note or "held", cover, ends, "", True)
    elif (pair := wrong_of_two(asked, name)) is not None:
        other, weeks = pair
        kind = "wrong of two"
        why = f"a year's worth over, while {other} of the same crop will be short by {weeks} weeks"
        ends = (
            *ends_of(asked, product, None, False)[:-1],
            End("not again", f"put the crop up as {other} instead, until the two are even"),
        )
        return SitterRow(name, size, count, "wrong of two", why, cover, ends, cost_words(asked, product, count))
    elif is_hoard(asked, name):
        kind = "hoard"
        why = "a favourite kept so well that it is opened only when the next crop is in"
        words = f"put it on the menu now: {counted(on_shelf(asked, name), size)} on the shelf"
        ends = (End("eat", words),)
        return SitterRow(name, size, count, "hoard", why, cover, ends, "")
    elif cover is not None and cover >= LONG_COVER_YEARS and _was_over(asked, name):
        kind, why = "near-sitter", f"{_used_words(asked, name)}: {cover:.0f} years' worth in store"
    else:
        return None
    clearing = None
    if not held and kind == "sitter":
        amount = on_shelf(asked, name) * product.sizes[0].content
        clearing = clear_down(asked.household, name, amount, asked.today, asked.seed, seconds)
    ends = ends_of(asked, product, clearing, held)
    cost = cost_words(asked, product, count)
    return SitterRow(name, size, count, "sitter" if kind == "sitter" else "near-sitter", why, cover, ends, cost, held)


def _was_over(asked: SeasonQuestion, name: str) -> bool:
    """Half a year's use and more was left of the crop before: a shelf just filled is no sitter."""
    year = this_year(asked, name)
    if year is None or in_house(asked.household, name) < TOO_FEW:
        return False
    return year.carried_in >= need_of(asked, name).a_year / 2


def _used_words(asked: SeasonQuestion, name: str) -> str:
    need = need_of(asked, name)
    past = years_words(need)
    if past:
        return past
    year = this_year(asked, name)
    used = counted(year.used, asked.household.products[name].sizes[0].name) if year else "few"
    return f"{used} used since {'1 May' if year and year.carried_in else 'it was put up'}"


def sitter_why(asked: SeasonQuestion, product: Product) -> str:
    """Why it is a sitter, in one sentence part: its history, and whether any dish of ours takes it."""
    year = this_year(asked, product.name)
    full = [y for y in asked.years if y.product == product.name and y.full]
    used = [y.used for y in full] + ([year.used] if year else [])
    if all(u == 0 for u in used):
        said = "never opened" + (f" in {len(used)} book years" if len(used) > 1 else " this book year")
    else:
        said = "used " + ", ".join(str(u) for u in used) + " in the last book years"
    if not reached_by_own(asked.household, product.name):
        said += "; no dish of ours takes it"
    refused = refusers(asked, product)
    return f"{said}; {' and '.join(refused)} will not" if refused else said


def refusers(asked: SeasonQuestion, product: Product) -> list[str]:
    """Who will not eat it: their refusal names the product, its family turned round, or a dish's own tag."""
    words = {product.name.casefold(), " ".join(reversed(product.name.casefold().replace(",", " ").split()))}
    return [p.name for p in asked.household.people if any(w.casefold() in words for w in p.will_not)]
