"""The menu question read a second time, straight from the records, for tests that judge planner and checker.

Nothing of either is used: what the numbered rules say stands in ``own_rules``; the points of wishes stand in this
file's own table, as DEVELOPERS.md gives them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct, field

from pantrymeals.records import Dish, Household, MealName, Product, Role
from tests.kitchens import own_evenness as even
from tests.kitchens import own_rules as rule
from tests.kitchens.own_rules import ZERO, Choice

OPEN_ROLE = {"main": 6000, "breakfast": 4000, "lunch": 4000, "side": 3500, "bread": 2500, "fruit": 2500, "sweet": 2500}
LIKED_LESS = 8
MINUTE = Fraction(1, 10)
REFUSED = 60
LATELY = {"main": 90, "breakfast": 25, "lunch": 25}
SAME_AGAIN = 20
LIKED_LESS_OPTION = 3
WHILE_FRESH = 200
ALONE = 8
EVERYDAY = 600
TOO_LATE = 600
MISSED = 3000
LEFT_OPEN_CONTAINER = 15
GONE_OVER = 1200
FEWEST_GOING_OVER = Fraction(4)
OFF_SHARE = 1000
LARGEST_OFF = 500
FEWEST_STEPS = 4


class Draw(Struct, frozen=True):
    """One option of one use: how much of a product (base measure), and what taking it costs (points)."""

    product: str
    amount: Fraction
    cost: Fraction


class Cooking(Struct, frozen=True):
    """A dish that could stand in one place (a meal of a day); cost: liking, effort, refusals."""

    number: int
    place: int
    day: int
    dish: Dish
    uses: tuple[tuple[Draw, ...], ...]
    cost: Fraction

    @property
    def role(self) -> Role:
        """The role that the dish is written for."""
        return self.dish.role


class PlaceAtTable(Struct, frozen=True):
    """One meal of one day: roles to be filled, portions, and all that could stand there (rules 3, 10, 11)."""

    day: int
    meal: MealName
    roles: tuple[Role, ...]
    portions: Fraction
    could: tuple[tuple[Dish, tuple[Choice, ...]], ...]


class Stock(Struct, frozen=True):
    """One product day by day, in base measure.

    parts: (first day usable, last day good, left). counts: (size, content, how many). last: the last day it may
    be planned. thawed: the first day on which a container can be ready.
    """

    product: Product
    supply: tuple[Fraction, ...]
    stood: tuple[Fraction, ...]
    parts: tuple[tuple[int, int, Fraction], ...]
    last: int | None
    counts: tuple[tuple[str, Fraction, Fraction], ...]
    arrived: tuple[Fraction, ...]
    thawed: int
    wasted: int
    came: tuple[tuple[int, Fraction], ...] = ()

    @property
    def content(self) -> Fraction:
        """One container of the first size."""
        return self.product.sizes[0].content

    def room(self, day: int) -> Fraction:
        """What menu and openings may have taken by the end of a day; part bins of what is dipped into are in it."""
        in_part = ZERO if self.product.whole else sum((left for _, _, left in self.parts), ZERO)
        return max(ZERO, self.supply[day] + in_part - self.stood[day])

    def good(self, day: int) -> Fraction:
        """Rule 16: what of a fresh thing could be eaten on a day."""
        return sum((a for on, a in self.came if 0 <= day - on < (self.product.fresh_days or 0)), ZERO)

    @property
    def there(self) -> Fraction:
        """All that could be taken in the days, part jars with it."""
        return self.supply[-1] - self.stood[-1] + sum((left for _, _, left in self.parts), ZERO)


class Even(Struct, frozen=True):
    """One product's band in containers, standing use taken off, and what one container outside is of the share."""

    low: Fraction
    high: Fraction
    weight: Fraction


class Question(Struct):
    """All that a second solver needs to know."""

    household: Household
    first: date
    days: int
    places: list[PlaceAtTable] = field(default_factory=list)
    cookings: list[Cooking] = field(default_factory=list)
    stocks: dict[str, Stock] = field(default_factory=dict)
    even: dict[str, Even] = field(default_factory=dict)
    pinned: tuple[tuple[date, str], ...] = ()

    def on(self, day: int) -> date:
        """The date of a day's number."""
        return self.first + timedelta(days=day)


