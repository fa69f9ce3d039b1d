"""The numbers and days of a household's files, read a second time and apart from the program.

``written(folder)`` reads the bytes with its own rules of what a number, a day and an amount are; ``read(household)``
lays the records out alike. Each is a multiset of facts with names; where they differ, a number was read that the
file does not say, or one that it says was dropped. Factors: NIST Handbook 44, Appendix C.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import yaml

from pantrymeals.records import Household

Facts = Counter[tuple[Any, ...]]
_GALLON, _POUND = Fraction("3785.411784"), Fraction("453.59237")
_UNITS = {
    "gal": _GALLON, "gallon": _GALLON, "qt": _GALLON / 4, "quart": _GALLON / 4, "pt": _GALLON / 8,
    "pint": _GALLON / 8,
    "hp": _GALLON / 16, "half-pint": _GALLON / 16, "cup": _GALLON / 16, "fl oz": _GALLON / 128, "ml": Fraction(1),
    "l": Fraction(1000),
    "lb": _POUND, "pound": _POUND, "oz": _POUND / 16, "g": Fraction(1), "kg": Fraction(1000), "each": Fraction(1),
    "piece": Fraction(1),
    "half-gal": _GALLON / 2, "tbsp": _GALLON / 256, "tsp": _GALLON / 768,
}  # fmt: skip
_VOLUME = {
    "gal",
    "gallon",
    "qt",
    "quart",
    "pt",
    "pint",
    "hp",
    "half-pint",
    "cup",
    "fl oz",
    "ml",
    "l",
    "half-gal",
    "tbsp",
    "tsp",
}
_WEIGHT = {"lb", "pound", "oz", "g", "kg"}
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_NOTHING = {"", "-", "–", "—", "n/a"}


def number(text: str) -> Fraction | str:
    """A number as people write it; the text itself where it is none."""
    plain = "".join(_spelt(c) for c in text.strip()).strip()
    sign, plain = (-1, plain[1:].strip()) if plain[:1] in ("-", "−") else (1, plain.removeprefix("+").strip())
    while " /" in plain or "/ " in plain:
        plain = plain.replace(" /", "/").replace("/ ", "/")
    whole, _, part = plain.rpartition(" ")
    above, slash, below = part.partition("/")
    point = part.replace(",", ".")
    if slash and above.isdecimal() and below.isdecimal() and int(below) and (not whole or whole.strip().isdecimal()):
        return sign * (int(whole or 0) + Fraction(int(above), int(below)))
    if not whole and point.count(".") <= 1 and point.replace(".", "").isdecimal() and not point.endswith("."):
        before, _, after = point.partition(".")
        return sign * Fraction(int(before + after or 0), 10 ** len(after))
    return text


def _spelt(letter: str) -> str:
    """A vulgar fraction as its two figures."""
    value = Fraction(unicodedata.numeric(letter, 0)).limit_denominator(10)
    return f" {value}" if unicodedata.category(letter) == "No" and value.denominator > 1 else letter.replace("⁄", "/")


def day(text: str) -> date | str:
    """A day, year first; the text itself where it is none."""
    parts = text.replace("–", "-").replace("—", "-").replace("−", "-").split("-")
    try:
        return date(*map(int, parts)) if len(parts) == 3 and len(parts[0]) == 4 else date(int(parts[0]), 1, 1)
    except ValueError:
        return text


def _name(text: str) -> str:
    return " ".join(text.casefold().split())


def _one(text: str) -> str:
    """A unit or container as it is called singly."""
    words = (w[:-1] if w.endswith("s") and len(w) > 2 else w for w in _name(text).rstrip(".").split())
    return " ".join(words)


class _Product:
    """A row of products.csv: its names, and what one of each container holds."""

    def __init__(self, row: Mapping[str, str]) -> None:
        self.name = " ".join(row["product"].split())
        self.names = [_name(n) for n in (row["product"], *row.get("also_called", "").split(";")) if n.strip()]
        self.sizes: dict[str, Fraction | str] = {}
        self.unit = ""
        for part in filter(str.strip, row["sizes"].split(";")):
            size, _, holds = part.partition("=")
            taken, unit = leading(holds or f"1 {size}")
            self.unit = self.unit or _one(unit)
            content = _UNITS.get(_one(unit), Fraction(1)) if not holds else _UNITS.get(_one(unit), holds)
            self.sizes[_one(size)] = (
                taken * content if isinstance(taken, Fraction) and isinstance(content, Fraction) else part
            )

    def amount(self, text: str) -> Fraction | str:
        """An amount of it in millilitres, grams or pieces; the text where it is none."""
        taken, rest = leading(text)
        unit = _one(rest.removesuffix(" of") if rest != "of" else "")
        holds = self.sizes.get(unit)
        if holds is None:
            alike = next((s for s in (_VOLUME, _WEIGHT, {"each", "piece", ""}) if unit in s), set())
            mine = self.unit if self.unit in _UNITS else "each"
            holds = _UNITS.get(unit or "each") if mine in alike else None
        return taken * holds if isinstance(taken, Fraction) and isinstance(holds, Fraction) else text


def leading(text: str) -> tuple[Fraction | str, str]:
    """The longest number that a text begins with, and the rest."""
    for cut in range(len(text), 0, -1):
        after = text[cut : cut + 1]
        if after.isdecimal() or after in tuple(".,/-⁄") or (text[cut - 1 : cut].isspace() and after == "/"):
            continue
        found = number(text[:cut])
        if isinstance(found, Fraction):
            return found, " ".join(text[cut:].split())
    return text, text


def _rows(folder: Path, name: str) -> Iterator[tuple[int, dict[str, str]]]:
    """(line, cells) of each row that holds anything; a cell's apostrophe before a formula's mark taken off."""
    if not (folder / name).exists():
        return
    text = (folder / name).read_bytes().decode("utf-8-sig")
    head = next((line for line in text.replace("\r", "\n").split("\n") if line.strip()), "")
    mark = max(",;\t", key=lambda m: _names(head, m))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    heading: list[str] = []
    line = 1
    for cells in reader:
        cells = [_cell(c) for c in cells]
        if any(cells) and heading:
            yield line, {**dict.fromkeys(heading, ""), **dict(zip(heading, cells, strict=False))}
        elif any(cells):
            heading = [_name(c).replace(" ", "_") for c in cells]
        line = reader.line_num + 1


def _names(head: str, mark: str) -> int:
    return len(next(csv.reader([head], delimiter=mark), []))


def _cell(text: str) -> str:
    plain = text.strip()
    guarded = plain.startswith("'") and plain.lstrip("'")[:1] in tuple("=+-@")
    return "" if plain.casefold() in _NOTHING else plain[1:] if guarded else plain


def _yaml(path: Path) -> Any:
    return yaml.load(path.read_bytes().decode("utf-8-sig"), Loader=_LOADER) if path.exists() else {}


def _said(value: Any) -> str:
    text = " ".join(str(value).split()) if value is not None else ""
    return "" if text in ("~", "null", "Null", "NULL") else text


def _map(value: Any) -> Mapping[str, Any]:
    """A mapping; an empty one where nothing is written."""
    return {} if value is None or (isinstance(value, str) and not _said(value)) else value


def _months(text: str) -> frozenset[int]:
    out: set[int] = set()
    for part in filter(
        None, (p.strip() for p in text.replace("–", "-").replace("—", "-").replace(";", ",").split(","))
    ):
        ends = [int(e) for e in part.split("-")]
        month = ends[0]
        out.add(month)
        while month != ends[-1]:
            month = month % 12 + 1
            out.add(month)
    return frozenset(out)


def _weekdays(value: Any) -> set[str]:
    out: set[str] = set()
    texts = value if isinstance(value, list) else _said(value).replace(";", ",").split(",")
    for part in filter(None, (t.strip() for text in texts for t in _said(text).replace(";", ",").split(","))):
        ends = [_WEEK.index(e.strip().casefold()[:3]) for e in part.replace("–", "-").replace("—", "-").split("-")]
        out |= {_WEEK[(ends[0] + n) % 7] for n in range((ends[-1] - ends[0]) % 7 + 1)}
    return out


def _list(value: Any) -> Sequence[Any]:
    """A list's items that are not blank; one thing counts as a list of one."""
    items = value if isinstance(value, list) else [value]
    return [i for i in items if not isinstance(i, str) or _said(i)] if value else []


