"""House rules that bind nothing: they name a tag that no dish carries."""

from __future__ import annotations

from pantrymeals.records import Household, rules_written
from pantrymeals.words import either, listed


def rules_of_nothing(household: Household) -> tuple[str, ...]:
    """A sentence for the house rules, and for what somebody will not eat, whose tags no dish carries; often none."""
    named = {
        how.key: frozenset[str](getattr(household.rules, field))
        for field, how in rules_written().items()
        if how.shape in ("tags", "times of tags")
    }
    named["will_not"] = frozenset(tag for person in household.people for tag in person.will_not)
    carried = {tag.casefold() for dish in household.dishes.values() for tag in dish.tags}
    idle = {rule: {tag for tag in tags if tag.casefold() not in carried} for rule, tags in named.items()}
    tags = sorted(set().union(*idle.values()))
    if not tags:
        return ()
    where = listed(rule for rule, of in idle.items() if of)
    named_so = either([f"'{tag}'" for tag in tags])
    return (
        f"NOT SETTLED: no dish here carries the tag {named_so}, so what household.yaml says of it ({where}) binds "
        "nothing. Write it under 'tags' of the dishes that are meant, or take it out.",
    )
