"""The menu question as a second model, solved by HiGHS: jars by the day they are opened and the day they are used.

Where the planner keeps one sum of what is open, this keeps a flow for each pair of days: content of
what was opened on day d and used on day t, t within its opened life. It stands on the reading in
``tests.kitchens.own_reading`` and uses nothing of the planner or the checker.
Source of the answers: HiGHS (Huangfu and Hall, Math. Prog. Comp. 10, 2018), through highspy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction
from math import inf

import highspy
import numpy as np

from pantrymeals.records import Dish
from tests.kitchens import own_plate as plate
from tests.kitchens import own_reading as own
from tests.kitchens import own_rules as rule
from tests.kitchens.own_reading import Cooking, Question, Stock, keeps_a_promise, nights_after
from tests.kitchens.own_rules import kinds_of, weekday_of
from tests.kitchens.own_score import clash, gap_of, left_lately, occasions_asked, untouched

Term = tuple[int, float]


class SecondModel:
    """Columns and rows handed straight to HiGHS."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.highs = highspy.Highs()
        self.highs.setOptionValue("output_flag", False)
        self.highs.setOptionValue("threads", 1)
        self.highs.setOptionValue("mip_rel_gap", 0.0)
        self.whole: list[int] = []
        self.columns = 0
        self.cook: dict[int, int] = {}
        self.open: dict[tuple[int, str], int] = {}
        self.sizes: dict[tuple[str, int], list[tuple[int, int]]] = {}
        self.takes: dict[str, dict[int, list[Term]]] = defaultdict(lambda: defaultdict(list))
        self._dishes()
        self._house_rules()
        self._leavings()
        for name, stock in question.stocks.items():
            self._shelf(stock, self.takes[name])
            self._going_over(stock, self.takes[name])
        self._evenness()
        self._enough()
        self._mornings()
        self.same_for_all = float(untouched(question))

    def column(self, most: float = 1.0, cost: float = 0.0, whole: bool = True) -> int:
        """A new column from 0 to most."""
        self.highs.addCol(cost, 0.0, most, 0, np.array([], np.int32), np.array([], np.float64))
        if whole:
            self.whole.append(self.columns)
        self.columns += 1
        return self.columns - 1

    def row(self, terms: Iterable[Term], low: float = -inf, high: float = inf) -> None:
        """Hold a sum between low and high."""
        summed: dict[int, float] = defaultdict(float)
        for column, factor in terms:
            summed[column] += factor
        used = np.array(list(summed), np.int32)
        self.highs.addRow(low, high, len(summed), used, np.array(list(summed.values()), np.float64))

    def least_cost(self, seconds: float) -> float | None:
        """The proven least cost in points; None when no menu fits. Time up is an error of the test."""
        kinds = np.full(len(self.whole), highspy.HighsVarType.kInteger)
        self.highs.changeColsIntegrality(len(self.whole), np.array(self.whole, np.int32), kinds)
        self.highs.setOptionValue("time_limit", seconds)
        self.highs.run()
        status = self.highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        assert status == highspy.HighsModelStatus.kOptimal, status
        return float(self.highs.getInfo().objective_function_value) + self.same_for_all

    def _dishes(self) -> None:
        """Rule 2 (one option for each use), rule 6 (every role once), and the wishes about dishes."""
        question = self.question
        filled: dict[tuple[int, str], list[Term]] = defaultdict(list)
        for place, at in enumerate(question.places):
            for role in at.roles:
                self.open[place, role] = self.column(cost=own.OPEN_ROLE[role])
                filled[place, role].append((self.open[place, role], 1))
        for c in question.cookings:
            without_choice = sum(use[0].cost for use in c.uses if len(use) == 1)
            col = self.cook[c.number] = self.column(cost=float(c.cost + without_choice))
            for role in question.places[c.place].roles:
                if role == c.role or role in c.dish.covers:
                    filled[c.place, role].append((col, 1))
            for use in c.uses:
                chosen = [col] if len(use) == 1 else [self.column(cost=float(draw.cost)) for draw in use]
                if len(use) > 1:
                    self.row([*((x, 1) for x in chosen), (col, -1)], 0, 0)
                for draw, x in zip(use, chosen, strict=True):
                    containers = float(draw.amount / question.stocks[draw.product].content)
                    self.takes[draw.product][c.day].append((x, containers))
        for terms in filled.values():
            self.row(terms, 1, 1)
        for c in question.cookings:
            self._partners(c)

    def _enough(self) -> None:
        """A price for meals under their least and for days outside their band, where products have figures."""
        home, question = self.question.household, self.question
        days: dict[int, list[Term]] = defaultdict(list)
        in_all: dict[int, int] = defaultdict(int)
        for place, at in enumerate(question.places) if home.kcal else ():
            on = question.on(at.day)
            portions = rule.portions_of(home, at.meal, on)
            ask = plate.asked(home, at.meal, on)
            whole, least = round(ask * portions), round(ask * home.rules.enough.least)
            in_all[at.day] += whole
            given: list[Term] = []
            for c in question.cookings:
                if c.place == place:
                    each = plate.plate(home, c.dish, portions)
                    given.append((self.cook[c.number], least if each is None else each))
                    unknown = round(Fraction(whole, len(at.roles)))
                    days[at.day].append((self.cook[c.number], unknown if each is None else round(each * portions)))
            if least:
                self.row([*given, (self.column(inf, 4000 / least, whole=False), 1)], least)
        for day, terms in days.items():
            on, asks = question.on(day), in_all[day]
            beside = plate.standing(home, on, asks)
            low = max(0, round(home.rules.enough.day_low * asks) - beside)
            high = inf if kinds_of(home, on) else max(low, round(home.rules.enough.day_high * asks) - beside)
            price = 20000 / max(1, asks)
            short, over = self.column(inf, price, whole=False), self.column(inf, price, whole=False)
            self.row([*terms, (short, 1), (over, -1)], low, high)

    def _mornings(self) -> None:
        """A price for each breakfast of one base beyond three, in each seven days."""
        for week in range((self.question.days + 6) // 7):
            for base in ("oats", "bread", "toast", "potato", "beans", "corn"):
                of_base = [c for c in self.question.cookings if c.role == "breakfast" and base in c.dish.tags]
                over = self.column(inf, 300, whole=False)
                self.row([*((self.cook[c.number], 1) for c in of_base if c.day // 7 == week), (over, -1)], high=3)

    def _partners(self, c: Cooking) -> None:
        wanted = c.dish.goes_with
        partners = [
            o
            for o in self.question.cookings
            if o.place == c.place and o.role != c.role and wanted & (o.dish.tags | {o.dish.name})
        ]
        if wanted:
            alone = self.column(cost=own.ALONE, whole=False)
            self.row([(alone, 1), (self.cook[c.number], -1), *((self.cook[o.number], 1) for o in partners)], 0)

    def _house_rules(self) -> None:
        """Rules 7, 8, 10 and 12, by pairs and by windows; what was lately eaten counts."""
        question = self.question
        rules = question.household.rules
        past = [
            ((when - question.first).days, question.household.dishes[name])
            for when, name in question.household.recent
            if when < question.first and name in question.household.dishes
        ]

        def its_own(dish: Dish, day: int) -> bool:
            return rule.is_own_there(question.household, dish, question.on(day))

        for c in question.cookings:
            gone = any(d.name == c.dish.name and c.day - day < gap_of(question, d) for day, d in past)
            ran = (
                c.role == "main"
                and not its_own(c.dish, c.day)
                and any(
                    day == c.day - 1
                    and d.role == "main"
                    and not its_own(d, day)
                    and d.tags & c.dish.tags & rules.not_running
                    for day, d in past
                )
            )
            if gone or ran:
                self.row([(self.cook[c.number], 1)], 0, 0)
        by_day: dict[int, list[Cooking]] = defaultdict(list)
        for c in question.cookings:
            by_day[c.day].append(c)
        self._pairs(by_day)

        for tag, most in rules.at_most.items():
            for start in range(-6, question.days):
                eaten = sum(tag in d.tags for day, d in past if start <= day < start + 7 and not its_own(d, day))
                days = range(start, start + 7)
                window = [
                    c for day in days for c in by_day.get(day, ()) if tag in c.dish.tags and not its_own(c.dish, day)
                ]
                if window and (start >= 0 or eaten):
                    self.row([(self.cook[c.number], 1) for c in window], high=max(0, most - eaten))
        for tag, least in rules.at_least.items():
            for start in range(0, question.days - 6, 7):
                week = [
                    c
                    for day in range(start, start + 7)
                    for c in by_day.get(day, ())
                    if tag in c.dish.tags and c.role == "main"
                ]
                if week:
                    days = len({c.day for c in week})
                    self.row([(self.cook[c.number], 1) for c in week], low=min(least, days))
        for day, cookings in by_day.items():
            on = question.on(day)
            most_minutes = rule.said_for(question.household, "hands_on_minutes", on)
            if most_minutes is not None and not kinds_of(question.household, on):
                work = [(self.cook[c.number], float(c.dish.hands_on_minutes)) for c in cookings]
                self.row(work, high=most_minutes)
        for number, place in enumerate(question.places):
            here = [c for c in question.cookings if c.place == number]
            on = question.on(here[0].day) if here else question.first
            most_minutes = rules.meal_minutes.get(place.meal, {}).get(weekday_of(on))
            if here and most_minutes is not None and not kinds_of(question.household, on):
                self.row([(self.cook[c.number], float(c.dish.hands_on_minutes)) for c in here], high=most_minutes)
        for day, name in question.pinned:
            pinned = [c for c in question.cookings if c.dish.name == name and question.on(c.day) == day]
            self.row([(self.cook[c.number], 1) for c in pinned], low=1)
        for asked in occasions_asked(question):
            self.row([(self.cook[number], 1) for number in asked], low=1)
        for night, gaps in nights_after(question):
            near = [c for c in question.cookings if night - c.day < gaps.get(c.dish.name, 0)]
            for c in near:
                if not keeps_a_promise(question, c):
                    others = [(self.cook[o.number], 1) for o in near if o.number != c.number]
                    self.row([(self.cook[c.number], len(gaps)), *others], high=max(len(gaps), 2 * len(gaps) - 1))

    def _pairs(self, by_day: dict[int, list[Cooking]]) -> None:
        """Two dishes that cannot both be: too near, two days running, twice a tag in a meal, ill paired."""
        question, rules = self.question, self.question.household.rules
        for c in question.cookings:
            for day in range(c.day, min(question.days, c.day + max(gap_of(question, c.dish), 2))):
                for o in by_day.get(day, ()):
                    if o.number == c.number or (o.day == c.day and o.number < c.number):
                        continue
                    near = o.dish.name == c.dish.name and day - c.day < gap_of(question, c.dish)
                    both_mains = c.role == o.role == "main" and day == c.day + 1
                    asked_for = any(
                        rule.is_own_there(self.question.household, x.dish, self.question.on(x.day)) for x in (c, o)
                    )
                    running = both_mains and not asked_for and bool(c.dish.tags & o.dish.tags & rules.not_running)
                    one_meal = o.place == c.place and o.role != c.role
                    twice = one_meal and bool(c.dish.tags & o.dish.tags & rules.not_twice)
                    made_new = c.dish.needs_left is None and o.dish.needs_left is None
                    shared = c.dish.tags & o.dish.tags & rules.not_twice_a_day
                    twice = twice or (day == c.day and made_new and bool(shared))
                    if near or running or twice or (one_meal and clash(c.dish, o.dish)):
                        self.row([(self.cook[c.number], 1), (self.cook[o.number], 1)], high=1)

    def _leavings(self) -> None:
        """Rule 13 by pairs: each dish made from a leaving takes it from one cooking, each cooking gives it once."""
        question = self.question
        stretch = 1 + question.household.rules.stretch
        given: dict[int, list[Term]] = defaultdict(list)
        lately = left_lately(question)
        spent: dict[int, list[Term]] = defaultdict(list)
        for c in question.cookings:
            if c.dish.needs_left is None:
                continue
            portions = self._portions(c)
            from_one: list[Term] = [(self.cook[c.number], -1)]
            for o in question.cookings:
                left = o.dish.leaves
                if left is None or left.name != c.dish.needs_left or not 1 <= c.day - o.day <= left.days:
                    continue
                times = rule.batches_of(question.household, o.dish, self._portions(o))
                over = o.dish.serves * times - self._portions(o) if left.over else left.portions * times
                if over * stretch >= portions:
                    link = self.column()
                    from_one.append((link, 1))
                    given[o.number].append((link, 1))
            for number, (name, first, last, feeds) in enumerate(lately):
                if name == c.dish.needs_left and first < c.day <= last and feeds >= portions:
                    spent[number].append((self.column(), 1))
                    from_one.append(spent[number][-1])
            self.row(from_one, 0, 0)
        for links in spent.values():
            self.row(links, high=1)
        for number, links in given.items():
            self.row([*links, (self.cook[number], -1)], high=0)

    def _portions(self, c: Cooking):  # type: ignore[no-untyped-def]
        return self.question.places[c.place].portions

    def _shelf(self, stock: Stock, takes: dict[int, list[Term]]) -> None:
        """Rules 3 to 5: what lies there day by day; whole containers by the day opened and the day used."""
        days = self.question.days
        if stock.product.fresh_days:
            self._fresh(stock, takes)
            return
        if not stock.product.whole:
            self._never_more(stock, [(day, x, content) for day, terms in takes.items() for x, content in terms])
            return
        life = stock.product.opened_days or days + 1
        waste = stock.wasted
        stays = own.LEFT_OPEN_CONTAINER if life <= days else 0
        used: dict[int, list[Term]] = defaultdict(list)
        openings: list[tuple[int, int, float]] = []

        def flow(first: int, last: int, content: float, opening: int | None) -> None:
            rest = self.column(inf, waste if last < days else stays if first < days else 0, whole=False)
            out: list[Term] = [(rest, 1)]
            for day in range(first, min(last + 1, days)):
                if day in takes:
                    x = self.column(inf, whole=False)
                    used[day].append((x, 1))
                    out.append((x, 1))
            held = [] if opening is None else [(opening, -content)]
            right = content if opening is None else 0.0
            self.row([*out, *held], right, right)

        for ready, last, left in stock.parts:
            flow(max(0, ready), last, float(left / stock.content), None)
        for day in sorted(takes):
            if day < stock.thawed:
                continue
            for number, (_, content, _count) in enumerate(stock.counts):
                jars = self.column(float(stock.supply[-1] // content + 1))
                full = float(content / stock.content)
                openings.append((day, jars, full))
                flow(day, day + life - 1, full, jars)
                self._of_each_size(stock, number, day, jars)
        for day, terms in takes.items():
            self.row([*used[day], *((x, -content) for x, content in terms)], 0, 0)
        self._never_more(stock, openings)
        self._size_rows(stock)

    def _fresh(self, stock: Stock, takes: dict[int, list[Term]]) -> None:
        """Rule 16: a flow from each coming to each day on which it is good."""
        eaten: dict[int, list[Term]] = defaultdict(list)
        for on, amount in stock.came:
            out = []
            for day in range(max(0, on), min(self.question.days, on + (stock.product.fresh_days or 0))):
                x = self.column(inf, whole=False)
                eaten[day].append((x, -1))
                out.append((x, 1))
            if out:
                self.row(out, high=float(amount / stock.content))
        for day, terms in takes.items():
            self.row([*eaten[day], *terms], high=0)

    def _never_more(self, stock: Stock, taken: list[tuple[int, int, float]]) -> None:
        for day in range(self.question.days):
            so_far = [(x, content) for d, x, content in taken if d <= day]
            if so_far:
                self.row(so_far, high=float(stock.room(day) / stock.content))

    def _of_each_size(self, stock: Stock, number: int, day: int, jars: int) -> None:
        if len(stock.counts) > 1:
            self.sizes.setdefault((stock.product.name, number), []).append((day, jars))

    def _size_rows(self, stock: Stock) -> None:
        for (name, number), opened in self.sizes.items():
            if name != stock.product.name:
                continue
            _, content, count = stock.counts[number]
            for day in range(self.question.days):
                moved = 0 if number else (stock.arrived[day] - stock.stood[day]) / content
                so_far = [(x, 1.0) for d, x in opened if d <= day]
                if so_far:
                    self.row(so_far, high=float(max(0, count + moved)))

    def _going_over(self, stock: Stock, takes: dict[int, list[Term]]) -> None:
        if stock.last is None or stock.last < 0:
            return
        held = (stock.supply[stock.last] - stock.stood[stock.last]) / stock.content
        if held > 0:
            left = self.column(inf, float(own.GONE_OVER / max(own.FEWEST_GOING_OVER, held)), whole=False)
            drawn = [term for day, terms in takes.items() if day <= (stock.last or 0) for term in terms]
            self.row([(left, 1), *drawn], low=float(held))

    def _evenness(self) -> None:
        if not self.question.even:
            return
        largest = self.column(inf, own.LARGEST_OFF, whole=False)
        for name, even in self.question.even.items():
            drawn = [term for terms in self.takes[name].values() for term in terms]
            off = self.column(inf, float(own.OFF_SHARE * even.weight), whole=False)
            self.row([(off, 1), *drawn], low=float(even.low))
            self.row([(off, -1), *drawn], high=float(even.high))
            self.row([(largest, 1), (off, -float(even.weight))], low=0)
