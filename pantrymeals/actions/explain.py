"""Which figure of a product came from where: the command `explain`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.words import product_meant
from pantrymeals.actions.larder import load_larder, pantry_of
from pantrymeals.contents_told import told_by
from pantrymeals.errors import NotUnderstood
from pantrymeals.files.catalogue import Thing, catalogue, garden_at, named, sources
from pantrymeals.files.from_catalogue import cells_of
from pantrymeals.files.gathering import Gathering, fold, nearest
from pantrymeals.files.household_yaml import FILE as HOUSEHOLD
from pantrymeals.files.household_yaml import MEASURES, read_household_yaml
from pantrymeals.files.products import FILE, foods_known
from pantrymeals.packaged import DATA
from pantrymeals.plans.explained import Explained, Figure
from pantrymeals.records import Household, Measures, Product, rules_written
from pantrymeals.tables import asked as tables_of
from pantrymeals.units import as_words
from pantrymeals.words import MONTHS, either, listed

_OWN = f"{FILE}, your own"
_GROUP = {"opened_days": "opened", "thaw_days": "thaw", "acid": "acid", "contents": "contents", "weight_g": "weight",
          "fresh_days": "fresh"}  # fmt: skip
"""The group of figures whose source speaks for a column."""
_FOOD = "data/foods.csv: USDA National Nutrient Database for Standard Reference, Release 27 (2014) (read)"
_CATALOGUE = "the catalogue: what it is"
_EACH_HOUSE_RULE = "  (each house rule, with an example)"
"""In its place stand the keys that the records have: a rule that is added there is explained."""


def explain_answer(folder: Path, said: str, today: date | None, calendar_day: date) -> Answer:
    """Each figure of a product and its source. Raises NotUnderstood where neither shelf nor catalogue has its name."""
    from pantrymeals.reports.terminal.explained import write_explained

    explained = explain(load_larder(folder, today, calendar_day), folder, said)
    return Answer(lambda paper: write_explained(paper, explained), tables=lambda: tables_of.figures(explained))


def files_explained(measures: Measures | None = None) -> str:
    """Every file of a household with its columns and keys, and an example of each.

    measures: whose sizes stand in the examples; None: both, a metric one after the other or in a remark beside it.
    """
    text = (DATA / "files.md").read_text(encoding="utf-8").replace(_EACH_HOUSE_RULE, "\n".join(_rule_lines()))
    block, out = False, []
    for line in text.splitlines(keepends=True):
        block = block != line.startswith("```")
        out.append(_EITHER.sub(rf"\{MEASURES.index(measures) + 1}", line) if measures else _in_both(line, block))
    return "".join(out)


def measures_written(folder: Path) -> Measures | None:
    """Whose measures a folder's household.yaml says, mistakes or none; None where there is none to read."""
    sheet = read_household_yaml(folder / HOUSEHOLD, Gathering())
    return None if sheet is None else sheet.measures


def _in_both(line: str, block: bool) -> str:
    """An example in both measures: '`40 lb` or `20 kg`'; in a block the metric one as a remark behind it."""
    if not block:
        return _EITHER.sub(r"\1` or `\2", line)
    metric = ", ".join(dict.fromkeys(found[2] for found in _EITHER.finditer(line)))
    us = _EITHER.sub(r"\1", line).rstrip("\n")
    remark = us.partition("#")[2]
    if not metric or metric in remark or not _MAY_HAVE_REMARK.match(us):
        return f"{us}\n"
    return f"{us}; or {metric}\n" if remark else f"{us:<28} # or {metric}\n"


_EITHER = re.compile(r"\[\[(.+?)\|(.+?)\]\](?!\])")
"""An example as files.md has it: in quarts and pounds, and in litres and kilograms."""
_MAY_HAVE_REMARK = re.compile(r"\s*-? ?[^,#]*:|\s*- ")
"""A line of YAML; not one of a CSV, where a remark would be read."""


def _rule_lines() -> Iterator[str]:
    for rule in rules_written().values():
        remark = f"# {rule.remark}" if rule.remark else ""
        if rule.example.startswith("\n"):
            yield f"  {rule.key}:  {remark}{rule.example}"
        else:
            yield f"  {rule.key}: {rule.example}  {remark}".rstrip()


