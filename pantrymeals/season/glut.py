"""The day a glut comes in: which forms does the shelf still call for, and what to do with the rest."""

from __future__ import annotations

from datetime import timedelta
from difflib import get_close_matches
from fractions import Fraction
from math import ceil

from pantrymeals.cautions import STANDING_LINE, CautionShown, shown, shown_in
from pantrymeals.errors import PantryError
from pantrymeals.plans.season import GlutForm, GlutPlan, PutUpLine
from pantrymeals.season.asked import SeasonQuestion, need_of, on_shelf
from pantrymeals.season.cautions import altitude_caution, cautions_of
from pantrymeals.season.fit import choose_loads
from pantrymeals.season.limits import GRAIN, Limit, SeasonLimits, monday
from pantrymeals.season.put_up_list import crop_risk, line_for, why_never
from pantrymeals.season.words import counted, freezer_room, load_words
from pantrymeals.season.yields import figures_of_container, jar_words
from pantrymeals.season_facts import Harvest
from pantrymeals.units import UNITS, as_words, take_number, unit_named, weighed


def crop_meant(asked: SeasonQuestion, words: str) -> Harvest:
    """The harvest a cook means by 'beans' or 'green beans'.

    Raises PantryError with the nearest names when there is none, or more than one.
    """
    wanted = " ".join(words.lower().split())
    by_name = {h.crop.lower(): h for h in asked.facts.harvests}
    if wanted in by_name:
        return by_name[wanted]
    holding = [name for name in by_name if wanted and wanted in name]
    if len(holding) == 1:
        return by_name[holding[0]]
    near = holding or get_close_matches(wanted, by_name, n=3, cutoff=0.5)
    tail = f"; did you mean {' or '.join(sorted(near)[:4])}?" if near else "; season.yaml has no harvest like it"
    raise PantryError(f"there is no crop called '{words.strip()}'{tail}")


def pounds_meant(asked: SeasonQuestion, harvest: Harvest, words: str) -> Fraction:
    """'60 lb', '30 kg', '60' or '2 bushels' in pounds; bushels by the published weight of that crop's bushel.

    Raises PantryError when it is no amount, or no weight of a bushel is printed for the crop.
    """
    taken, metric = take_number(words), asked.household.measures == "metric"
    if taken is None or taken[0] <= 0:
        such_as = "'30 kg'" if metric else "'60 lb' or '2 bushels'"
        raise PantryError(f"'{words}' is not an amount such as {such_as}")
    number, unit = taken[0], taken[1].lower().rstrip("s")
    if unit in {"lb", "pound"} or (not unit and not metric):
        return number
    known = unit_named(taken[1] or "kg")
    if known is not None and known[0] == "g":
        return number * known[1] / UNITS["lb"][1]
    for name in harvest.products:
        product = asked.household.products.get(name)
        crop = asked.tables.of(product) if product else asked.tables.name_of(name)
        weight = figures_of_container(asked.tables, crop, unit)
        if weight is not None:
            return number * weight
    raise PantryError(
        f"no published weight of a {unit or 'measure'} of {harvest.crop}; say it in {'kilos' if metric else 'pounds'}"
    )


_SECONDS = 5.0
"""For choosing the loads of one crop; a crop has a few forms."""


def glut_plan(asked: SeasonQuestion, harvest: Harvest, lb: Fraction, hours: Fraction | None = None) -> GlutPlan:
    """How to put up ``lb`` pounds of a crop that is in today.

    hours: kitchen hours there are for it this week; None: not counted. Forms are chosen by the
    arithmetic of the season's list: jars times the chance that they will be called for.
    """
    lines, passed = _forms(asked, harvest)
    chosen = choose_loads(lines, _limits(asked, lines, lb, hours), asked.seed, _SECONDS)
    forms, used = [], Fraction(0)
    for line in lines:
        loads = chosen.of(line.product)
        if not loads:
            passed.append((line.product, "worth less than the forms above, with what is in the house today"))
            continue
        pounds = line.raw_lb_a_load * loads
        used += pounds
        chance = sum(line.chances[:loads]) / loads
        jars = loads * line.load
        words = f"{load_words(jars, line.size, loads, line.way)}: {line.why.rsplit(':', 1)[0]}"
        forms.append(GlutForm(line.product, line.size, loads, jars, pounds, chance, words))
    left = max(Fraction(0), lb - used)
    cautions = _cautions(asked, [f.product for f in forms])
    return GlutPlan(
        harvest.crop,
        lb,
        tuple(forms),
        tuple(passed),
        _left_words(asked, left),
        chosen.proven,
        cautions,
        asked.household.measures == "metric",
    )


