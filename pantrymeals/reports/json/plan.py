"""A menu as JSON for other programs, with its documented schema; and read back, exactly.

Amounts stand three ways: in words ('2 qt'), as a number of the base measure (millilitres,
grams or pieces), and as the exact fraction that number rounds.
"""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator, WithJsonSchema

from pantrymeals import __version__
from pantrymeals.plans.menu import ChosenUse, DayUse, FromLot, Mark
from pantrymeals.records import MealName, Role
from pantrymeals.reports.json.clash import WhatClashesPart, clash_part
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import amount_of, containers
from pantrymeals.units import Measure

FORMAT = "pantrymeals menu 2"

Exact = Annotated[
    Fraction,
    PlainValidator(lambda value: Fraction(value)),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": r"^-?\d+(/\d+)?$", "examples": ["3/4", "12"]}),
]
"""An exact number, written as a fraction: '473176473/500000'."""


class Part(BaseModel):
    """Shared by all parts of the file: nothing unknown is let in."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class AmountPart(Part):
    """How much of a product."""

    product: str
    words: str = Field(description="In the household's own containers: '2 qt', '1/2 head'.")
    quantity: float = Field(description="In the measure, rounded to six decimals.")
    measure: Measure | None = Field(description="ml, g or each; null when the product is not kept.")
    exact: Exact = Field(description="The quantity without rounding, as a fraction.")


class UsePart(AmountPart):
    """What a planned dish takes of one product, for all its batches."""

    stand_in: bool = Field(description="True where it stands in for what the dish would rather have.")


class DishPart(Part):
    """One dish in one role of one meal."""

    role: Role
    dish: str
    batches: int = Field(ge=1)
    uses: tuple[UsePart, ...]
    instead: tuple[str, ...] = Field(description="Noted alternatives: 'Edda: plain cabbage'.")
    why: str = Field(description="Why this dish, in a plain sentence.")
    pinned: bool


class MealPart(Part):
    """A meal: who eats (portions), its dishes, roles left open, roles another dish covers."""

    day: date
    meal: MealName
    portions: Exact
    dishes: tuple[DishPart, ...]
    open_roles: tuple[Role, ...]
    covered_roles: tuple[Role, ...]
    occasion: str


class LotPart(Part):
    """The lot that something comes from."""

    where: str
    put_up: date | None = Field(description="null: not known.")
    year_only: bool = Field(description="True where only the year of put_up is known.")
    load: str


class DayUsePart(Part):
    """What the dishes of a day take, in the product's base measure."""

    day: date
    exact: Exact


class OpeningPart(Part):
    """Whole containers of one lot, opened; day is the day they are ready, thawed where they must be."""

    day: date
    product: str
    size: str
    count: int = Field(ge=1)
    lifted: date | None = Field(description="The day they come out to thaw; null: they need not.")
    last: date | None = Field(description="The last day they are eaten from; null: no clock.")
    uses: tuple[DayUsePart, ...]
    lot: LotPart | None = Field(description="null: it is not on the shelf.")


class BegunPart(Part):
    """What the menu takes of a container that was open, or lifted out, before its first day."""

    product: str
    size: str
    opened: date
    uses: tuple[DayUsePart, ...]


class FetchedPart(Part):
    """So many of a size from one lot, straight into the pot: loose goods of a day, or what a batch day takes."""

    day: date
    product: str
    size: str
    count: Exact
    lot: LotPart | None = Field(description="null: it is not on the shelf.")
    work: str = Field(description="The batch day; empty for a dish or dishes.")


class WastePart(AmountPart):
    """What goes over, and the day it does."""

    day: date


class SharePart(Part):
    """One product's even share over the menu's days against what is drawn, in first-size containers."""

    product: str
    share: Exact
    low: Exact
    high: Exact
    drawn: Exact
    off: Exact = Field(description="How far outside low..high, as a share.")
    why: str


class BatchPart(Part):
    """A batch day the plan proposes, and what leaves the shelf for it."""

    day: date
    name: str
    times: int = Field(ge=1)
    why: str
    uses: tuple[UsePart, ...] = ()


