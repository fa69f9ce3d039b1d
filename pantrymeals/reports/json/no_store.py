"""A rehearsal, and an ending, as JSON for other programs; menus stand in it as `menu --json` has them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from typing import Literal

from pantrymeals import __version__
from pantrymeals.plans.no_store import Ending, PinchKind, Rehearsal
from pantrymeals.reports.json.plan import Exact, MenuFile, Part, VerdictPart, menu_file
from pantrymeals.reports.sheet import MenuSheet


class PinchPart(Part):
    """What pinches; counts of the product's first size."""

    product: str
    day: date
    kind: PinchKind
    weekly: Exact
    lacking: Exact
    why: str
    plan: str


class StaplePart(Part):
    """How long standing use of one product holds; null where no end was found."""

    product: str
    weekly: Exact
    out: date | None
    days: int | None
    lacking: Exact
    one_more_days: Exact | None


class OneMorePart(Part):
    """What one more container adds to the longest run."""

    product: str
    days: int


class LongestPart(Part):
    """The longest run of the menu: sure, and at most (null: no end found within looked_to days)."""

    sure: int
    at_most: int | None
    looked_to: int
    ends: tuple[str, ...]
    one_more: tuple[OneMorePart, ...]
    stopped: bool


class ItemPart(Part):
    """One thing to let in."""

    product: str
    count: Exact
    cost_usd: Exact | None
    why: str


class ListPart(Part):
    """The smallest list by one aim."""

    aim: Literal["fewest things", "least money"]
    reached: bool
    proven: bool
    cost_usd: Exact
    items: tuple[ItemPart, ...]


class SupperPart(Part):
    """A supper that uses something marked."""

    day: date
    product: str
    mark: str


class GroupPart(Part):
    """A food group, a week."""

    group: str
    unit: str
    weekly: float
    asked: float


class FoodPart(Part):
    """Energy and protein a day, food groups a week, for those at home."""

    need_kcal: float
    need_protein_g: float
    menu_kcal: float
    menu_protein_g: float
    standing_kcal: float
    standing_protein_g: float
    groups: tuple[GroupPart, ...]
    unknown: tuple[str, ...]
    ungrouped: tuple[str, ...]


class MoneyPart(Part):
    """Dollars."""

    usual: Exact
    purse: Exact
    not_spent: Exact
    eaten_at_store_prices: Exact
    unpriced: tuple[str, ...]


class NoStoreFile(Part):
    """A rehearsal. before: the menus of the days until then; menu: that of the days themselves."""

    format: Literal["pantrymeals no-store 1"]
    made_by: str
    household: str
    first: date
    days: int
    allowed: tuple[str, ...]
    plain_words: tuple[str, ...]
    kept_out: tuple[str, ...]
    pinches: tuple[PinchPart, ...]
    staples: tuple[StaplePart, ...]
    longest: LongestPart
    lists: tuple[ListPart, ...]
    asked_must_go: int
    must_go_kept: str
    must_go: tuple[SupperPart, ...]
    food: FoodPart
    money: MoneyPart
    verdict: VerdictPart
    before: tuple[MenuFile, ...]
    menu: MenuFile


