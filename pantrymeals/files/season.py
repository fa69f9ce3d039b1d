"""Reads season.yaml: harvests, garden, jars and lids, canners, hours, odds, and the seasons written down."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.season_buying import chosen_needs, each_gives, jar_goods, lost_once_in, seed_orders
from pantrymeals.files.season_fields import (
    ONE,
    ZERO,
    SeasonFields,
    hoped_lb_of,
    in_either,
    number_in,
    number_of,
    share_of,
    whole_of,
    window_of,
)
from pantrymeals.files.season_values import between_0_and_1, minutes_of, more_than_1, one_of_its_sizes
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Pairs, read_yaml
from pantrymeals.records import FreeHours, StorePlace
from pantrymeals.season_facts import (
    USUAL_MOST_LOADS,
    USUAL_SERVICE,
    Canner,
    ExpectedCrop,
    Freezer,
    Ground,
    Harvest,
    Hours,
    Odds,
    SeasonFacts,
    ThisSeason,
    WrittenYear,
)
from pantrymeals.units import METRES_A_FOOT

FILE = "season.yaml"
TOP = (
    "jars", "in_jars_besides", "lids", "dial_gauge_checked", "canners", "most_loads_a_day", "shelves",
    "jar_width_mm", "freezers", "freezing", "drying", "kitchen_hours", "batch_hours", "harvest", "garden",
    "garden_feet_free", "trees", "service", "failure_odds", "lost", "history", "servings", "expected", "takes", "seed",
    "needs", "season_notes", "count_differences", "load_records",
)  # fmt: skip
"""And season_2025 and the like. The last three, and some of the fields below, are for the household's own eyes."""
_RUNNING = (
    "product", "size", "carried_over", "put_up", "given", "lost", "used", "on_hand", "a_week_now", "why_none", "note",
)  # fmt: skip
_LIDS = ("regular", "wide", "wide_share", "used_last_season", "failed_seals_last_season", "price", "note")
_A_SEASON = re.compile(r"season_\d{4}")


def read_season(
    path: Path, known: KnownProducts, places: tuple[StorePlace, ...] | None, gathering: Gathering
) -> tuple[SeasonFacts, tuple[FreeHours, ...]]:
    """What the file says of the seasons, and the hours free for batch days; every mistake is written down.

    places: the household's; None where they are not known, and no place is called unknown.
    """
    node = read_yaml(path, FILE, gathering)
    seasons = sorted(key for key in (node.pairs if isinstance(node, Pairs) else ()) if _A_SEASON.fullmatch(key))
    return _Season(Fields(node, (*TOP, *seasons), "the season's file", gathering), known, places).facts(seasons)


