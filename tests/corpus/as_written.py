"""The numbers and days of a household's files, read a second time and apart from the program.

``written(folder)`` reads the bytes with its own rules of what a number, a day and an amount are; ``read(household)``
lays the records out alike. Each is a multiset of facts with names; where they differ, a number was read that the
file does not say, or one that it says was dropped. Factors: NIST Handbook 44, Appendix C.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from pantrymeals.records import Household
from tests.corpus.cells_as_written import (
    UNITS,
    WEEK,
    WEIGHT,
    ProductWritten,
    day,
    days_apart,
    items_of,
    mapping,
    months,
    name_of,
    number,
    one_of,
    put_up_at_home,
    rows_of,
    said,
    weekdays,
    yaml_of,
    yearly,
)

Facts = Counter[tuple[Any, ...]]


class Written:
    """What the files of one folder say."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.facts: Facts = Counter()
        self.products: dict[str, ProductWritten] = {}
        self._products()
        home = yaml_of(folder / "household.yaml")
        self.today = day(said(home["today"]))
        self._household(home)
        self._stores()
        self._calendar(mapping(yaml_of(folder / "calendar.yaml")))
        self._season(mapping(yaml_of(folder / "season.yaml")))
        self._recipes()

    def say(self, *fact: Any) -> None:
        """One fact more; those of nothing written are not kept."""
        if fact[-1] not in (None, ""):
            self.facts[fact] += 1

    def _products(self) -> None:
        for line, row in rows_of(self.folder, "products.csv"):
            product = ProductWritten(row)
            self.products.update(dict.fromkeys(product.names, product))
            for key in ("opened_days", "thaw_days", "keeps_months", "price_usd", "weight_g"):
                told = number(row.get(key, "")) if row.get(key) else None
                if key == "opened_days" and put_up_at_home(row):
                    told = min(told or 4, 4)
                self.say("product", line, key, None if key == "weight_g" and product.unit in WEIGHT else told)
            self.say("product", line, "last", day(row["must_last_to"]) if row.get("must_last_to") else None)
            reserve = row.get("reserve", "")
            self.say("product", line, "reserve", product.amount(reserve) if reserve and number(reserve) != 0 else None)
            self.say("product", line, "months", months(row.get("eaten_in", "")) or None)
            self.say("product", line, "sizes", tuple(product.sizes.values()))

    def _household(self, home: Mapping[str, Any]) -> None:
        self.say("altitude", number(said(home.get("altitude_ft"))))
        for frost in ("last_frost", "first_frost"):
            self.say(frost, yearly(home.get(frost)))
        for person in items_of(home["people"]):
            self.say("person", said(person["name"]), "portion", number(said(person.get("portion")) or "1"))
            self.say("person", said(person["name"]), "born", day(said(person.get("born"))))
        rules = mapping(home.get("house_rules"))
        for key in ("days_between", "at_most_in_7_days", "at_least_in_7_days"):
            for what, told in mapping(rules.get(key)).items():
                self.say(key, name_of(what), number(said(told)))
        for key in ("hands_on_minutes", "longest_minutes"):
            by_day = {w: number(said(told)) for days, told in mapping(rules.get(key)).items() for w in weekdays(days)}
            for weekday, told in by_day.items():
                self.say(key, weekday, told)
        self.say("stretch", number(said(rules.get("stretch")) or "1/4"))
        purse = mapping(home.get("no_store"))
        for key in ("purse_usd_week", "usual_month_usd", "must_go_suppers_week"):
            self.say(key, number(said(purse.get(key)) or "0"))

    def _stores(self) -> None:
        for line, row in rows_of(self.folder, "stock.csv"):
            product = self.products[name_of(row["product"])]
            holds = product.sizes.get(one_of(row["size"]), UNITS.get(one_of(row["size"])))
            when = day(row["put_up"]) if row.get("put_up") else None
            self.say("lot", line, product.name, holds, when, number(row["count"]))
        for line, row in rows_of(self.folder, "open.csv"):
            product = self.products[name_of(row["product"])]
            self.say("part", line, product.name, day(row["opened"]), product.amount(row["left"]))
        weekly: dict[tuple[str, int], Any] = defaultdict(Fraction)
        for _line, row in rows_of(self.folder, "standing.csv"):
            product = self.products[name_of(row["product"])]
            amount = product.amount(row["amount"])
            told = amount * 7 / days_apart(row["every"]) if isinstance(amount, Fraction) else amount
            if row.get("from"):
                self.say("standing days", product.name, row["from"], row["to"], told)
                continue
            for month in months(row.get("months", "")) or range(1, 13):
                weekly[product.name, month] += told if isinstance(told, Fraction) else 10**12
        for (name, month), told in weekly.items():
            self.say("standing", name, month, told)

    def _calendar(self, calendar: Mapping[str, Any]) -> None:
        for one in items_of(calendar.get("occasions")):
            first = day(said(one.get("day") or one.get("from"))) or self.today
            self.say("occasion", said(one["name"]), first, number(said(one.get("guests")) or "0"))
        for one in items_of(calendar.get("coming_in")):
            product = self.products[name_of(said(one["product"]))]
            for when in self._days(one):
                self.say("arrival", product.name, when, product.amount(said(one["amount"])))

    def _days(self, one: Mapping[str, Any]) -> Iterator[date]:
        assert isinstance(self.today, date)
        if said(one.get("day")):
            only = day(said(one["day"]))
            if isinstance(only, str) or only >= self.today:
                yield only  # type: ignore[misc]
            return
        first, last = (day(said(one.get(k))) if said(one.get(k)) else None for k in ("from", "to"))
        first = first or self.today
        every = one.get("every")
        step = not isinstance(every, list) and name_of(said(every)).split(" ")[-1] in ("day", "days", "week", "weeks")
        length = days_apart(said(every)) if step else 1
        only_on = set() if step or not every else weekdays(every)
        assert isinstance(first, date)
        end = last if isinstance(last, date) else max(first, self.today + timedelta(days=400))
        when = first
        while when <= min(end, self.today + timedelta(days=1100)):
            if when >= self.today and (not only_on or WEEK[when.weekday()] in only_on):
                yield when
            when += timedelta(days=int(length))

    def _season(self, season: Mapping[str, Any]) -> None:
        for jars in items_of(season.get("jars")):
            for key in ("empties", "out"):
                self.say(key, said(jars["size"]), number(said(jars.get(key))))
        lids = mapping(season.get("lids"))
        for key in ("regular", "wide"):
            self.say("lids", key, number(said(lids.get(key)) or "0") if said(season.get("lids")) else None)
        self.say("wide_share", number(said(lids.get("wide_share")) or "0"))
        for one in items_of(season.get("canners")):
            for size, told in one["holds"].items():
                self.say("canner", size, number(said(told)))
            self.say("load", number(said(one.get("hours_first_load")) or "2"))
        full = [
            (number(said(f.get("litres")) or "0"), number(said(f.get("full_now")) or "0"))
            for f in items_of(season.get("freezers"))
        ]
        litres = [
            all_of * (1 - part) for all_of, part in full if isinstance(all_of, Fraction) and isinstance(part, Fraction)
        ]
        free = sum(litres, Fraction(0)) if len(litres) == len(full) else str(full)
        self.say("litres", free if full else None)
        for key, what in (("kitchen_hours", "hours_a_week"), ("harvest", "crop")):
            for one in items_of(season.get(key)):
                told = number(said(one[what])) if key == "kitchen_hours" else said(one[what])
                self.say(key, yearly(one["from"]), yearly(one["to"]), told)
        for one in items_of(season.get("batch_hours")):
            for weekday in weekdays(one["weekday"]):
                hours = number(said(one["hours"]))
                self.say("batch hours", weekday, int(hours * 60) if isinstance(hours, Fraction) else hours)
        for one in items_of(season.get("garden")):
            feet = [number(said(one.get(k)) or "0") for k in ("rows", "feet_a_row")]
            self.say("row feet", feet[0] * feet[1] if all(isinstance(f, Fraction) for f in feet) else str(feet))  # type: ignore[operator]
            self.say("hoped", number(said(one.get("hoped_lb"))))
        for one in items_of(season.get("failure_odds")):
            self.say("odds", number(said(one["one_year_in"])))
            self.say("still", number(said(one.get("still_brings"))))
        for one in items_of(season.get("history")):
            told = [number(said(one[k])) for k in ("season", "carried_over", "put_up", "given_or_lost", "used")]
            self.say("year", *told)
        for one in items_of(season.get("servings")):
            self.say("servings", *(number(said(one[k])) for k in ("a_week", "weeks", "cups")))
        for one in items_of(season.get("expected")):
            product = self.products[name_of(said(one["product"]))]
            self.say("expected", day(said(one["day"])), product.amount(said(one["amount"])))

    def _recipes(self) -> None:
        for path in sorted((self.folder / "recipes").iterdir()):
            dish = yaml_of(path)
            name, batch = said(dish["name"]), name_of(said(dish.get("batch"))) in ("yes", "y", "true")
            self.say("dish", name, "minutes", number(said(dish.get("minutes")) or ("60" if batch else "30")))
            if batch:
                continue
            self.say("dish", name, "serves", number(said(dish["serves"])))
            self.say("dish", name, "hands on", number(said(dish.get("hands_on_minutes"))))
            self.say("dish", name, "between", number(said(dish.get("days_between"))))
            self.say("dish", name, "liking", number(said(dish.get("liking")) or "0"))
            left = mapping(dish.get("leaves"))
            self.say("dish", name, "left", number(said(left.get("portions"))))
            self.say("dish", name, "left days", number(said(left.get("days"))))


