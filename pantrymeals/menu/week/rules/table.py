"""The table of house rules. Add a rule here: its constraints, words, mending and twin are its entry's."""

from __future__ import annotations

from collections.abc import Hashable, Mapping

from pantrymeals.menu.week.enough import enough_on_the_plate
from pantrymeals.menu.week.model import Promise, Rule
from pantrymeals.menu.week.mornings import mornings
from pantrymeals.menu.week.rules.asked import FEAST, FIXED_NIGHT, LEFT_OUT, NIGHT_AFTER, PINNED, WISHES
from pantrymeals.menu.week.rules.day import LEAVINGS, LONGEST, MEAL_MINUTES, MINUTES, ROLES_FILLED, TOGETHER
from pantrymeals.menu.week.rules.rule import HouseRule
from pantrymeals.menu.week.rules.variety import VARIETY

HOUSE_RULES: tuple[HouseRule, ...] = (
    ROLES_FILLED, *VARIETY, MINUTES, MEAL_MINUTES, LONGEST, TOGETHER, LEAVINGS, PINNED, FEAST, FIXED_NIGHT, NIGHT_AFTER,
    LEFT_OUT,
)  # fmt: skip

CONSTRAINTS: tuple[Promise, ...] = tuple(rule.constrain for rule in HOUSE_RULES)
"""What every menu keeps."""

PROMISES: tuple[Promise, ...] = (*CONSTRAINTS, *WISHES, enough_on_the_plate, mornings)
"""What every menu keeps, and what it is wished to do beside."""

BY_KIND: Mapping[str, HouseRule] = {rule.kind: rule for rule in HOUSE_RULES}


def entry_of(kept: Hashable) -> HouseRule | None:
    """The entry of the rule that a constraint keeps; None where it keeps none."""
    return BY_KIND.get(kept.kind) if isinstance(kept, Rule) else None
