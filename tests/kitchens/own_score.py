"""What a whole menu costs, worked out from what is cooked: no solver, no rows.

``score`` gives points, or None where the shelf cannot give what the menu takes.
``keeps_the_rules`` judges the rules that speak of more than one dish (7 to 10, 12 and 13).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from pantrymeals.records import Dish, Product, Role
from tests.kitchens.own_reading import (
    ALONE,
    FEWEST_GOING_OVER,
    GONE_OVER,
    LARGEST_OFF,
    LEFT_OPEN_CONTAINER,
    OFF_SHARE,
    OPEN_ROLE,
    Cooking,
    Draw,
    Question,
    Stock,
    keeps_a_promise,
    nights_after,
)
from tests.kitchens.own_rules import (
    ZERO,
    batches_of,
    is_own_there,
    kinds_of,
    occasions_of,
    part_jars,
    said_for,
    wasted_points,
    weekday_of,
)
from tests.kitchens.own_rules import gap_of as days_between


class Cooked(Struct, frozen=True):
    """One dish cooked, with the option that each of its uses takes."""

    cooking: Cooking
    takes: tuple[Draw, ...]


def score(question: Question, menu: Sequence[Cooked], left_open: Sequence[Role]) -> Fraction | None:
    """Points of a menu that keeps the rules; None when the shelf falls short."""
    needs: dict[str, dict[int, Fraction]] = {}
    for dish in menu:
        for draw in dish.takes:
            of_day = needs.setdefault(draw.product, {})
            of_day[dish.cooking.day] = of_day.get(dish.cooking.day, ZERO) + draw.amount
    total = Fraction(sum(OPEN_ROLE[role] for role in left_open))
    total += sum(d.cooking.cost + sum(draw.cost for draw in d.takes) for d in menu)
    total += ALONE * lonely(menu) + 300 * mornings_alike(menu)
    for name, stock in question.stocks.items():
        cost = from_the_shelf(stock, needs.get(name, {}), question.days)
        if cost is None:
            return None
        total += cost + going_over(stock, needs.get(name, {}))
    total += untouched(question)
    return total + unevenness(question, {n: sum(by_day.values(), ZERO) for n, by_day in needs.items()})


def mornings_alike(menu: Sequence[Cooked]) -> int:
    """Breakfasts of one base beyond three, in each seven days."""
    eaten = [(x.cooking.day // 7, base) for x in menu if x.cooking.role == "breakfast" for base in x.cooking.dish.tags]
    of_bases = Counter(x for x in eaten if x[1] in ("oats", "bread", "toast", "potato", "beans", "corn"))
    return sum(max(0, times - 3) for times in of_bases.values())


def lonely(menu: Sequence[Cooked]) -> int:
    """Dishes that go with others and have none of them in their meal."""
    count = 0
    for one in menu:
        beside = [o.cooking.dish for o in menu if o is not one and o.cooking.place == one.cooking.place]
        wanted = one.cooking.dish.goes_with
        count += bool(wanted) and not any(wanted & (dish.tags | {dish.name}) for dish in beside)
    return count


def unevenness(question: Question, drawn: Mapping[str, Fraction]) -> Fraction:
    """Each product's containers outside its band as parts of its share, and the greatest such part."""
    parts = [ZERO]
    for name, even in question.even.items():
        taken = drawn.get(name, ZERO) / question.stocks[name].content
        parts.append(max(ZERO, even.low - taken, taken - even.high) * even.weight)
    return OFF_SHARE * sum(parts, ZERO) + LARGEST_OFF * max(parts)


def going_over(stock: Stock, needs: Mapping[int, Fraction]) -> Fraction:
    """What is left on the last day that a product keeps, where a dish could have had some."""
    if stock.last is None or stock.last < 0:
        return ZERO
    held = (stock.supply[stock.last] - stock.stood[stock.last]) / stock.content
    eaten = sum((amount for day, amount in needs.items() if day <= stock.last), ZERO) / stock.content
    return GONE_OVER * max(ZERO, held - eaten) / max(held, FEWEST_GOING_OVER)


def untouched(question: Question) -> Fraction:
    """Part jars of products that no dish could take: they go over, or stay open."""
    total = ZERO
    home = question.household
    for name, product in home.products.items():
        if name not in question.stocks and product.whole:
            for ready, last, left in part_jars(home, product, question.first, question.days):
                if last < question.days:
                    total += wasted_points(home, product, question.first) * left / product.sizes[0].content
                elif ready < question.days:
                    total += _stays(product, question.days) * left / product.sizes[0].content
    return total


