"""What a whole menu costs, worked out from what is cooked: no solver, no rows.

``score`` gives hundredths of a point, or None where the shelf cannot give what the menu takes.
``keeps_the_rules`` judges the rules that speak of more than one dish (7 to 10, 12 and 13).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from pantrymeals.checking.table import kinds_of, portions_of, weekday_of
from pantrymeals.records import Dish, Role
from tests.kitchens.own_reading import (
    ALONE,
    FEWEST_GOING_OVER,
    GONE_OVER,
    LARGEST_OFF_THOUSANDTH,
    LEFT_OPEN_CONTAINER,
    OPEN_ROLE,
    WASTED_CONTAINER,
    ZERO,
    Cooking,
    Draw,
    Question,
    Stock,
)


@dataclass(frozen=True, slots=True)
class Cooked:
    """One dish cooked, with the option that each of its uses takes."""

    cooking: Cooking
    takes: tuple[Draw, ...]


def score(question: Question, menu: Sequence[Cooked], left_open: Sequence[Role]) -> int | None:
    """Hundredths of a point of a menu that keeps the rules; None when the shelf falls short."""
    needs: dict[str, dict[int, Fraction]] = {}
    grains: dict[str, dict[int, int]] = {}
    for dish in menu:
        for draw in dish.takes:
            day = dish.cooking.day
            of_day = needs.setdefault(draw.product, {})
            of_day[day] = of_day.get(day, ZERO) + draw.amount
            in_grains = grains.setdefault(draw.product, {})
            in_grains[day] = in_grains.get(day, 0) + question.stocks[draw.product].in_grains(draw.amount)
    total = sum(OPEN_ROLE[role] for role in left_open)
    total += sum(d.cooking.cost + sum(draw.cost for draw in d.takes) for d in menu)
    total += ALONE * lonely(question, menu)
    for name, stock in question.stocks.items():
        cost = from_the_shelf(stock, needs.get(name, {}), question.days)
        if cost is None:
            return None
        total += cost + going_over(question, stock, grains.get(name, {}))
    return total + unevenness(question, {n: sum(by_day.values()) for n, by_day in grains.items()})


def lonely(question: Question, menu: Sequence[Cooked]) -> int:
    """Dishes without one of the dishes they go well with, where one could have stood there."""
    count = 0
    for one in menu:
        wanted = one.cooking.dish.goes_with
        if not wanted:
            continue

        def goes(other: Cooking, one: Cooked = one, wanted: frozenset[str] = wanted) -> bool:
            same_meal = other.place == one.cooking.place and other.role != one.cooking.role
            return same_meal and bool(wanted & (other.dish.tags | {other.dish.name}))

        could = any(goes(other) for other in question.cookings)
        count += could and not any(goes(other.cooking) for other in menu)
    return count


def unevenness(question: Question, drawn: Mapping[str, int]) -> int:
    """Each product's grains outside its band, and the largest such share."""
    total = largest = 0
    for name, even in question.even.items():
        off = max(0, even.low - drawn.get(name, 0), drawn.get(name, 0) - even.high)
        total += off * even.each
        largest = max(largest, -(-off * even.millionths // 1000))
    return total + LARGEST_OFF_THOUSANDTH * largest


def going_over(question: Question, stock: Stock, grains: Mapping[int, int]) -> int:
    """What is left on the last day that a product keeps, where a dish could have had some."""
    if stock.last is None or stock.last < 0:
        return 0
    takers = any(d.product == stock.product.name for c in question.cookings for use in c.uses for d in use)
    if not takers and not stock.parts:
        return 0
    held = int(stock.supply[stock.last] / stock.grain) - ceil(stock.stood[stock.last] / stock.grain)
    if held <= 0:
        return 0
    left = max(0, held - sum(g for day, g in grains.items() if day <= stock.last))
    a_container = GONE_OVER / max(FEWEST_GOING_OVER, held / stock.grains)
    return left * max(1, round(a_container / stock.grains))


def from_the_shelf(stock: Stock, needs: Mapping[int, Fraction], days: int) -> int | None:
    """Hundredths for waste and for what stays open; None when there is not enough on some day."""
    if not stock.product.whole:
        taken = ZERO
        for day in range(days):
            taken += needs.get(day, ZERO)
            if taken > stock.room(day):
                return None
        return 0
    jars = tuple((last, left, ready) for ready, last, left in stock.parts)
    return _open_and_use(stock, needs, days, 0, jars, (0,) * len(stock.counts))


def _open_and_use(
    stock: Stock,
    needs: Mapping[int, Fraction],
    days: int,
    day: int,
    jars: tuple[tuple[int, Fraction, int], ...],
    opened: tuple[int, ...],
) -> int | None:
    """From one day on: what is open (last day, left, first day), and how many of each size were opened."""
    if day == days:
        open_still = sum((left for _, left, _ in jars), ZERO)
        price = LEFT_OPEN_CONTAINER // stock.grains if stock.life is not None else 0
        return int(open_still / stock.grain) * price
    need = needs.get(day, ZERO)
    if need > sum((left for _, left, ready in jars if ready <= day), ZERO):
        return _open_one_more(stock, needs, days, day, jars, opened)
    after: list[tuple[int, Fraction, int]] = []
    wasted = ZERO
    for last, left, ready in sorted(jars):
        taken = min(left, need) if ready <= day else ZERO
        need -= taken
        if last == day:
            wasted += left - taken
        elif left > taken:
            after.append((last, left - taken, ready))
    if _content(stock, opened) > stock.room(day):
        return None
    rest = _open_and_use(stock, needs, days, day + 1, tuple(after), opened)
    if rest is None:
        return None
    price = max(1, WASTED_CONTAINER // stock.grains) if stock.life is not None else 0
    return rest + int(wasted / stock.grain) * price


def _open_one_more(
    stock: Stock,
    needs: Mapping[int, Fraction],
    days: int,
    day: int,
    jars: tuple[tuple[int, Fraction, int], ...],
    opened: tuple[int, ...],
) -> int | None:
    """One container more is opened; of several sizes, the one that comes out cheapest."""
    if day < stock.product.thaw_days:
        return None
    best: int | None = None
    for number, (_, content, count) in enumerate(stock.counts):
        moved = ZERO if number else (stock.arrived[day] - stock.stood[day]) / content
        now = tuple(n + (i == number) for i, n in enumerate(opened))
        of_size = len(stock.counts) > 1 and now[number] > max(ZERO, count + moved)
        if of_size or _content(stock, now) > stock.room(day):
            continue
        last = days if stock.life is None else day + stock.life - 1
        cost = _open_and_use(stock, needs, days, day, (*jars, (last, content, day)), now)
        if cost is not None and (best is None or cost < best):
            best = cost
    return best


def _content(stock: Stock, opened: tuple[int, ...]) -> Fraction:
    return sum((n * c for n, (_, c, _) in zip(opened, stock.counts, strict=True)), ZERO)


def keeps_the_rules(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rules 7, 8 (most), 10, 12, 13 and pins, on a whole menu in which every place is decided."""
    return (
        repeats_are_apart(question, menu)
        and tags_are_within(question, menu)
        and minutes_are_there(question, menu)
        and all(not clash(a.dish, b.dish) for a in menu for b in menu if a.place == b.place and a is not b)
        and leavings_are_there(question, menu)
        and asked_for_is_there(question, menu)
    )


def gap_of(question: Question, dish: Dish) -> int:
    """Least days between two cookings; never twice on one day, but for everyday bread and fruit."""
    given = dish.days_between
    if given is None:
        given = question.household.rules.days_between.get(dish.role, 1)
    if dish.role in ("bread", "fruit") and given < 2:
        return 0
    return max(1, given)


def repeats_are_apart(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 7."""
    days: dict[str, list[int]] = {}
    for when, name in question.household.recent:
        if when < question.first:
            days.setdefault(name, []).append((when - question.first).days)
    for c in sorted(menu, key=lambda c: c.day):
        before = days.setdefault(c.dish.name, [])
        if before and c.day - max(before) < gap_of(question, c.dish):
            return False
        before.append(c.day)
    return True


def tags_are_within(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 8: at most in seven days, not two days running, not twice in a meal or a day."""
    household = question.household
    past = [
        ((when - question.first).days, household.dishes[name])
        for when, name in household.recent
        if when < question.first and name in household.dishes
    ]
    eaten = past + [(c.day, c.dish) for c in menu]
    for tag, most in household.rules.at_most.items():
        for day in {c.day for c in menu if tag in c.dish.tags}:
            for start in range(day - 6, day + 1):
                if sum(tag in dish.tags for d, dish in eaten if start <= d < start + 7) > most:
                    return False
    mains = [(d, dish) for d, dish in eaten if dish.role == "main"]
    for c in menu:
        if c.role == "main":
            for d, dish in mains:
                if d == c.day - 1 and dish.tags & c.dish.tags & household.rules.not_running:
                    return False
    for tag in household.rules.not_twice:
        tagged = [c.place for c in menu if tag in c.dish.tags]
        if len(tagged) != len(set(tagged)):
            return False
    for tag in household.rules.not_twice_a_day:
        tagged = [c.day for c in menu if tag in c.dish.tags and c.dish.needs_left is None]
        if len(tagged) != len(set(tagged)):
            return False
    return True


def minutes_are_there(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 10, the hands-on part."""
    for day in {c.day for c in menu}:
        on = question.on(day)
        most = question.household.rules.hands_on_minutes.get(weekday_of(on))
        work = sum(c.dish.hands_on_minutes for c in menu if c.day == day)
        if most is not None and work > most and not kinds_of(question.household, on):
            return False
    return True


def clash(one: Dish, other: Dish) -> bool:
    """Rule 12."""
    return bool(one.not_with & (other.tags | {other.name}) or other.not_with & (one.tags | {one.name}))


def leavings_are_there(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 13, for leavings cooked within the menu."""
    stretch = 1 + question.household.rules.stretch
    made: list[list[object]] = []
    for c in sorted(menu, key=lambda c: c.day):
        if c.dish.leaves is not None:
            meal = question.places[c.place].meal
            portions = portions_of(question.household, meal, question.on(c.day))
            times = max(1, ceil(portions / (c.dish.serves * stretch)))
            feeds = c.dish.leaves.portions * times * stretch
            made.append([c.dish.leaves.name, c.day, c.day + c.dish.leaves.days, feeds, False])
    for c in sorted(menu, key=lambda c: c.day):
        if c.dish.needs_left is None:
            continue
        portions = portions_of(question.household, question.places[c.place].meal, question.on(c.day))
        for entry in made:
            name, first, last, feeds, used = entry
            if name == c.dish.needs_left and first < c.day <= last and feeds >= portions and not used:  # type: ignore[operator]
                entry[4] = True
                break
        else:
            return False
    return True


def asked_for_is_there(question: Question, menu: Sequence[Cooking]) -> bool:
    """What is pinned stands on its day."""
    return all(any(c.dish.name == name and question.on(c.day) == day for c in menu) for day, name in question.pinned)