def read(home: Household) -> Facts:
    """The same facts of the household that the program read."""
    out: list[tuple[Any, ...]] = []
    for p in home.products.values():
        line = p.place.line
        grams = None if p.grams_per_base is None or p.measure == "g" else p.grams_per_base * p.sizes[0].content
        out += [("product", line, k, v) for k, v in (
            ("opened_days", p.opened_days), ("thaw_days", p.thaw_days or None), ("keeps_months", p.keeps_months),
            ("price_usd", p.price_usd),
            ("weight_g", grams), ("last", p.must_last_to), ("reserve", p.reserve or None), ("months",
            p.eaten_in or None),
            ("sizes", tuple(s.content for s in p.sizes)),
        )]  # fmt: skip
    out += [
        ("lot", x.place.line, x.product, home.products[x.product].size(x.size).content, x.put_up, x.count)
        for x in home.lots
    ]  # type: ignore[union-attr]
    out += [("part", j.place.line, j.product, j.opened, j.left) for j in home.part_jars]
    out += [("standing", s.product, m, w) for s in home.standing for m, w in enumerate(s.weekly, 1) if w]
    for use in home.standing:
        out += [
            ("standing days", use.product, *(f"{m:02}-{d:02}" for m, d in (first, last)), weekly)
            for first, last, weekly in use.within
        ]
    out += [("altitude", home.altitude_ft), ("last_frost", home.last_frost), ("first_frost", home.first_frost)]
    for person in home.people:
        out += [("person", person.name, "portion", person.portion), ("person", person.name, "born", person.born)]
    rules = home.rules
    for key, told in (
        ("days_between", rules.days_between),
        ("at_most_in_7_days", rules.at_most),
        ("at_least_in_7_days", rules.at_least),
    ):
        out += [(key, name_of(what), count) for what, count in told.items()]
    for key, minutes in (("hands_on_minutes", rules.hands_on_minutes), ("longest_minutes", rules.longest_minutes)):
        out += [(key, weekday.casefold(), count) for weekday, count in minutes.items()]
    store = home.no_store
    out += [
        ("stretch", rules.stretch),
        ("purse_usd_week", store.purse_usd_week),
        ("usual_month_usd", store.usual_month_usd),
    ]
    out += [("must_go_suppers_week", store.must_go_suppers_week)]
    out += [("occasion", o.name, o.first, o.guests) for o in home.occasions]
    out += [("arrival", a.product, a.day, a.amount) for a in home.arrivals]
    out += [("batch hours", h.weekday.casefold(), h.minutes) for h in home.batch_hours]
    out += _read_season(home) + _read_dishes(home)
    return Counter(fact for fact in out if fact[-1] is not None)