def _stays(product: Product, days: int) -> int:
    """Points for a container that is open and good at the end."""
    return LEFT_OPEN_CONTAINER if product.opened_days is not None and product.opened_days <= days else 0


def from_the_shelf(stock: Stock, needs: Mapping[int, Fraction], days: int) -> Fraction | None:
    """Points for waste and for what stays open; None when there is not enough on some day."""
    if stock.product.fresh_days:
        return ZERO if _eaten_in_its_days(stock, needs, days) else None
    if not stock.product.whole:
        taken = ZERO
        for day in range(days):
            taken += needs.get(day, ZERO)
            if taken > stock.room(day):
                return None
        return ZERO
    jars = tuple((last, left, ready) for ready, last, left in stock.parts)
    return _open_and_use(stock, needs, days, 0, jars, (0,) * len(stock.counts))


def _eaten_in_its_days(stock: Stock, needs: Mapping[int, Fraction], days: int) -> bool:
    """Rule 16: between any two days no more is eaten than came in time to be good on the first, up to the last."""
    good = stock.product.fresh_days or 0
    return all(
        sum((needs.get(day, ZERO) for day in range(start, end + 1)), ZERO)
        <= sum((amount for on, amount in stock.came if start - good < on <= end), ZERO)
        for end in range(days)
        for start in range(end + 1)
    )


def _open_and_use(
    stock: Stock,
    needs: Mapping[int, Fraction],
    days: int,
    day: int,
    jars: tuple[tuple[int, Fraction, int], ...],
    opened: tuple[int, ...],
) -> Fraction | None:
    """From one day on: what is open (last day, left, first day), and how many of each size were opened."""
    if day == days:
        open_still = sum((left for _, left, ready in jars if ready < days), ZERO)
        return open_still * _stays(stock.product, days) / stock.content
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
    if not _there(stock, day, opened):
        return None
    rest = _open_and_use(stock, needs, days, day + 1, tuple(after), opened)
    return None if rest is None else rest + wasted * stock.wasted / stock.content


def _there(stock: Stock, day: int, opened: tuple[int, ...]) -> bool:
    """Rule 4: whether so many opened so far are there so far, in all and size by size."""
    content = sum((n * c for n, (_, c, _) in zip(opened, stock.counts, strict=True)), ZERO)
    if content > stock.room(day):
        return False
    for number, (_, size, count) in enumerate(stock.counts):
        moved = ZERO if number else (stock.arrived[day] - stock.stood[day]) / size
        if len(stock.counts) > 1 and opened[number] > max(ZERO, count + moved):
            return False
    return True


def _open_one_more(
    stock: Stock,
    needs: Mapping[int, Fraction],
    days: int,
    day: int,
    jars: tuple[tuple[int, Fraction, int], ...],
    opened: tuple[int, ...],
) -> Fraction | None:
    """One container more is opened; of several sizes, the one that comes out cheapest."""
    if day < stock.thawed:
        return None
    best: Fraction | None = None
    for number, (_, content, _) in enumerate(stock.counts):
        now = tuple(n + (i == number) for i, n in enumerate(opened))
        if not _there(stock, day, now):
            continue
        life = stock.product.opened_days
        last = days if life is None else day + life - 1
        cost = _open_and_use(stock, needs, days, day, (*jars, (last, content, day)), now)
        if cost is not None and (best is None or cost < best):
            best = cost
    return best