class _Season(SeasonFields):
    """The file's lists, each read by a function of its name."""

    def facts(self, seasons: list[str]) -> tuple[SeasonFacts, tuple[FreeHours, ...]]:
        """Everything; harvests first, since they give the crops their spelling."""
        harvests = tuple(self._harvest(f) for f in self.items("harvest"))
        grounds = tuple(self._ground(f) for f in self.items("garden"))
        tree_lb = self._trees()
        lids = self.part("lids", _LIDS)
        jars = [(self.jar_size(f), f) for f in self.items("jars")]
        freezing = self.part("freezing", ("batch", "hours", "note"))
        shelves = [(self.places.code(f), self._shelf(f)) for f in self.items("shelves")]
        running = [tuple(r for f in self.fields(k, "a product's season", _RUNNING) if (r := self._running(f)))
                   for k in seasons]  # fmt: skip
        for name in ("season_notes", "count_differences", "load_records"):
            for fields in self.items(name):
                self.product(fields)
        free = tuple(hours for f in self.items("batch_hours") for hours in _batch_hours(f))
        facts = SeasonFacts(
            empties={size: whole_of(f, "empties") for size, f in jars if f.has("empties")},
            out={size: whole_of(f, "out") for size, f in jars if f.has("out")},
            jars_besides=tuple(self.products(self.top, "in_jars_besides")),
            flats={kind: whole_of(lids, kind) for kind in ("regular", "wide") if self.top.has("lids")},
            wide_share=share_of(lids, "wide_share", ZERO),
            gauge_checked=self.top.text("dial_gauge_checked"),
            canners=tuple(self._canner(f) for f in self.items("canners")),
            most_loads_a_day=self.top.read("most_loads_a_day", values.whole_number(1, 99), USUAL_MOST_LOADS),
            shelf_mm=sum((mm for _, mm in shelves), ZERO),
            shelf_mm_at={at: sum((mm for place, mm in shelves if place == at), ZERO) for at, _ in shelves},
            jar_width_mm=self.by_size(self.top, "jar_width_mm", "{qt: 100, pt: 85}"),
            freezers=tuple(self._freezer(f) for f in self.items("freezers")),
            hours=tuple(h for f in self.items("kitchen_hours") if (h := _hours(f))),
            harvests=harvests,
            grounds=grounds,
            ground_free_ft=number_of(self.top, "garden_feet_free"),
            tree_lb=tree_lb,
            odds=tuple(o for f in self.items("failure_odds") if (o := self._odds(f))),
            years=tuple(y for f in self.items("history") if (y := self._year(f))),
            this_season=running[-1] if running else (),
            servings=dict(s for f in self.items("servings") if (s := self._servings(f))),
            expected=tuple(e for f in self.items("expected") if (e := self._expected(f))),
            service=float(self.top.read("service", between_0_and_1, Fraction(USUAL_SERVICE).limit_denominator(100))),
            freeze_batch=freezing.read("batch", values.whole_number(1, 999), 6),
            freeze_hours=number_of(freezing, "hours", ONE),
            **self._buying(lids, jars),
        )
        return facts, free

    def _buying(self, lids: Fields, jars: list[tuple[str, Fields]]) -> dict[str, Any]:
        """The facts of what is bought, dried, lost and chosen."""
        drying = self.part("drying", ("batch", "hours", "note"))
        freezer, garden = lost_once_in(self)
        return {
            "dry_batch": drying.read("batch", values.whole_number(1, 999), 4),
            "dry_hours": number_of(drying, "hours", Fraction(2)),
            "lids_used": whole_of(lids, "used_last_season"),
            "seals_failed": whole_of(lids, "failed_seals_last_season"),
            "lid_price": number_of(lids, "price") if lids.has("price") else None,
            "jar_price": {size: number_of(f, "price") for size, f in jars if f.has("price")},
            "jar_goods": tuple(jar_goods(self)),
            "seed": tuple(seed_orders(self)),
            "chosen": {chosen.product: chosen for chosen in chosen_needs(self)},
            "lost_freezer": freezer,
            "lost_garden": garden,
        }

    def _harvest(self, fields: Fields) -> Harvest:
        crop, (first, last) = self.crop(fields), window_of(fields)
        fields.need("products")
        elsewhere = [fields.read(key, values.yes_or_no, False) for key in ("from_barn", "wild", "bought")]
        products = tuple(self.products(fields, "products"))
        return Harvest(crop, first, last, products, not any(elsewhere), each_gives(self, fields, products))

    def _ground(self, fields: Fields) -> Ground:
        return Ground(
            self.crop(fields),
            number_of(fields, "rows") * in_either(fields, "feet_a_row", "metres_a_row", METRES_A_FOOT),
            whole_of(fields, "plants"),
            fold(fields.text("place")) == "tunnel",
            hoped_lb_of(fields),
        )

    def _trees(self) -> dict[str, Fraction]:
        """Pounds that the household hopes for, by crop."""
        out: dict[str, Fraction] = {}
        for fields in self.items("trees"):
            crop = self.crop(fields)
            whole_of(fields, "count")
            hoped = hoped_lb_of(fields)
            if hoped is not None:
                out[crop] = out.get(crop, ZERO) + hoped
        return out

    def _canner(self, fields: Fields) -> Canner:
        fields.need("name", "kind", "holds")
        kind = fields.read("kind", values.one_of(("boiling", "pressure")), "boiling")
        holds = {size: int(n) for size, n in self.by_size(fields, "holds", "{qt: 7, pt: 8}").items()}
        first = number_of(fields, "hours_first_load", Fraction(2))
        return Canner(fields.text("name"), kind, holds, first, number_of(fields, "hours_next_load", first))

    def _shelf(self, fields: Fields) -> Fraction:
        """Millimetres of jar row."""
        fields.need("metres")
        return (
            number_of(fields, "metres") * 1000 * number_of(fields, "rows_deep", ONE) * number_of(fields, "tiers", ONE)
        )

    def _freezer(self, fields: Fields) -> Freezer:
        fields.need("litres")
        litres = number_of(fields, "litres")
        full = litres * share_of(fields, "full_now", ZERO)
        return Freezer(self.places.code(fields), fields.text("name"), litres, full)

    def _odds(self, fields: Fields) -> Odds | None:
        crop = self.crop(fields, known_only=True)
        years = fields.read("one_year_in", more_than_1, None) if fields.need("one_year_in") else None
        still = fields.read("still_brings", values.zero_or_more, None)
        return None if years is None else Odds(crop, years, fields.text("why"), still)

    def _year(self, fields: Fields) -> WrittenYear | None:
        complete = fields.need("product", "season", "carried_over", "put_up", "used")
        product, year = self.product(fields), fields.read("season", values.whole_number(1900, 2200), None)
        carried, made, gone, used = (number_of(fields, k) for k in ("carried_over", "put_up", "given_or_lost", "used"))
        if not complete or product is None or year is None:
            return None
        self.once("history", (product.name, year), "product", fields)
        written = WrittenYear(product.name, year, carried, made, gone, used)
        if written.carried_out < 0:
            wrong = f"more left the shelf than was on it ({-written.carried_out} too many)"
            self.gathering.say(fields.place, f"{product.name}, {year}: {wrong}", "look over the four figures")
        return written

    def _running(self, fields: Fields) -> ThisSeason | None:
        """A product in the season that is running."""
        fields.need("product", "size")
        product = self.product(fields)
        size = fields.read("size", one_of_its_sizes(product), "") if product is not None else ""
        made = []
        for node in fields.many("put_up"):
            each = Fields(node, ("day", "count", "note"), "a putting up", self.gathering)
            day = each.read("day", values.day, None) if each.need("day", "count") else None
            if day is not None:
                made.append((day, number_of(each, "count")))
        given, lost, used = (number_of(fields, k) for k in ("given", "lost", "used"))
        if product is None or not size:
            return None
        return ThisSeason(
            product.name,
            size,
            self._carried_over(fields),
            tuple(made),
            given,
            lost,
            used,
            fields.read("a_week_now", values.zero_or_more, None),
            fields.text("why_none"),
        )

    def _carried_over(self, fields: Fields) -> Fraction:
        """Containers, written at once or by the year in which they were put up."""
        if not isinstance(fields.node("carried_over"), Pairs):
            return number_of(fields, "carried_over")
        by_year = (node for _, node in fields.pairs("carried_over", "{2024: 9}"))
        return sum((number_in(node, self.gathering, values.zero_or_more) for node in by_year), ZERO)

    def _servings(self, fields: Fields) -> tuple[str, tuple[Fraction, Fraction, Fraction]] | None:
        fields.need("product", "a_week", "weeks", "cups")
        product = self.product(fields)
        figures = number_of(fields, "a_week"), number_of(fields, "weeks"), number_of(fields, "cups")
        if product is None:
            return None
        self.once("servings", product.name, "product", fields)
        return product.name, figures

    def _expected(self, fields: Fields) -> ExpectedCrop | None:
        fields.need("product", "amount", "day")
        product, day = self.product(fields), fields.read("day", values.day, None)
        if product is None:
            return None
        of = product
        amount: Fraction | None = fields.read("amount", lambda text: amount_of(of, text), None)
        return None if amount is None or day is None else ExpectedCrop(product.name, amount, day)


def _batch_hours(fields: Fields) -> Iterator[FreeHours]:
    """Hours free for batch days: 'weekday: Sat, hours: 5', between two yearly days where they are given."""
    if not fields.need("weekday", "hours"):
        return
    minutes = fields.read("hours", minutes_of, 0)
    first = fields.read("from", values.yearly_day, (1, 1))
    last = fields.read("to", values.yearly_day, (12, 31))
    for days in fields.read_many("weekday", values.weekdays):
        for day in days:
            yield FreeHours(day, minutes, first, last, fields.place)


def _hours(fields: Fields) -> Hours | None:
    first, last = window_of(fields)
    hours = fields.read("hours_a_week", values.zero_or_more, None) if fields.need("hours_a_week") else None
    return None if hours is None else Hours(first, last, hours)