def _forms(asked: SeasonQuestion, harvest: Harvest) -> tuple[list[PutUpLine], list[tuple[str, str]]]:
    """Lines for each form as if the harvest were this week; and the forms passed over, with why."""
    days = (asked.today, asked.today + timedelta(days=6))
    risk = crop_risk(asked, harvest)
    lines, passed = [], []
    for name in harvest.products:
        product = asked.household.products.get(name)
        if product is None:
            continue
        if never := why_never(asked, product):
            passed.append((name, never))
            continue
        line = line_for(asked, product, harvest, risk, days)
        if isinstance(line, str):
            passed.append((name, f"the shelf does not call for it: {_shelf_words(asked, name)}"))
        elif not line.raw_lb_a_load:
            passed.append((name, "no published figure of pounds to the jar"))
        else:
            lines.append(line)
    return lines, passed


def _shelf_words(asked: SeasonQuestion, name: str) -> str:
    size = asked.household.products[name].sizes[0].name
    need = need_of(asked, name)
    if need.basis == "none":
        return f"{counted(on_shelf(asked, name), size)} there, and too young to tell what you use"
    return f"{counted(on_shelf(asked, name), size)} there, {as_words(Fraction(ceil(need.a_year)))} used a year"


def _limits(asked: SeasonQuestion, lines: list[PutUpLine], lb: Fraction, hours: Fraction | None) -> SeasonLimits:
    week = monday(asked.today)
    found = [
        Limit(
            "pounds", "lb", "season", {week: int(lb * GRAIN)},
            {line.product: round(line.raw_lb_a_load * GRAIN) for line in lines},
        )
    ]  # fmt: skip
    for size, count in asked.facts.empties.items():
        takes = {line.product: line.load * GRAIN for line in lines if line.size == size and line.flats}
        found.append(Limit(f"{jar_words(size)} jars", size, "season", {week: count * GRAIN}, takes))
    if asked.facts.flats:
        takes = {line.product: line.flats // line.loads * GRAIN for line in lines if line.flats}
        found.append(Limit("lids", "lids", "season", {week: sum(asked.facts.flats.values()) * GRAIN}, takes))
    if hours is not None:
        weeks = (week, week + timedelta(days=7))
        found.append(
            Limit(
                "kitchen hours", "hours", "season", {weeks[0]: int(hours * GRAIN)},
                {line.product: round(line.hours_first_load * GRAIN) for line in lines},
            )
        )  # fmt: skip
    return SeasonLimits(tuple(found), asked.facts.most_loads_a_day, canning_days=7)


def _left_words(asked: SeasonQuestion, left: Fraction) -> str:
    if left < 1:
        return "nothing over"
    litres = asked.facts.free_litres
    where = f"freeze what has room ({freezer_room(litres, asked.household.measures)} are free), " if litres else ""
    ways = f"eat fresh, {where}give or barter it fresh, the rest to the hens or the compost"
    over, unit = weighed(left, asked.household.measures == "metric")
    return f"{round(over)} {unit} over: {ways}"


def _cautions(asked: SeasonQuestion, names: list[str]) -> tuple[CautionShown, ...]:
    codes = dict.fromkeys(
        code
        for name in names
        for code in cautions_of(asked, asked.household.products[name], asked.household.products[name].sizes[0].name)
        if code != "C1"
    )
    jars = any(asked.household.products[name].kind == "jar" for name in names)
    out = [shown(code) for code in codes]
    if jars:
        out += altitude_caution(asked)
        out += [shown("C9"), shown("C10")]
    return (*shown_in(out, metric=asked.household.measures == "metric"), CautionShown("", STANDING_LINE))