def keeps_the_rules(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rules 7 to 10, 12, 13, pins and occasions, on a whole menu in which every place is decided."""
    return so_far_so_good(question, menu) and asked_for_is_there(question, menu)


def so_far_so_good(question: Question, menu: Sequence[Cooking]) -> bool:
    """Those rules that a menu laid up to some day keeps already, if it is ever to keep them."""
    return (
        repeats_are_apart(question, menu)
        and tags_are_within(question, menu)
        and minutes_are_there(question, menu)
        and all(not clash(a.dish, b.dish) for a in menu for b in menu if a.place == b.place and a is not b)
        and leavings_are_there(question, menu)
        and nights_after_are_left_a_dish(question, menu)
    )


def gap_of(question: Question, dish: Dish) -> int:
    """Least days between two cookings; never twice on one day, but for everyday bread and fruit."""
    given = days_between(question.household, dish)
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
    counted = [(d, dish) for d, dish in eaten if not is_own_there(household, dish, question.on(d))]
    for tag, most in household.rules.at_most.items():
        for day in {c.day for c in menu if tag in c.dish.tags}:
            for start in range(day - 6, day + 1):
                if sum(tag in dish.tags for d, dish in counted if start <= d < start + 7) > most:
                    return False
    mains = [(d, dish) for d, dish in counted if dish.role == "main"]
    for c in menu:
        if c.role == "main" and not is_own_there(household, c.dish, question.on(c.day)):
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
        most = said_for(question.household, "hands_on_minutes", on)
        work = sum(c.dish.hands_on_minutes for c in menu if c.day == day)
        if most is not None and work > most and not kinds_of(question.household, on):
            return False
    for place in {c.place for c in menu}:
        here = [c for c in menu if c.place == place]
        on, meal = question.on(here[0].day), question.places[place].meal
        most = question.household.rules.meal_minutes.get(meal, {}).get(weekday_of(on))
        work = sum(c.dish.hands_on_minutes for c in here)
        if most is not None and work > most and not kinds_of(question.household, on):
            return False
    return True


def clash(one: Dish, other: Dish) -> bool:
    """Rule 12."""
    return bool(one.not_with & (other.tags | {other.name}) or other.not_with & (one.tags | {one.name}))


def left_lately(question: Question) -> list[tuple[str, int, int, Fraction]]:
    """Rule 13: (name, day cooked, last day, portions) of what was left before the first day and is not eaten yet."""
    home = question.household
    left: list[tuple[str, int, int, Fraction]] = []
    for when, eaten in sorted((w, n) for w, n in home.recent if w < question.first and n in home.dishes):
        day, dish = (when - question.first).days, home.dishes[eaten]
        spent = next((x for x in left if x[0] == dish.needs_left and x[1] < day <= x[2]), None)
        left = [x for x in left if x is not spent]
        if dish.leaves is not None:
            feeds = dish.leaves.portions * (1 + home.rules.stretch)
            left.append((dish.leaves.name, day, day + dish.leaves.days, feeds))
    return left


def leavings_are_there(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 13: some way to give each dish made from a leaving a cooking of its own."""
    home = question.household
    stretch = 1 + home.rules.stretch
    left = left_lately(question)
    for c in menu:
        if c.dish.leaves is not None:
            times = batches_of(home, c.dish, question.places[c.place].portions)
            sat = question.places[c.place].portions
            feeds = (c.dish.serves * times - sat if c.dish.leaves.over else c.dish.leaves.portions * times) * stretch
            left.append((c.dish.leaves.name, c.day, c.day + c.dish.leaves.days, feeds))
    made = [c for c in menu if c.dish.needs_left is not None]

    def served(number: int, free: list[tuple[str, int, int, Fraction]]) -> bool:
        if number == len(made):
            return True
        c = made[number]
        return any(
            name == c.dish.needs_left
            and first < c.day <= last
            and feeds >= question.places[c.place].portions
            and served(number + 1, free[:i] + free[i + 1 :])
            for i, (name, first, last, feeds) in enumerate(free)
        )

    return served(0, left)


def nights_after_are_left_a_dish(question: Question, menu: Sequence[Cooking]) -> bool:
    """Rule 9, the nights after the last day."""
    for night, gaps in nights_after(question):
        near = [c for c in menu if night - c.day < gaps.get(c.dish.name, 0)]
        if {c.dish.name for c in near} == gaps.keys() and not all(keeps_a_promise(question, c) for c in near):
            return False
    return True


def asked_for_is_there(question: Question, menu: Sequence[Cooking]) -> bool:
    """What is pinned stands on its day; so does an occasion's own dish, where it could stand at one of its meals."""
    pinned = all(any(c.dish.name == name and question.on(c.day) == day for c in menu) for day, name in question.pinned)
    return pinned and all(any(c.number in asked for c in menu) for asked in occasions_asked(question))


def occasions_asked(question: Question) -> list[set[int]]:
    """For each occasion of each day whose own dish could stand at one of its meals: the cookings that would be it."""
    out = []
    for day in range(question.days):
        for occasion in occasions_of(question.household, question.on(day)):
            its = {
                c.number
                for c in question.cookings
                if c.day == day and c.dish.name == occasion.dish and question.places[c.place].meal in occasion.meals
            }
            if its:
                out.append(its)
    return out
