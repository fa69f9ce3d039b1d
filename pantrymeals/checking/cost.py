"""What a plan costs, worked out a second time from the plan and the records: 'What a menu costs' in DEVELOPERS.md."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import timedelta
from fractions import Fraction
from math import isclose, isfinite

from pantrymeals.checking import points
from pantrymeals.checking.could_stand import places
from pantrymeals.checking.enough import enough
from pantrymeals.checking.evenness import even_row, is_kept_even, passed_over, step_of
from pantrymeals.checking.nights import SHORT_DAYS
from pantrymeals.checking.shelf import ZERO, day_of, number_of, opened_life, products_touched, stood, supplied, used
from pantrymeals.checking.table import eaters_of, fixed_night, occasions_of, roles_of
from pantrymeals.checking.uses import alternatives_served
from pantrymeals.checking.words import containers, planned_dishes
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household, Product, Use

CLOSE = 1e-6
EIGHT_WEEKS = 56
BASES = ("oats", "bread", "toast", "potato", "beans", "corn")


def open_roles(household: Household, plan: MenuPlan) -> Fraction:  # noqa: ARG001
    """Places left open, by role."""
    return sum((points.OPEN[role] for meal in plan.meals for role in meal.open_roles), ZERO)


def liking_and_effort(household: Household, plan: MenuPlan) -> Fraction:
    """How each dish is liked, its minutes, who will not eat it, options less liked, and dishes without a partner."""
    total = ZERO
    for meal, planned in planned_dishes(plan):
        dish = household.dishes[planned.dish]
        noted = {note.whom.casefold() for note in dish.instead}
        refuse = [
            p for p in eaters_of(household, meal.meal, meal.day)
            if p.will_not & dish.tags and p.name.casefold() not in noted
        ]  # fmt: skip
        total += points.LIKED_LESS * (2 - dish.liking) + points.MINUTE * dish.hands_on_minutes
        total += points.REFUSED * len(refuse) + points.OPTION_LESS_LIKED * _ranks(household, meal, planned)
        total += points.EVERYDAY * _everyday_at_an_occasion(household, meal, dish)
        begin = min(plan.first, household.today)
        late = [step for step in dish.ahead if (meal.day - begin).days < step.days_before]
        total += points.STEP_TOO_LATE * bool(late)
        total += _each_time(dish) * _stood_lately(household, plan, dish)
        total += points.SAME_THING_AGAIN * _as_a_week_ago(household, plan, meal, dish)
        beside = [household.dishes[other.dish] for other in meal.dishes if other is not planned]
        if dish.goes_with and not any({one.name, *one.tags} & dish.goes_with for one in beside):
            total += points.ALONE
    return total


def _everyday_at_an_occasion(household: Household, meal: PlannedMeal, dish: Dish) -> bool:
    """Whether a main or lunch at the meal of a feast or crew is neither kept for such days nor its own."""
    on = occasions_of(household, meal.day)
    kinds = {o.kind for o in on if o.kind and meal.meal in o.meals}
    fitting = dish.only_for in kinds or dish.name in {o.dish for o in on}
    return bool(kinds) and dish.role in ("main", "lunch") and not fitting


def _each_time(dish: Dish) -> int:
    if dish.role in ("breakfast", "lunch"):
        return points.MORNING_OR_NOON_STOOD_LATELY
    return points.MAIN_STOOD_LATELY if dish.role == "main" else points.STOOD_LATELY


def _stood_lately(household: Household, plan: MenuPlan, dish: Dish) -> int:
    """How often a dish stood in the eight weeks before the plan's first day, four times at most."""
    times = sum(name == dish.name and 1 <= (plan.first - day).days <= EIGHT_WEEKS for day, name in household.recent)
    return min(4, times)


def _as_a_week_ago(household: Household, plan: MenuPlan, meal: PlannedMeal, dish: Dish) -> bool:
    """Whether a main's first product is of the family of that of a main of the week before's same weekday."""
    if dish.role != "main" or not dish.uses:
        return False
    family = _family(household, dish)
    then = [household.dishes[n] for d, n in household.recent if n in household.dishes and (meal.day - d).days == 7
            and d < plan.first]  # fmt: skip
    return bool(family) and any(old.role == "main" and old.uses and _family(household, old) == family for old in then)