def no_store_file(found: Rehearsal, menu: MenuSheet, before: Sequence[MenuSheet]) -> NoStoreFile:
    """The rehearsal in the shape that is written out."""
    broken = tuple(fault for sheet in (*before, menu) for fault in sheet.broken)
    return NoStoreFile(
        format="pantrymeals no-store 1",
        made_by=f"pantrymeals {__version__}",
        household=found.household.name,
        first=found.plan.first,
        days=found.plan.days,
        allowed=found.allowed,
        plain_words=found.plain_words,
        kept_out=tuple(f"{a.day}: {a.product}" for a in found.kept_out),
        pinches=tuple(
            PinchPart(
                product=p.product, day=p.day, kind=p.kind, weekly=p.weekly, lacking=p.lacking,
                why=p.why, plan=p.plan,
            )
            for p in found.pinches
        ),
        staples=tuple(
            StaplePart(
                product=s.product, weekly=s.weekly, out=s.out, days=s.days, lacking=s.lacking,
                one_more_days=s.one_more_days,
            )
            for s in found.staples
        ),
        longest=_longest(found),
        lists=_lists(found),
        asked_must_go=found.asked_must_go,
        must_go_kept=found.must_go_asked,
        must_go=tuple(
            SupperPart(day=day, product=product, mark=found.must_go_marks[product])
            for week in found.must_go
            for day, product in week.suppers
        ),
        food=_food(found),
        money=MoneyPart(
            usual=found.money.usual, purse=found.money.purse, not_spent=found.money.not_spent,
            eaten_at_store_prices=found.money.eaten_at_store_prices, unpriced=found.money.unpriced,
        ),
        verdict=VerdictPart(rules_kept=not broken, broken=broken),
        before=tuple(menu_file(sheet) for sheet in before),
        menu=menu_file(menu),
    )  # fmt: skip


def no_store_json(found: Rehearsal, menu: MenuSheet, before: Sequence[MenuSheet]) -> str:
    """The rehearsal as JSON text."""
    return no_store_file(found, menu, before).model_dump_json(indent=2)


def _longest(found: Rehearsal) -> LongestPart:
    run = found.longest
    return LongestPart(
        sure=run.sure,
        at_most=run.at_most,
        looked_to=run.looked_to,
        ends=run.ends,
        one_more=tuple(OneMorePart(product=m.product, days=m.days) for m in run.one_more),
        stopped=run.stopped,
    )


def _lists(found: Rehearsal) -> tuple[ListPart, ...]:
    return tuple(
        ListPart(
            aim=x.aim,
            reached=x.reached,
            proven=x.proven,
            cost_usd=x.cost_usd,
            items=tuple(ItemPart(product=i.product, count=i.count, cost_usd=i.cost_usd, why=i.why) for i in x.items),
        )
        for x in found.lists
    )


def _food(found: Rehearsal) -> FoodPart:
    food = found.nourishment
    return FoodPart(
        need_kcal=round(food.need_kcal, 1),
        need_protein_g=round(food.need_protein_g, 1),
        menu_kcal=round(food.menu_kcal, 1),
        menu_protein_g=round(food.menu_protein_g, 1),
        standing_kcal=round(food.standing_kcal, 1),
        standing_protein_g=round(food.standing_protein_g, 1),
        groups=tuple(
            GroupPart(group=g.group, unit=g.unit, weekly=round(g.weekly, 2), asked=round(g.asked, 2))
            for g in food.groups
        ),
        unknown=food.unknown,
        ungrouped=food.ungrouped,
    )


def ending_json(ended: Ending) -> str:
    """An ending as JSON text; amounts as exact fractions."""
    return json.dumps(
        {
            "format": "pantrymeals no-store end 1",
            "made_by": f"pantrymeals {__version__}",
            "household": ended.household,
            "first": ended.first.isoformat(),
            "last": ended.last.isoformat(),
            "today": ended.today.isoformat(),
            "days_gone": ended.days_gone,
            "days_held": ended.days_held,
            "slips": [{"day": s.day.isoformat(), "what": s.what, "price_usd": str(s.price_usd)} for s in ended.slips],
            "slips_usd": str(ended.slips_usd),
            "has_book": ended.has_book,
            "used": {name: str(count) for name, count in ended.used},
            "saved_usd": str(ended.saved_usd),
            "usual_usd": str(ended.usual_usd),
            "unpriced": list(ended.unpriced),
            "emptied": [{"product": e.product, "day": e.day.isoformat(), "count": str(e.count)} for e in ended.emptied],
            "sitters_opened": {name: str(count) for name, count in ended.sitters_opened},
            "more_of": dict(ended.more_of),
        },
        indent=2,
    )
