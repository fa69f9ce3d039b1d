"""What a row of products.csv leaves blank, filled from the catalogue of stored things."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from pantrymeals.files.catalogue import Garden, Thing, catalogue, named, sources
from pantrymeals.files.csv_tables import Row
from pantrymeals.files.gathering import fold, shown
from pantrymeals.records import Product

_FROM_THING = ("family", "kind", "acid", "loose", "opened_days", "thaw_days", "contents", "food", "fresh_days")


def thing_of(row: Row) -> Thing | None:
    """What the catalogue calls a row's product: the thing it names, or one of its name."""
    said, kind = row.text("thing"), row.text("kind")
    if not said:
        return _thing_of_that_name(row)
    thing = catalogue().get(fold(said)) or next(iter(named().get(fold(said), ())), None)
    if thing is None:
        right = row.gathering.did_you_mean(said, named(), "leave it blank, and fill in kind and what follows")
        row.say("thing", f"{shown(said)} is not in the catalogue", right)
    elif kind and fold(kind) != thing.kind:
        wrong = f"{thing.name} is kept in the {thing.kind}" if thing.kind != "jar" else f"{thing.name} is kept in jars"
        row.say("thing", f"{wrong}, and this row says {kind}", "name a thing so kept, or leave thing blank")
    return thing


def _thing_of_that_name(row: Row) -> Thing | None:
    name = row.text("product")
    things = named().get(fold(name), ())
    first = catalogue().get(fold(name))
    if len(things) == 1 or first is not None:
        return first or things[0]
    if things:
        which = " or ".join(f"{t.name} ({t.kind})" for t in things)
        row.say("thing", f"{shown(name)} can be more than one thing of the catalogue", f"write under thing: {which}")
    elif name:
        near = row.gathering.did_you_mean(name, named(), "name its thing, or write its kind (jar, freezer ...)")
        row.say("kind", f"there is no kind, and {shown(name)} is not in the catalogue", near)
    return None


def filled(row: Row, thing: Thing | None) -> Row:
    """The row with its blank columns as the catalogue has them."""
    if thing is None:
        return row
    return replace(row, cells={**{k: v for k, v in cells_of(thing).items() if not row.text(k)}, **_written(row)})


def cells_of(thing: Thing) -> dict[str, str]:
    """What the catalogue has of a thing, as it would be written in a row of products.csv; '' where it has nothing."""
    return {
        "family": thing.family,
        "kind": thing.kind,
        "acid": thing.acid,
        "loose": "yes" if thing.loose else "",
        "opened_days": "" if thing.opened_days is None else str(thing.opened_days),
        "thaw_days": "" if thing.thaw_days is None else str(thing.thaw_days),
        "fresh_days": "" if thing.fresh_days is None else str(thing.fresh_days),
        "contents": "; ".join(thing.contents),
        "food": thing.food,
    }


def _written(row: Row) -> dict[str, str]:
    return {column: text for column, text in row.cells.items() if text}


def saying_what_is_filled(product: Product, row: Row, thing: Thing) -> Product:
    """A product with the columns that its row left blank and the catalogue filled."""
    columns = {c for c in _FROM_THING if not row.text(c) and filled(row, thing).text(c)}
    if product.measure != "g" and product.grams_per_base is not None and not row.text("weight_g"):
        columns.add("weight_g")
    said = product.opened_source
    if "opened_days" in columns and not said:
        said = sources()[thing.sources["opened"]].text
    return replace(product, from_catalogue=frozenset(columns), opened_source=said)


def to_harvest(product: Product, thing: Thing, garden: Garden | None, today: date | None) -> Product:
    """A product that is harvested where the household gardens, with the first day of its next harvest to last to."""
    month = garden.first_month(thing) if garden else None
    if month is None or today is None or product.must_last_to is not None or product.deadline_kind:
        return product
    year = today.year if (month, 1) > (today.month, today.day) else today.year + 1
    columns = product.from_catalogue | {"must_last_to", "deadline"}
    return replace(product, must_last_to=date(year, month, 1), deadline_kind="new crop", from_catalogue=columns)
