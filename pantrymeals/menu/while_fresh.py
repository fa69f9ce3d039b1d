"""Why a jar, bag or bin is gone to although something fresh of the same is there that day (rule 16).

Read off the finished menu, so that it is true of it: each such use is said once, with its reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.larder.fresh import could_give
from pantrymeals.larder.table import occasions_on
from pantrymeals.plans.menu import ChosenUse, MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Household, Product
from pantrymeals.words import listed, short_date, spoken


class _Opened(Struct, frozen=True):
    """A dish that takes a product while something fresh of the same is there."""

    household: Household
    plan: MenuPlan
    meal: PlannedMeal
    dish: PlannedDish
    use: ChosenUse

    @property
    def fresh(self) -> list[Product]:
        """The fresh things that the product waits for."""
        return [p for p in self.household.products.values() if self.use.product in p.eaten_before]

    def why(self) -> str:
        """The reason, the strongest first."""
        if self.dish.pinned:
            return "you asked for it"
        for occasion in occasions_on(self.household, self.meal.day):
            if occasion.dish == self.dish.dish:
                return f"for {occasion.name}"
        in_place = self._in_its_place()
        if not in_place:
            return "it is made with nothing fresh in its place"
        short = [p for p, amount in in_place if could_give(self.household, p, self.plan, self.meal.day) < amount]
        if len(short) == len(in_place):
            names = listed([spoken(p) for p in short])
            return f"what is picked of {names} is eaten"
        return "with the fresh no menu that was found is better"

    def _in_its_place(self) -> list[tuple[Product, Fraction]]:
        """Fresh things that a use of the dish takes in the product's place, with how much it would take."""
        fresh = {p.name: p for p in self.fresh}
        out = []
        for use in self.household.dishes[self.dish.dish].uses:
            if any(o.product == self.use.product for o in use.options):
                found = ((fresh[o.product], o.amount) for o in use.options if o.product in fresh)
                out += [(product, amount * self.dish.batches) for product, amount in found]
        return out


def with_why_opened(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan with a note for each product that is gone to while something fresh of the same is there."""
    return replace(plan, notes=(*plan.notes, *_notes(household, plan)))


def _notes(household: Household, plan: MenuPlan) -> Iterator[str]:
    found: dict[str, list[_Opened]] = {}
    for meal in plan.meals:
        for dish in meal.dishes:
            for use in dish.uses:
                if meal.day in household.products[use.product].waits_on:
                    found.setdefault(use.product, []).append(_Opened(household, plan, meal, dish, use))
    for name, uses in found.items():
        said = "; ".join(f"{x.dish.dish} on {short_date(x.meal.day)} ({x.why()})" for x in uses)
        fresh = listed([spoken(p) for p in uses[0].fresh])
        yield f"{name}, with {fresh} to be had: {said}."
