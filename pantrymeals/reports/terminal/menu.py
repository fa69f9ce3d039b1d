"""The menu as a cook reads it: day by day, what is cooked, from which jars, and why."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from pantrymeals.plans.fed import Fed
from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.records import ROLES, Household, MealName, Role
from pantrymeals.reports.lasts_words import lasts_in_short
from pantrymeals.reports.proof_words import THIN, how_good, unsettled
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.batch_days import write_batch_days
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import amount_and_name, reckoned_words
from pantrymeals.units import as_words
from pantrymeals.words import long_day, sentence, span, the_house

_LABEL = 11


def write_menu(paper: Paper, sheet: MenuSheet) -> None:
    """The whole menu by day, then what the plan notes, batch days, and how good it is."""
    plan = sheet.plan
    write_head(paper, sheet)
    for number in range(plan.days):
        day = plan.first + timedelta(days=number)
        meals = [meal for meal in plan.meals if meal.day == day]
        paper.blank()
        paper.line((long_day(day), "bold cyan"), f" · {sheet.at_table.get(day, '')}".rstrip(" ·"))
        if not any(meal.dishes or meal.open_roles for meal in meals):
            paper.line("nothing to cook", indent=2)
        for meal in meals:
            write_meal(paper, sheet.household, meal)
            for words in plate_words(sheet.fed, meal):
                paper.line((words, "dim"), indent=_LABEL + 2, hang=2)
    write_batch_days(paper, sheet.household, plan)
    paper.heading("How good this menu is")
    for text in how_good(sheet):
        paper.line(text)


def plate_words(fed: Fed, meal: PlannedMeal) -> list[str]:
    """'On each plate 690 kcal, 28 g protein': a portion of the meal, and whether that is thin."""
    one = next((m for m in fed.meals if (m.day, m.meal) == (meal.day, meal.meal)), None)
    if one is None or not meal.dishes:
        return []
    held = "not known" if one.kcal is None else f"{one.kcal:,} kcal"
    protein = "" if one.protein_g is None else f", {one.protein_g} g protein"
    return [f"On each plate {held}{protein}{f'; {THIN}' if one.thin else ''}"]


def write_head(paper: Paper, sheet: MenuSheet, beside: str = "") -> None:
    """Whose menu it is and of which days, with what is said beside them; that its shelf is reckoned; faults, loudly."""
    paper.line((f"The menu at {the_house(sheet.household.name)} table", "bold"))
    paper.line(span(sheet.plan.first, sheet.plan.last) + beside)
    if sheet.cover is not None:
        paper.line((lasts_in_short(sheet.cover), "bold"))
    if sheet.reckoned_from is not None:
        paper.line((reckoned_words(sheet.reckoned_from, sheet.plan.first), "bold"))
    write_unsettled(paper, sheet)
    write_faults(paper, sheet.broken)


def write_unsettled(paper: Paper, sheet: MenuSheet) -> None:
    """What guards nobody or binds nothing until the household's files say more."""
    for note in unsettled(sheet.plan):
        paper.line((note, "bold"))


def write_faults(paper: Paper, broken: tuple[str, ...]) -> None:
    """What the checker found, loudly: a menu with faults is not to be cooked from."""
    if not broken:
        return
    paper.blank()
    paper.line((f"DO NOT COOK FROM THIS MENU: the checker finds {len(broken)} broken rule(s).", "bold red"))
    for fault in broken:
        paper.line(("* ", "red"), fault, indent=2, hang=2)
    paper.line("This is our mistake, not yours. Ask again with another --seed, and tell us.")


def write_meal(paper: Paper, household: Household, meal: PlannedMeal) -> None:
    """One meal: a line a dish with its minutes, what it takes, and why it was chosen."""
    for label, planned in in_order(meal):
        if isinstance(planned, PlannedDish):
            _write_dish(paper, household, label, planned)
        else:
            left = [(f"{planned} left open", "bold red")]
            paper.split_line(label, left, "", indent=2, label_width=_LABEL)


def in_order(meal: PlannedMeal) -> list[tuple[str, PlannedDish | Role]]:
    """The meal's dishes and open roles, the main first; labelled by the meal, then by their roles."""
    plates: dict[Role, PlannedDish | Role] = {role: role for role in meal.open_roles}
    plates |= {planned.role: planned for planned in meal.dishes}
    roles = [role for role in ROLES if role in plates]
    return [(role if place else meal.meal, plates[role]) for place, role in enumerate(roles)]


def _write_dish(paper: Paper, household: Household, label: str, planned: PlannedDish) -> None:
    dish = household.dishes.get(planned.dish)
    minutes = ""
    if dish is not None:
        minutes = f"{dish.minutes} min"
        if dish.hands_on_minutes < dish.minutes:
            minutes += f", {dish.hands_on_minutes} hands-on"
    name = planned.dish + (f", {times_words(planned.batches)}" if planned.batches != 1 else "")
    asked = " (as you asked)" if planned.pinned else ""
    paper.split_line(label, [(name, "bold"), asked], minutes, indent=2, label_width=_LABEL)
    indent = _LABEL + 2
    if planned.uses:
        paper.line((from_words(household, planned), ""), indent=indent, hang=2)
    for person in planned.instead:
        paper.line(("for " + person, ""), indent=indent, hang=2)
    if planned.why:
        paper.line((sentence(planned.why), "dim"), indent=indent, hang=2)


def from_words(household: Household, planned: PlannedDish) -> str:
    """'from 2 qt Chicken stock; 1 pt Tomato sauce (standing in)': each product once, amounts together."""
    amounts: dict[str, Fraction] = {}
    for use in planned.uses:
        amounts[use.product] = amounts.get(use.product, Fraction(0)) + use.amount
    standing_in = {use.product for use in planned.uses if use.stand_in}
    parts = [
        amount_and_name(household, name, amount) + (" (standing in)" if name in standing_in else "")
        for name, amount in amounts.items()
    ]
    return "from " + "; ".join(parts)


def place_words(meal: MealName, role: Role) -> str:
    """'supper, side', 'lunch': a place on the menu."""
    return meal if role == meal else f"{meal}, {role}"


_TIMES = {
    Fraction(1, 3): "a third of the recipe",
    Fraction(1, 2): "half the recipe",
    Fraction(2, 3): "two thirds of the recipe",
    Fraction(1): "",
    Fraction(2): "made double",
    Fraction(3): "three times the recipe",
}


def times_words(batches: Fraction) -> str:
    """'half the recipe', 'made double', '1 1/2 times the recipe'; '' for one batch."""
    return _TIMES.get(batches, f"{as_words(batches)} times the recipe")