class ProofPart(Part):
    """How good the menu is proven to be; cost and bound are points, less is better."""

    cost: float
    bound: float = Field(description="No menu under the same rules costs less.")
    gap: float = Field(description="(cost - bound) / max(cost, 1).")
    seconds: float = Field(description="Time spent solving.")
    seed: int
    ended: Literal["proven", "time", "stopped"]
    open_roles: int = Field(ge=0)
    pace: Exact = Field(description="The common factor on every even share; 1 or less.")
    parts: tuple[tuple[str, float], ...] = Field(description="The cost, wish by wish.")


class VerdictPart(Part):
    """What the independent checker says of the menu."""

    rules_kept: bool
    broken: tuple[str, ...]


class PullLinePart(Part):
    """Go there, on that day, and bring this."""

    fetch: date
    where: str
    kind: Literal["part jar", "jar", "loose", "lift out"]
    product: str
    size: str
    count: Exact
    put_up: str
    needed: date
    dish: str
    last_day: date | None
    load: str


class AheadPart(Part):
    """A step before the day."""

    day: date
    what: str
    dish: str
    dish_day: date


class EmptiesPart(Part):
    """Jars that come back empty."""

    size: str
    count: int


class PullPart(Part):
    """The pull list, in walking order."""

    lines: tuple[PullLinePart, ...]
    ahead: tuple[AheadPart, ...]
    empties: tuple[EmptiesPart, ...]
    cautions: tuple[str, ...]


class RunOutPart(Part):
    """When a product runs out at the planned and standing pace; counts of its first size."""

    product: str
    on_hand: Exact
    on_hand_words: str
    reserve: Exact
    weekly: Exact
    out: date | None = Field(description="null: not within two years, or not used.")
    must_last_to: date | None
    mark: Mark
    reason: str
    gap_weeks: float


class UnreachedPart(Part):
    """A product that no dish and no standing use can take."""

    product: str
    why: str


class MenuFile(Part):
    """A menu with its proof, the checker's verdict, the pull list, run-out, and what nobody reaches."""

    format: Literal["pantrymeals menu 2"]
    made_by: str
    household: str
    first: date
    days: int = Field(ge=1)
    meals: tuple[MealPart, ...]
    openings: tuple[OpeningPart, ...]
    begun: tuple[BegunPart, ...]
    fetched: tuple[FetchedPart, ...]
    waste: tuple[WastePart, ...]
    shares: tuple[SharePart, ...]
    batch_work: tuple[BatchPart, ...]
    notes: tuple[str, ...]
    proof: ProofPart
    verdict: VerdictPart
    pull: PullPart
    run_out: tuple[RunOutPart, ...]
    unreachable: tuple[UnreachedPart, ...]
    clash: WhatClashesPart | None = Field(
        default=None, description="Why the menu is not whole; null for a whole menu, or when not asked."
    )


def schema_text() -> str:
    """The JSON schema of ``menu --json``."""
    return json.dumps(MenuFile.model_json_schema(), indent=2)


def menu_file(sheet: MenuSheet) -> MenuFile:
    """The sheet in the shape that is written out."""
    plan = sheet.plan
    return MenuFile(
        format="pantrymeals menu 2",
        made_by=f"pantrymeals {__version__}",
        household=sheet.household.name,
        first=plan.first,
        days=plan.days,
        meals=_meals(sheet),
        openings=tuple(
            OpeningPart(
                day=o.day,
                product=o.product,
                size=o.size,
                count=o.count,
                lifted=o.lifted,
                last=o.last,
                uses=_day_uses(o.uses),
                lot=_lot(o.lot),
            )
            for o in plan.openings
        ),
        begun=tuple(
            BegunPart(product=b.product, size=b.size, opened=b.opened, uses=_day_uses(b.uses)) for b in plan.begun
        ),
        fetched=tuple(
            FetchedPart(day=f.day, product=f.product, size=f.size, count=f.count, lot=_lot(f.lot), work=f.work)
            for f in plan.fetched
        ),
        waste=tuple(WastePart(day=w.day, **_amount(sheet, w.product, w.amount).model_dump()) for w in plan.waste),
        shares=tuple(
            SharePart(product=s.product, share=s.share, low=s.low, high=s.high, drawn=s.drawn, off=s.off, why=s.why)
            for s in plan.shares
        ),
        batch_work=tuple(
            BatchPart(day=b.day, name=b.name, times=b.times, why=b.why, uses=_uses(sheet, b.uses))
            for b in plan.batch_work
        ),
        notes=plan.notes,
        proof=_proof(sheet),
        verdict=VerdictPart(rules_kept=not sheet.broken, broken=sheet.broken),
        pull=_pull(sheet),
        run_out=_run_out(sheet),
        unreachable=tuple(UnreachedPart(product=name, why=why) for name, why in sheet.unreachable),
        clash=None if sheet.clash is None else clash_part(sheet.clash),
    )