def _family(household: Household, dish: Dish) -> str:
    return household.products[dish.uses[0].options[0].product].family


def _ranks(household: Household, meal: PlannedMeal, planned: PlannedDish) -> int:
    """How far down its lists of options a dish had to go: the least that gives what it takes in all."""
    dish = household.dishes[planned.dish]
    asked = [(use, planned.batches) for use in dish.uses]
    asked += [(use, Fraction(1)) for note in alternatives_served(household, meal, dish) for use in note.uses]
    left: dict[str, Fraction] = {}
    for use in planned.uses:
        left[use.product] = left.get(use.product, ZERO) + use.amount
    return _least_ranks(asked, left) or 0


def _least_ranks(asked: Sequence[tuple[Use, Fraction]], left: Mapping[str, Fraction]) -> int | None:
    if not asked:
        return None if any(left.values()) else 0
    best: int | None = None
    (use, times), rest = asked[0], asked[1:]
    for rank, option in enumerate(use.options):
        amount = option.amount * times
        if left.get(option.product, ZERO) < amount:
            continue
        more = _least_ranks(rest, {**left, option.product: left[option.product] - amount})
        if more is not None:
            whole = more + rank + points.STAND_IN_RANKS * option.stand_in
            best = whole if best is None else min(best, whole)
    return best


def takers(household: Household, plan: MenuPlan) -> set[str]:
    """Products that some dish could take at some meal of the plan's days."""
    return {
        name for place in places(household, plan) for one in place.dishes for choice in one.uses for name, _ in choice
    }


def evenness(household: Household, plan: MenuPlan) -> Fraction:
    """Each product's containers outside its band as a part of its share, and the greatest such part once more."""
    parts = [ZERO]
    for name in sorted(takers(household, plan)):
        product = household.products[name]
        if is_kept_even(household, plan, product):
            row = even_row(household, plan, product)
            weight = 1 + passed_over(household, plan, product)
            parts.append(weight * row.off / max(row.share, Fraction(points.FEWEST_STEPS * step_of(household, product))))
    return points.OFF * sum(parts, ZERO) + points.FURTHEST_OFF * max(parts)


def waste(household: Household, plan: MenuPlan) -> Fraction:
    """What goes over within the plan's days, and what is open and good at its end of what keeps no longer than it."""
    total = ZERO
    for product in products_touched(household, plan):
        if product.whole:
            life = opened_life(household, plan, product)
            over = sum((amount for _, amount in life.waste), ZERO)
            each = points.THAWED_GONE_OVER if _pack_thawing(household, plan, product) else points.GONE_OVER
            total += each * containers(product, over)
            if product.opened_days is not None and product.opened_days <= plan.days:
                total += points.OPEN_AT_THE_END * containers(product, life.at_the_end)
    return total


def _pack_thawing(household: Household, plan: MenuPlan, product: Product) -> bool:
    """Whether a whole pack lay thawed or thawing when the plan began."""
    full = {size.name: size.content for size in product.sizes}
    for part in household.part_jars:
        if (
            part.product == product.name
            and product.thaw_days
            and part.left >= full.get(part.size, product.sizes[0].content)
        ):
            keeps = product.opened_days
            if keeps is None or number_of(plan, part.opened) + product.thaw_days + keeps > 0:
                return True
    return False


def eat_first(household: Household, plan: MenuPlan) -> Fraction:
    """What is left of each product on the last day that it keeps, as a part of what there was."""
    return sum((_left_over(household, plan, household.products[name]) for name in takers(household, plan)), ZERO)


def _left_over(household: Household, plan: MenuPlan, product: Product) -> Fraction:
    keeps = product.must_last_to
    if product.deadline_kind != "keeps to" or keeps is None or not 0 <= number_of(plan, keeps) < plan.days + 3:
        return ZERO
    end, number = plan.last + timedelta(days=4), min(number_of(plan, keeps), plan.days - 1)
    if any(a.product == product.name and keeps <= a.day < end for a in household.arrivals):
        return ZERO
    held = containers(product, supplied(household, plan, product)[number] - stood(household, plan, product)[number])
    eaten = containers(product, sum(used(plan, product.name)[: number + 1], ZERO))
    return points.NOT_EATEN_FIRST * max(ZERO, held - eaten) / max(held, Fraction(points.FEWEST_NOT_EATEN))


