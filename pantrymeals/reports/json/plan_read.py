"""A menu read back from its JSON, exactly as it was planned."""

from __future__ import annotations

from pydantic import ValidationError

from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import (
    AheadLine,
    BatchWork,
    BegunUse,
    ChosenUse,
    DayUse,
    Fetched,
    FromLot,
    MenuPlan,
    Opening,
    PlannedDish,
    PlannedMeal,
    PullLine,
    PullList,
    RunOutRow,
    ShareRow,
    Waste,
)
from pantrymeals.records import Household
from pantrymeals.reports.json.clash import clash_in
from pantrymeals.reports.json.plan import DayUsePart, DishPart, LotPart, MealPart, MenuFile, UsePart
from pantrymeals.reports.sheet import MenuSheet


def read_menu_file(text: str) -> MenuFile:
    """The file's parts, checked against the schema.

    Raises PantryError, naming the first place that is wrong, when it is no menu of ours.
    """
    try:
        return MenuFile.model_validate_json(text)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"]) or "the file"
        raise PantryError(f"this is not a menu made by `menu --json`: {where}: {first['msg']}") from None


def plan_in(file: MenuFile) -> MenuPlan:
    """The plan that was written, fractions and all."""
    proof = file.proof
    return MenuPlan(
        first=file.first,
        days=file.days,
        meals=tuple(_meal(meal) for meal in file.meals),
        openings=tuple(
            Opening(o.day, o.product, o.size, o.count, o.lifted, o.last, _day_uses(o.uses), _lot(o.lot))
            for o in file.openings
        ),
        begun=tuple(BegunUse(b.product, b.size, b.opened, _day_uses(b.uses)) for b in file.begun),
        fetched=tuple(Fetched(f.day, f.product, f.size, f.count, _lot(f.lot), f.work) for f in file.fetched),
        waste=tuple(Waste(w.day, w.product, w.exact) for w in file.waste),
        shares=tuple(ShareRow(s.product, s.share, s.low, s.high, s.drawn, s.off, s.why) for s in file.shares),
        batch_work=tuple(BatchWork(b.day, b.name, b.times, b.why, _uses(b.uses)) for b in file.batch_work),
        pace=proof.pace,
        cost=proof.cost,
        bound=proof.bound,
        gap=proof.gap,
        seconds=proof.seconds,
        seed=proof.seed,
        ended=proof.ended,
        open_roles=proof.open_roles,
        parts=proof.parts,
        notes=file.notes,
    )


def sheet_in(file: MenuFile, household: Household) -> MenuSheet:
    """Everything that was shown beside the plan; who is at table is not kept in the file."""
    pull = file.pull
    return MenuSheet(
        household=household,
        plan=plan_in(file),
        broken=file.verdict.broken,
        pull=PullList(
            lines=tuple(
                PullLine(
                    x.fetch, x.where, x.kind, x.product, x.size, x.count, x.put_up,
                    x.needed, x.dish, x.last_day, x.load,
                )
                for x in pull.lines
            ),
            ahead=tuple(AheadLine(a.day, a.what, a.dish, a.dish_day) for a in pull.ahead),
            empties=tuple((e.size, e.count) for e in pull.empties),
            cautions=pull.cautions,
        ),
        run_out=tuple(
            RunOutRow(
                r.product, r.on_hand, r.reserve, r.weekly, r.out, r.must_last_to, r.mark,
                r.reason, r.gap_weeks,
            )
            for r in file.run_out
        ),
        unreachable=tuple((u.product, u.why) for u in file.unreachable),
        clash=None if file.clash is None else clash_in(file.clash),
    )  # fmt: skip


def _meal(part: MealPart) -> PlannedMeal:
    return PlannedMeal(
        day=part.day,
        meal=part.meal,
        portions=part.portions,
        dishes=tuple(_dish(dish) for dish in part.dishes),
        open_roles=part.open_roles,
        covered_roles=part.covered_roles,
        occasion=part.occasion,
    )


def _uses(parts: tuple[UsePart, ...]) -> tuple[ChosenUse, ...]:
    return tuple(ChosenUse(u.product, u.exact, u.stand_in) for u in parts)


def _day_uses(parts: tuple[DayUsePart, ...]) -> tuple[DayUse, ...]:
    return tuple((u.day, u.exact) for u in parts)


def _lot(part: LotPart | None) -> FromLot | None:
    return None if part is None else FromLot(part.where, part.put_up, part.year_only, part.load)


def _dish(part: DishPart) -> PlannedDish:
    return PlannedDish(
        role=part.role,
        dish=part.dish,
        batches=part.batches,
        uses=_uses(part.uses),
        instead=part.instead,
        why=part.why,
        pinned=part.pinned,
    )