def _put_up_at_home(row: Mapping[str, str]) -> bool:
    """A jar of the household's own: opened, it keeps four days at most, whatever is written."""
    words = row.get("product", "").casefold().replace(",", " ").split()
    return row.get("kind", "").strip().casefold() == "jar" and not {"bought", "tinned", "tin", "store"} & set(words)


class Written:
    """What the files of one folder say."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.facts: Facts = Counter()
        self.products: dict[str, _Product] = {}
        self._products()
        home = _yaml(folder / "household.yaml")
        self.today = day(_said(home["today"]))
        self._household(home)
        self._stores()
        self._calendar(_map(_yaml(folder / "calendar.yaml")))
        self._season(_map(_yaml(folder / "season.yaml")))
        self._recipes()

    def say(self, *fact: Any) -> None:
        """One fact more; those of nothing written are not kept."""
        if fact[-1] not in (None, ""):
            self.facts[fact] += 1

    def _products(self) -> None:
        for line, row in _rows(self.folder, "products.csv"):
            product = _Product(row)
            self.products.update(dict.fromkeys(product.names, product))
            for key in ("opened_days", "thaw_days", "keeps_months", "price_usd", "weight_g"):
                told = number(row.get(key, "")) if row.get(key) else None
                if key == "opened_days" and _put_up_at_home(row):
                    told = min(told or 4, 4)
                self.say("product", line, key, None if key == "weight_g" and product.unit in _WEIGHT else told)
            self.say("product", line, "last", day(row["must_last_to"]) if row.get("must_last_to") else None)
            reserve = row.get("reserve", "")
            self.say("product", line, "reserve", product.amount(reserve) if reserve and number(reserve) != 0 else None)
            self.say("product", line, "months", _months(row.get("eaten_in", "")) or None)
            self.say("product", line, "sizes", tuple(product.sizes.values()))

    def _household(self, home: Mapping[str, Any]) -> None:
        self.say("altitude", number(_said(home.get("altitude_ft"))))
        for frost in ("last_frost", "first_frost"):
            self.say(frost, _yearly(home.get(frost)))
        for person in _list(home["people"]):
            self.say("person", _said(person["name"]), "portion", number(_said(person.get("portion")) or "1"))
            self.say("person", _said(person["name"]), "born", day(_said(person.get("born"))))
        rules = _map(home.get("house_rules"))
        for key in ("days_between", "at_most_in_7_days", "at_least_in_7_days"):
            for what, told in _map(rules.get(key)).items():
                self.say(key, _name(what), number(_said(told)))
        for key in ("hands_on_minutes", "longest_minutes"):
            by_day = {w: number(_said(told)) for days, told in _map(rules.get(key)).items() for w in _weekdays(days)}
            for weekday, told in by_day.items():
                self.say(key, weekday, told)
        self.say("stretch", number(_said(rules.get("stretch")) or "1/4"))
        purse = _map(home.get("no_store"))
        for key in ("purse_usd_week", "usual_month_usd", "must_go_suppers_week"):
            self.say(key, number(_said(purse.get(key)) or "0"))

    def _stores(self) -> None:
        for line, row in _rows(self.folder, "stock.csv"):
            product = self.products[_name(row["product"])]
            holds = product.sizes.get(_one(row["size"]), _UNITS.get(_one(row["size"])))
            when = day(row["put_up"]) if row.get("put_up") else None
            self.say("lot", line, product.name, holds, when, number(row["count"]))
        for line, row in _rows(self.folder, "open.csv"):
            product = self.products[_name(row["product"])]
            self.say("part", line, product.name, day(row["opened"]), product.amount(row["left"]))
        weekly: dict[tuple[str, int], Any] = defaultdict(Fraction)
        for _line, row in _rows(self.folder, "standing.csv"):
            product = self.products[_name(row["product"])]
            amount = product.amount(row["amount"])
            told = amount * 7 / _every(row["every"]) if isinstance(amount, Fraction) else amount
            if row.get("from"):
                self.say("standing days", product.name, row["from"], row["to"], told)
                continue
            for month in _months(row.get("months", "")) or range(1, 13):
                weekly[product.name, month] += told if isinstance(told, Fraction) else 10**12
        for (name, month), told in weekly.items():
            self.say("standing", name, month, told)

    def _calendar(self, calendar: Mapping[str, Any]) -> None:
        for one in _list(calendar.get("occasions")):
            first = day(_said(one.get("day") or one.get("from"))) or self.today
            self.say("occasion", _said(one["name"]), first, number(_said(one.get("guests")) or "0"))
        for one in _list(calendar.get("coming_in")):
            product = self.products[_name(_said(one["product"]))]
            for when in self._days(one):
                self.say("arrival", product.name, when, product.amount(_said(one["amount"])))

    def _days(self, one: Mapping[str, Any]) -> Iterator[date]:
        assert isinstance(self.today, date)
        if _said(one.get("day")):
            only = day(_said(one["day"]))
            if isinstance(only, str) or only >= self.today:
                yield only  # type: ignore[misc]
            return
        first, last = (day(_said(one.get(k))) if _said(one.get(k)) else None for k in ("from", "to"))
        first = first or self.today
        every = one.get("every")
        step = not isinstance(every, list) and _name(_said(every)).split(" ")[-1] in ("day", "days", "week", "weeks")
        length = _every(_said(every)) if step else 1
        only_on = set() if step or not every else _weekdays(every)
        assert isinstance(first, date)
        end = last if isinstance(last, date) else max(first, self.today + timedelta(days=400))
        when = first
        while when <= min(end, self.today + timedelta(days=1100)):
            if when >= self.today and (not only_on or _WEEK[when.weekday()] in only_on):
                yield when
            when += timedelta(days=int(length))

    def _season(self, season: Mapping[str, Any]) -> None:
        for jars in _list(season.get("jars")):
            for key in ("empties", "out"):
                self.say(key, _said(jars["size"]), number(_said(jars.get(key))))
        lids = _map(season.get("lids"))
        for key in ("regular", "wide"):
            self.say("lids", key, number(_said(lids.get(key)) or "0") if _said(season.get("lids")) else None)
        self.say("wide_share", number(_said(lids.get("wide_share")) or "0"))
        for one in _list(season.get("canners")):
            for size, told in one["holds"].items():
                self.say("canner", size, number(_said(told)))
            self.say("load", number(_said(one.get("hours_first_load")) or "2"))
        full = [
            (number(_said(f.get("litres")) or "0"), number(_said(f.get("full_now")) or "0"))
            for f in _list(season.get("freezers"))
        ]
        litres = [
            all_of * (1 - part) for all_of, part in full if isinstance(all_of, Fraction) and isinstance(part, Fraction)
        ]
        free = sum(litres, Fraction(0)) if len(litres) == len(full) else str(full)
        self.say("litres", free if full else None)
        for key, what in (("kitchen_hours", "hours_a_week"), ("harvest", "crop")):
            for one in _list(season.get(key)):
                told = number(_said(one[what])) if key == "kitchen_hours" else _said(one[what])
                self.say(key, _yearly(one["from"]), _yearly(one["to"]), told)
        for one in _list(season.get("batch_hours")):
            for weekday in _weekdays(one["weekday"]):
                hours = number(_said(one["hours"]))
                self.say("batch hours", weekday, int(hours * 60) if isinstance(hours, Fraction) else hours)
        for one in _list(season.get("garden")):
            feet = [number(_said(one.get(k)) or "0") for k in ("rows", "feet_a_row")]
            self.say("row feet", feet[0] * feet[1] if all(isinstance(f, Fraction) for f in feet) else str(feet))  # type: ignore[operator]
            self.say("hoped", number(_said(one.get("hoped_lb"))))
        for one in _list(season.get("failure_odds")):
            self.say("odds", number(_said(one["one_year_in"])))
            self.say("still", number(_said(one.get("still_brings"))))
        for one in _list(season.get("history")):
            told = [number(_said(one[k])) for k in ("season", "carried_over", "put_up", "given_or_lost", "used")]
            self.say("year", *told)
        for one in _list(season.get("servings")):
            self.say("servings", *(number(_said(one[k])) for k in ("a_week", "weeks", "cups")))
        for one in _list(season.get("expected")):
            product = self.products[_name(_said(one["product"]))]
            self.say("expected", day(_said(one["day"])), product.amount(_said(one["amount"])))

    def _recipes(self) -> None:
        for path in sorted((self.folder / "recipes").iterdir()):
            dish = _yaml(path)
            name, batch = _said(dish["name"]), _name(_said(dish.get("batch"))) in ("yes", "y", "true")
            self.say("dish", name, "minutes", number(_said(dish.get("minutes")) or ("60" if batch else "30")))
            if batch:
                continue
            self.say("dish", name, "serves", number(_said(dish["serves"])))
            self.say("dish", name, "hands on", number(_said(dish.get("hands_on_minutes"))))
            self.say("dish", name, "between", number(_said(dish.get("days_between"))))
            self.say("dish", name, "liking", number(_said(dish.get("liking")) or "0"))
            left = _map(dish.get("leaves"))
            self.say("dish", name, "left", number(_said(left.get("portions"))))
            self.say("dish", name, "left days", number(_said(left.get("days"))))


def _yearly(value: Any) -> tuple[int, ...] | str:
    parts = _said(value).replace("–", "-").replace("—", "-").replace("−", "-").split("-")
    return tuple(map(int, parts)) if len(parts) == 2 and all(p.isdecimal() for p in parts) else _said(value)


def _every(text: str) -> Fraction:
    words = _name(text).removeprefix("every ").split(" ")
    count = number(words[0]) if len(words) > 1 else Fraction(1)
    assert isinstance(count, Fraction), text
    return count * (7 if words[-1].startswith("week") else 1)


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
        out += [(key, _name(what), count) for what, count in told.items()]
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
        mine = _Product(
            row | {"sizes": ";".join(f"{s.name}={s.content} {_BASE[product.measure]}" for s in product.sizes)}
        )
        name = next(
            (n for n in sorted(mine.names, key=len, reverse=True) if _name(option.as_written).endswith(n)), None
        )
        said = mine.amount(_name(option.as_written).removesuffix(name).strip()) if name else option.as_written
        if said != option.amount:
            wrong.append(f"{option.as_written}: read as {option.amount}, says {said}")
    return wrong


_BASE = {"ml": "ml", "g": "g", "each": "each"}