def _read_season(home: Household) -> list[tuple[Any, ...]]:
    s = home.season
    out: list[tuple[Any, ...]] = [("empties", size, n) for size, n in s.empties.items()]
    out += [("out", size, n) for size, n in s.out.items()] + [("lids", kind, n) for kind, n in s.flats.items()]
    out += [("wide_share", s.wide_share), ("litres", s.free_litres)]
    for canner in s.canners:
        out += [*(("canner", size, n) for size, n in canner.holds.items()), ("load", canner.first_load_hours)]
    out += [("kitchen_hours", h.first, h.last, h.a_week) for h in s.hours]
    out += [("harvest", h.first, h.last, h.crop) for h in s.harvests]
    for ground in s.grounds:
        out += [("row feet", ground.row_ft), ("hoped", ground.hoped_lb)]
    for odds in s.odds:
        out += [("odds", odds.one_year_in), ("still", odds.still_brings)]
    out += [("year", y.year, y.carried_in, y.put_up, y.given_or_lost, y.used) for y in s.years]
    return (
        out
        + [("servings", *told) for told in s.servings.values()]
        + [("expected", e.day, e.amount) for e in s.expected]
    )


def _read_dishes(home: Household) -> list[tuple[Any, ...]]:
    out: list[tuple[Any, ...]] = [
        ("dish", b.name, "minutes", b.minutes) for b in home.batch_days.values() if b.book == "household"
    ]
    for dish in home.dishes.values():
        if dish.book != "household":
            continue
        left = dish.leaves
        out += [("dish", dish.name, what, told) for what, told in (
            ("minutes", dish.minutes), ("serves", dish.serves), ("between", dish.days_between), ("liking",
            dish.liking),
            ("left", left.portions if left else None), ("left days", left.days if left else None),
        )]  # fmt: skip
    return out


def amounts_not_as_written(home: Household) -> list[str]:
    """Uses whose amount is not what their own words say."""
    options = [o for d in home.dishes.values() for u in d.uses for o in u.options]
    options += [o for b in home.batch_days.values() for o in (*b.makes, *(o for u in b.uses for o in u.options))]
    wrong = []
    for option in options:
        product = home.products[option.product]
        row = {"product": product.name, "also_called": ";".join(product.also_called)}
        mine = ProductWritten(
            row | {"sizes": ";".join(f"{s.name}={s.content} {_BASE[product.measure]}" for s in product.sizes)}
        )
        name = next(
            (n for n in sorted(mine.names, key=len, reverse=True) if name_of(option.as_written).endswith(n)), None
        )
        said = mine.amount(name_of(option.as_written).removesuffix(name).strip()) if name else option.as_written
        if said != option.amount:
            wrong.append(f"{option.as_written}: read as {option.amount}, says {said}")
    return wrong


_BASE = {"ml": "ml", "g": "g", "each": "each"}
