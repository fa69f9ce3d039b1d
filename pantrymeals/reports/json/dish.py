"""One dish for one table, as JSON for other programs; amounts in the product's base measure (ml, g or pieces)."""

from __future__ import annotations

from pantrymeals.plans.dish import DishSheet
from pantrymeals.records import Household, Option
from pantrymeals.reports.json.figures import figures_json
from pantrymeals.reports.words import amount_and_name


def dish_json(household: Household, sheet: DishSheet) -> str:
    """The sheet's own names; every option with its amount as a number and in words."""

    def option(of: Option) -> dict[str, object]:
        return {
            "product": of.product,
            "measure": household.products[of.product].measure,
            "amount": of.amount,
            "said": amount_and_name(household, of.product, of.amount),
            "stand_in": of.stand_in,
            "note": of.note,
        }

    dish = sheet.dish
    return figures_json(
        dish=dish.name,
        role=dish.role,
        day=sheet.day,
        meal=sheet.meal,
        portions=sheet.portions,
        batches=sheet.batches,
        serves=dish.serves,
        minutes=dish.minutes,
        hands_on_minutes=dish.hands_on_minutes,
        note=dish.note,
        uses=[[option(o) for o in options] for options in sheet.uses],
        taken=sheet.taken,
        needs_left=dish.needs_left,
        left_by=sheet.left_by,
        barred=[{"person": person, "mark": mark} for person, mark in sheet.barred],
        only_without=[{"person": p, "mark": m, "products": names} for p, m, names in sheet.only_without],
        beside=[
            {"for": i.whom, "what": i.what, "uses": [[option(o) for o in u.options] for u in i.uses]}
            for i in sheet.beside
        ],
        refused=sheet.refused,
        too_late=[{"product": name, "ready": day} for name, day in sheet.too_late],
        no_sooner=[{"product": name, "ready": day} for name, day in sheet.no_sooner],
        method=dish.method,
        leaves={"name": dish.leaves.name, "portions": dish.leaves.portions * sheet.batches,
                "days": dish.leaves.days, "becomes": sheet.becomes} if dish.leaves and not dish.leaves.over else None,
        over=sheet.over and {
            "portions": sheet.over.portions, "keeps_to": sheet.over.keeps_to,
            "becomes": sheet.becomes if dish.leaves and dish.leaves.over else ()},
        pull=sheet.pull.lines,
        ahead=sheet.pull.ahead,
        cautions=sheet.pull.cautions,
    )  # fmt: skip