def read(
    household: Household,
    first: date,
    days: int,
    pinned: Iterable[tuple[date, str]] = (),
    banned: frozenset[str] = frozenset(),
) -> Question:
    """The question of a household and its days, without the bands of evenness."""
    question = Question(household, first, days, pinned=tuple(pinned))
    for number in range(days):
        on = question.on(number)
        for laid in household.meals:
            roles = rule.roles_of(household, laid.meal, on)
            could = [
                (dish, rule.uses_of(household, dish, laid.meal, on, first, days))
                for dish in household.dishes.values()
                if dish.role in roles
            ]
            stands = tuple((dish, uses) for dish, uses in could if uses is not None)
            if roles:
                portions = rule.portions_of(household, laid.meal, on)
                question.places.append(PlaceAtTable(number, laid.meal, roles, portions, stands))
    takers = {name for at in question.places for _, uses in at.could for use in uses for name, _, _ in use}
    for name in household.products:
        if name in takers:
            question.stocks[name] = _stock(question, household.products[name])
    found = [
        (place, dish, kept, _own_cost(question, place, dish) + MISSED * _against_the_night(question, place, dish))
        for place, at in enumerate(question.places)
        for dish, uses in at.could
        if dish.name not in banned and not _saved(question, at, dish)
        if all(kept := _to_be_had(question, place, uses))
    ]
    question.cookings = [Cooking(i, p, question.places[p].day, d, uses, c) for i, (p, d, uses, c) in enumerate(found)]
    return question


def _saved(question: Question, at: PlaceAtTable, dish: Dish) -> bool:
    """Rule 7: an occasion beyond the last day has the dish as its own, too soon after."""
    home, day = question.household, question.on(at.day)
    if (day, dish.name) in question.pinned or any(o.dish == dish.name for o in rule.occasions_of(home, day)):
        return False
    for number in range(question.days, at.day + rule.gap_of(home, dish)):
        for occasion in rule.occasions_of(home, question.on(number)):
            laid = any(dish.role in rule.roles_of(home, meal, question.on(number)) for meal in occasion.meals)
            if occasion.dish == dish.name and laid:
                return True
    return False


def nights_after(question: Question) -> list[tuple[int, dict[str, int]]]:
    """Rule 9: fixed nights of the seven days after the last, each with the dishes that could keep it and their days."""
    home = question.household
    out = []
    for number in range(question.days, question.days + 7):
        on = question.on(number)
        tag = rule.said_for(home, "fixed", on)
        named = rule.goes_before_the_night(home, on)
        if tag is None or named or "main" not in rule.roles_of(home, "supper", on):
            continue
        could = {}
        for dish in home.dishes.values():
            gap = rule.gap_of(home, dish)
            lately = any(name == dish.name and (on - day).days < gap for day, name in home.recent)
            wanted = dish.role == "main" and tag in dish.tags and dish.needs_left is None and not lately
            if wanted and rule.uses_of(home, dish, "supper", on, question.first, question.days) is not None:
                could[dish.name] = gap
        if could:
            out.append((number, could))
    return out


def keeps_a_promise(question: Question, cooking: Cooking) -> bool:
    """Whether a dish was pinned there, is an occasion's own, or is what its fixed night wants."""
    home, on = question.household, question.on(cooking.day)
    named = [o.dish for o in rule.occasions_of(home, on) if o.dish]
    supper = question.places[cooking.place].meal == "supper"
    before = rule.goes_before_the_night(home, on)
    tag = rule.said_for(home, "fixed", on) if supper and not before else None
    return (on, cooking.dish.name) in question.pinned or cooking.dish.name in named or tag in cooking.dish.tags


def _own_cost(question: Question, place: int, dish: Dish) -> Fraction:
    at = question.places[place]
    noted = {note.whom.casefold() for note in dish.instead}
    refused = [
        person
        for person in rule.eaters_of(question.household, at.meal, question.on(at.day))
        if person.will_not & dish.tags and person.name.casefold() not in noted
    ]
    home, on = question.household, question.on(at.day)
    before = [(d, n) for d, n in home.recent if question.first - timedelta(days=56) <= d < question.first]
    lately = LATELY.get(dish.role, 8) * min(4, sum(name == dish.name for _, name in before))
    then = [home.dishes[n] for d, n in before if d == on - timedelta(days=7) and n in home.dishes]
    again = SAME_AGAIN * (dish.role == "main" and any(
        old.role == "main" and _family(home, old) == _family(home, dish) != "" for old in then))  # fmt: skip
    kinds = rule.own_kinds(home, at.meal, on)
    fitting = dish.only_for in kinds or dish.name in {o.dish for o in rule.occasions_of(home, on)}
    everyday = EVERYDAY * bool(kinds and dish.role in ("main", "lunch") and not fitting)
    lately += everyday
    today = min(question.first, home.today)
    lately += TOO_LATE * any(on - timedelta(days=step.days_before) < today for step in dish.ahead)
    return lately + again + LIKED_LESS * (2 - dish.liking) + MINUTE * dish.hands_on_minutes + REFUSED * len(refused)