def mornings(household: Household, plan: MenuPlan) -> Fraction:
    """Breakfasts of one base beyond three, in the first seven days, the next seven and so on."""
    over = 0
    for base in BASES:
        of_base = [
            number_of(plan, meal.day) // 7
            for meal, planned in planned_dishes(plan)
            if planned.role == "breakfast" and base in household.dishes[planned.dish].tags
        ]
        over += sum(max(0, of_base.count(week) - 3) for week in set(of_base))
    return Fraction(points.SAME_MORNING * over)


def fresh_first(household: Household, plan: MenuPlan) -> Fraction:
    """What the dishes take of products that wait that day for something fresh of the same."""
    total = ZERO
    for meal, planned in planned_dishes(plan):
        for use in planned.uses:
            product = household.products[use.product]
            total += containers(product, use.amount) if meal.day in product.waits_on else ZERO
    return points.OPENED_WHILE_FRESH * total


def missed(household: Household, plan: MenuPlan) -> Fraction:
    """Fixed nights and tags of the week, on menus of more than ten days occasions' dishes too, that are not there."""
    count = 0
    for meal in plan.meals:
        mains = [p for p in meal.dishes if p.role == "main"]
        tag = fixed_night(household, meal.meal, meal.day)
        if tag and "main" in roles_of(household, meal.meal, meal.day) and not any(p.pinned for p in mains):
            has_it = any(tag in household.dishes[p.dish].tags for p in mains)
            count += "main" not in meal.open_roles and not has_it
    for tag, least in household.rules.at_least.items():
        for start in range(0, plan.days - 6, 7):
            week = {day_of(plan, start + number) for number in range(7)}
            have = [p for m, p in planned_dishes(plan) if m.day in week and p.role == "main"]
            count += max(0, least - sum(tag in household.dishes[p.dish].tags for p in have))
    feasts = _feasts_without(household, plan) if plan.days > SHORT_DAYS else 0
    return Fraction(points.MISSED * count + points.FEAST_MISSED * feasts)


def _feasts_without(household: Household, plan: MenuPlan) -> int:
    count = 0
    for number in range(plan.days):
        day = day_of(plan, number)
        for occasion in occasions_of(household, day):
            dish = household.dishes.get(occasion.dish)
            at = [m for m in plan.meals if m.day == day and m.meal in occasion.meals]
            fitting = [m for m in at if dish and dish.role in roles_of(household, m.meal, day)]
            count += bool(fitting) and not any(p.dish == occasion.dish for m in fitting for p in m.dishes)
    return count


WISHES: Mapping[str, Callable[[Household, MenuPlan], Fraction]] = {
    "open roles": open_roles,
    "liking and effort": liking_and_effort,
    "evenness": evenness,
    "waste": waste,
    "eat first": eat_first,
    "fresh first": fresh_first,
    "enough": enough,
    "mornings": mornings,
    "missed": missed,
}


def cost_is_as_stated(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Every wish's points are as worked out here, and the cost is their sum."""
    said = dict(plan.parts)
    total = ZERO
    for wish, right in ((wish, points_of(household, plan)) for wish, points_of in WISHES.items()):
        total += right
        if not isclose(float(right), said.pop(wish, 0.0), rel_tol=CLOSE, abs_tol=CLOSE):
            stated = dict(plan.parts).get(wish, 0.0)
            yield f"{wish}: costs {float(right):.6g} points, the plan states {stated:.6g}"
    total += Fraction(said.pop("changes", 0.0))  # of an announced menu, which a plan does not carry
    for wish in said:
        yield f"{wish}: no wish of that name costs anything, the plan states {said[wish]:.6g} points"
    if isfinite(plan.cost) and not isclose(float(total), plan.cost, rel_tol=CLOSE, abs_tol=CLOSE):
        yield f"the menu costs {float(total):.6g} points, the plan states {plan.cost:.6g}"


RULES = (cost_is_as_stated,)
