"""What is cooked for more than sit down, eaten once more: a household of two lives on it.

A dish that says how long it keeps (`keeps: 3`) becomes another meal in a small household: where one batch of it feeds
the whole table twice, a dish 'Bean pot, warmed up' stands beside it, made from what is over of the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from pantrymeals.records import Dish, MealRoles, Person, Role

WARMED_UP = "{}, warmed up"
_MINUTES, _HANDS_ON, _LIKING = 15, 5, 1
_METHOD = ("Heat it through, stirring, until it bubbles and steams all over.",)


def with_second_meals(
    dishes: Mapping[str, Dish], people: Iterable[Person], meals: Iterable[MealRoles]
) -> dict[str, Dish]:
    """The dishes, and beside each that keeps and feeds everybody twice what is over of it as a dish."""
    all_eat = sum((person.portion for person in people), Fraction(0))
    has_lunch = any("lunch" in roles for of in meals for roles in of.roles.values())
    out = dict(dishes)
    for dish in dishes.values():
        name = WARMED_UP.format(dish.name)
        twice = all_eat > 0 and dish.serves >= 2 * all_eat
        if dish.leaves and dish.leaves.over and dish.role in ("main", "lunch") and twice and name not in dishes:
            out[name] = _warmed_up(dish, name, "lunch" if has_lunch else "main")
    return out


def _warmed_up(dish: Dish, name: str, role: Role) -> Dish:
    main = role == "main"
    return Dish(
        name=name,
        role=role,
        serves=dish.serves,
        uses=(),
        covers=dish.covers if main else frozenset(),
        minutes=_MINUTES,
        hands_on_minutes=_HANDS_ON,
        tags=frozenset() if main else dish.tags,
        contents=dish.contents,
        not_with=dish.not_with,
        days_between=1,
        needs_left=dish.name,
        not_for=dish.not_for,
        liking=_LIKING,
        whole_batches=True,
        method=_METHOD,
        book=dish.book,
        place=dish.place,
    )