def _family(home: Household, dish: Dish) -> str:
    return home.products[dish.uses[0].options[0].product].family if dish.uses else ""


def _stock(question: Question, product: Product) -> Stock:
    home, days, first = question.household, question.days, question.first
    last = None
    keeps = product.must_last_to
    if product.deadline_kind == "keeps to" and keeps is not None and keeps < question.on(days + 3):
        new = [a for a in home.arrivals if a.product == product.name and keeps <= a.day < question.on(days + 3)]
        last = None if new else min(days - 1, (keeps - first).days)
    counts = []
    for size in product.sizes:
        lots = [x for x in home.lots if (x.product, x.size, x.state) == (product.name, size.name, "")]
        counts.append((size.name, size.content, sum((x.count for x in lots), ZERO)))
    supply = tuple(rule.supplied(home, product, first, d) for d in range(days))
    return Stock(
        product=product,
        supply=supply,
        stood=tuple(rule.stood(home, product, first, d) for d in range(days)),
        parts=tuple(rule.part_jars(home, product, first, days)),
        last=last,
        counts=tuple(counts),
        arrived=tuple(s - rule.on_shelf(home, product) for s in supply),
        thawed=rule.first_thawed(home, product, first),
        wasted=rule.wasted_points(home, product, first),
        came=tuple(rule.came(home, product, first, days)) if product.fresh_days else (),
    )


def _to_be_had(question: Question, place: int, uses: Sequence[Choice]) -> tuple[tuple[Draw, ...], ...]:
    """Options that are thawed by then and of which there could be enough, each with its price."""
    day = question.places[place].day
    out = []
    for use in uses:
        kept = []
        for name, amount, rank in use:
            stock = question.stocks[name]
            in_part = ZERO
            if stock.product.whole:
                in_part = sum((left for ready, last, left in stock.parts if ready <= day <= last), ZERO)
            closed = stock.room(day) if day >= stock.thawed else ZERO
            if (stock.good(day) if stock.product.fresh_days else closed + in_part) >= amount:
                waits = question.on(day) in stock.product.waits_on
                price = LIKED_LESS_OPTION * rank + waits * WHILE_FRESH * amount / stock.content
                kept.append(Draw(name, amount, Fraction(price)))
        out.append(tuple(kept))
    return tuple(out)


def _against_the_night(question: Question, place: int, dish: Dish) -> bool:
    """Whether a main lacks the tag of its fixed night, whether or not some dish could keep it."""
    at, household = question.places[place], question.household
    day = question.on(at.day)
    tag = rule.said_for(household, "fixed", day)
    if tag is None or at.meal != "supper" or dish.role != "main" or tag in dish.tags:
        return False
    if rule.goes_before_the_night(household, day):
        return False
    return not any(d == day and household.dishes[name].role == "main" for d, name in question.pinned)


def put_bands(question: Question, pace: Fraction) -> None:
    """Give each product of which an even hand is asked the band around its share at a pace."""
    household = question.household
    for name, stock in question.stocks.items():
        if not even.kept_even(household, stock.product, question.first, question.days):
            continue
        hurried = even.is_hurried(stock.product, question.first)
        its = Fraction(1) if hurried else pace
        share = even.even_share(household, stock.product, question.first, question.days) * its
        step = even.step_of(household, stock.product)
        stood = rule.gone_through(household, stock.product, question.first, question.days) / stock.content
        owed = even.owed(household, stock.product, its)
        least = floor(share / step) if hurried else 0 if owed is not None else floor(share / step) - 1
        low = Fraction(max(0, least, floor((share + owed) / step) if owed is not None else 0) * step)
        share += max(ZERO, owed or ZERO)
        high = stood if stood > share else Fraction(ceil(share / step) * step)
        low = min(low, stood) if stood > share else low
        weight = (1 + even.neglected(household, stock.product, its)) / max(share, Fraction(FEWEST_STEPS * step))
        question.even[name] = Even(low - stood, high - stood, weight)