def explain(household: Household, folder: Path, said: str) -> Explained:
    """The same, as a plan. What is kept goes before what only the catalogue has."""
    things = named().get(fold(said), ())
    of_things = {t.name for t in things}
    kept = [p for p in household.products.values() if fold(said) in map(fold, (p.name, *p.also_called))]
    kept += [p for p in household.products.values() if p.thing in of_things]
    exact = kept[0] if kept else None
    if exact is None and not things:
        try:
            exact = product_meant(pantry_of(folder, household), said)
        except NotUnderstood:
            near = nearest(said, named())
            tail = f"; did you mean '{near}'?" if near else ""
            raise NotUnderstood(f"neither {FILE} nor the catalogue has '{said}'{tail}") from None
    if exact is not None:
        thing = catalogue().get(fold(exact.thing))
        return _explained(exact.name, thing, tuple(_of_product(household, exact, thing)), kept=True)
    if len(things) > 1 and fold(things[0].name) != fold(said):
        raise NotUnderstood(f"'{said}' can be {either(t.name for t in things)}; say which")
    return _explained(things[0].name, things[0], tuple(_of_thing(things[0], household)), kept=False)


def _explained(name: str, thing: Thing | None, figures: tuple[Figure, ...], *, kept: bool) -> Explained:
    if thing is None:
        return Explained(name, "", kept, figures)
    return Explained(name, thing.name, kept, figures, thing.serves_as, thing.also_called)


def _of_product(household: Household, product: Product, thing: Thing | None) -> Iterator[Figure]:
    for column, words in _words(product).items():
        if not words:
            continue
        filled = column in product.from_catalogue
        source = _source(thing, column, household) if filled and thing else _OWN
        if column == "opened_days" and product.opened_source:
            source = product.opened_source
        elif column == "contents" and product.contents & told_by(product.name, product.family, *product.also_called):
            source += ", with what its name tells"
        yield Figure(column, words, source)
    if thing is not None and product.keeps_months is None:
        yield from _best(thing)


def _words(product: Product) -> Mapping[str, str]:
    """Each column of a product as it would be written there; '' where there is nothing."""
    first = product.sizes[0]
    weight = product.grams_per_base * first.content if product.grams_per_base and product.measure != "g" else None
    return {
        "sizes": ", ".join(size.name for size in product.sizes),
        "family": product.family,
        "kind": product.kind,
        "acid": product.acid,
        "loose": "" if product.whole else "yes",
        "opened_days": "" if product.opened_days is None else str(product.opened_days),
        "thaw_days": str(product.thaw_days) if product.thaw_days else "",
        "fresh_days": str(product.fresh_days or ""),
        "eaten_before": "; ".join(product.eaten_before),
        "keeps_months": "" if product.keeps_months is None else as_words(product.keeps_months),
        "must_last_to": f"{product.must_last_to or ''}",
        "deadline": product.deadline_kind,
        "contents": listed(sorted(product.contents)),
        "food": _food(product.food),
        "weight_g": "" if weight is None else f"{float(weight):.0f} in one {first.name}",
    }


def _of_thing(thing: Thing, household: Household) -> Iterator[Figure]:
    sizes, column = (thing.sizes, "sizes") if household.measures == "us" else (thing.sizes_metric, "sizes_metric")
    said = {column: sizes.replace(";", ","), **cells_of(thing), "eaten_before": "; ".join(thing.eaten_before)}
    said |= {"contents": listed(thing.contents), "food": _food(thing.food)}
    if not thing.thaw_days:
        del said["thaw_days"]
    yield from (Figure(c, words, _source(thing, c, household)) for c, words in said.items() if words)
    yield from _best(thing)


def _food(number: str) -> str:
    """The number with the food it stands for there, which may be a near one."""
    return f"{number}, {foods_known()[number]}" if number else ""


def _best(thing: Thing) -> Iterator[Figure]:
    if thing.best_months is not None:
        low, high = thing.best_months
        said = f"{low}" if low == high else f"{low} to {high}"
        yield Figure("best months", said, _cited(thing.sources["best"]))


def _source(thing: Thing, column: str, household: Household) -> str:
    if column == "food":
        return _FOOD
    if column in ("must_last_to", "deadline"):
        garden = garden_at(household.latitude, household.last_frost)
        month = garden.first_month(thing) if garden else None
        began = f"harvest here usually begins in {MONTHS[month - 1]}; " if month else ""
        return began + _cited(thing.sources["harvest"])
    if column.startswith("sizes"):
        return _cited(thing.sources["sizes"])
    code = thing.sources.get(_GROUP.get(column, ""))
    return _cited(code) if code else _CATALOGUE


def _cited(code: str) -> str:
    source = sources()[code]
    return source.text if source.how in source.text else f"{source.text} ({source.how})"