def menu_json(sheet: MenuSheet) -> str:
    """The sheet as JSON text, indented, in the order of the schema."""
    return menu_file(sheet).model_dump_json(indent=2)


def _amount(sheet: MenuSheet, name: str, base: Fraction) -> AmountPart:
    product = sheet.household.products.get(name)
    return AmountPart(
        product=name,
        words=amount_of(product, base) if product is not None else "",
        quantity=round(float(base), 6),
        measure=product.measure if product is not None else None,
        exact=base,
    )


def _uses(sheet: MenuSheet, uses: tuple[ChosenUse, ...]) -> tuple[UsePart, ...]:
    return tuple(UsePart(stand_in=u.stand_in, **_amount(sheet, u.product, u.amount).model_dump()) for u in uses)


def _meals(sheet: MenuSheet) -> tuple[MealPart, ...]:
    return tuple(
        MealPart(
            day=meal.day,
            meal=meal.meal,
            portions=meal.portions,
            dishes=tuple(
                DishPart(
                    role=d.role,
                    dish=d.dish,
                    batches=d.batches,
                    uses=_uses(sheet, d.uses),
                    instead=d.instead,
                    why=d.why,
                    pinned=d.pinned,
                )
                for d in meal.dishes
            ),
            open_roles=meal.open_roles,
            covered_roles=meal.covered_roles,
            occasion=meal.occasion,
        )
        for meal in sheet.plan.meals
    )


def _day_uses(uses: tuple[DayUse, ...]) -> tuple[DayUsePart, ...]:
    return tuple(DayUsePart(day=day, exact=amount) for day, amount in uses)


def _lot(lot: FromLot | None) -> LotPart | None:
    if lot is None:
        return None
    return LotPart(where=lot.where, put_up=lot.put_up, year_only=lot.year_only, load=lot.load)


def _proof(sheet: MenuSheet) -> ProofPart:
    plan = sheet.plan
    return ProofPart(
        cost=plan.cost,
        bound=plan.bound,
        gap=plan.gap,
        seconds=plan.seconds,
        seed=plan.seed,
        ended=plan.ended,
        open_roles=plan.open_roles,
        pace=plan.pace,
        parts=plan.parts,
    )


def _pull(sheet: MenuSheet) -> PullPart:
    pull = sheet.pull
    return PullPart(
        lines=tuple(
            PullLinePart(
                fetch=x.fetch,
                where=x.where,
                kind=x.kind,
                product=x.product,
                size=x.size,
                count=x.count,
                put_up=x.put_up,
                needed=x.needed,
                dish=x.dish,
                last_day=x.last_day,
                load=x.load,
            )
            for x in pull.lines
        ),
        ahead=tuple(AheadPart(day=a.day, what=a.what, dish=a.dish, dish_day=a.dish_day) for a in pull.ahead),
        empties=tuple(EmptiesPart(size=size, count=count) for size, count in pull.empties),
        cautions=pull.cautions,
    )


def _run_out(sheet: MenuSheet) -> tuple[RunOutPart, ...]:
    return tuple(
        RunOutPart(
            product=r.product,
            on_hand=r.on_hand,
            on_hand_words=containers(sheet.household.products.get(r.product), r.on_hand),
            reserve=r.reserve,
            weekly=r.weekly,
            out=r.out,
            must_last_to=r.must_last_to,
            mark=r.mark,
            reason=r.reason,
            gap_weeks=r.gap_weeks,
        )
        for r in sheet.run_out
    )
