"""Which kept product an ingredient's words mean, and what is no product but a note: salt, water, a herb."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.catalogue import Thing, catalogue, named
from pantrymeals.files.gathering import fold
from pantrymeals.files.lists.names import kinds_said, stem
from pantrymeals.records import Kind, Product

_HOW_IT_IS = """
large small medium medium-sized big fresh freshly ripe firm cold warm hot melted softened soft chopped finely roughly
coarsely diced cubed sliced thinly peeled grated shredded minced crumbled beaten sifted drained rinsed lean boneless
skinless unsalted salted good all-purpose plain home-canned homemade home our own thawed leftover day-old stale of whole
old new organic best cooking cut torn trimmed washed scrubbed packed
"""
_DROPPED = frozenset(_HOW_IT_IS.split())
"""Words that say how it is, not what it is; the line as written keeps them."""
_KIND_WORDS = frozenset({"frozen", "canned", "tinned", "dried", "bottled", "jarred"})
_SEASONING = re.compile(
    r"^(?:(?:fresh(?:ly)?|ground|dried|dry|cracked|sea|table|coarse|fine|kosher|rubbed|black|white|hot|cold|boiling|warm|"
    r"cool|iced?|active|instant|sweet|smoked|tap|flaky|chopped|mixed|whole|lukewarm|tepid|more|a|of|pinch|dash|large|small|"
    r"good|powdered|pasta|cooking) )*"
    r"(?:salt|pepper|peppercorns|water|ice|ice cubes|baking powder|baking soda|bicarb(?:onate)?(?: of soda)?|soda|"
    r"cream of tartar|yeast|vanilla(?: extract| essence)?|thyme|sage|parsley|bay lea(?:f|ves)|bay|rosemary|oregano|"
    r"basil|marjoram|dill|chives?|mint|tarragon|savory|savoury|coriander|cilantro|cinnamon|nutmeg|cloves|ginger|allspice|mace|"
    r"paprika|cayenne(?: pepper)?|chil[il]i (?:powder|flakes)|curry powder|mustard(?: powder| seeds?)?|cumin|turmeric|"
    r"caraway(?: seeds?)?|fennel seeds?|celery (?:seeds?|salt)|garlic (?:powder|salt)|onion powder|herbs?|mixed spice|"
    r"spices?|seasoning|food colou?ring|gelatine?|juniper berries|star anise|cardamom|saffron)$"
)
"""What no larder of ours counts: it is kept as a note wherever no product has the name."""


class ProductsMeant(Struct, frozen=True):
    """Products that a name can mean. guess: what was taken for granted. thing: what the catalogue calls it.

    doubtful: the line says that it is kept otherwise than all of them are.
    """

    products: tuple[Product, ...]
    guess: str = ""
    thing: str = ""
    doubtful: bool = False


def is_seasoning(name: str) -> bool:
    """Whether every part of it ('salt and pepper') is such a thing."""
    parts = re.split(r"\s*(?:,|&|\band\b|\bor\b|/)\s*", fold(name))
    return bool(name.strip()) and all(_SEASONING.match(part) for part in parts if part)


def products_meant(name: str, box: str, known: KnownProducts) -> ProductsMeant:
    """What a name means in this larder; no products where it keeps none, ``thing`` then what the catalogue calls it."""
    jars: tuple[Kind, ...] = ("jar",) if box in ("jar", "can", "tin") else ()
    kinds = kinds_said(name) or jars
    for said in _shorter(name):
        exact = next((p for form in _forms(said) if (p := known.find(form)) is not None), None)
        things = _as_things(said, known)
        if exact is not None and (not kinds or exact.kind in kinds or not things):
            return ProductsMeant((exact,), _guess(name, said), doubtful=bool(kinds) and exact.kind not in kinds)
        if things:
            return _narrowed((exact, *things) if exact else things, kinds, _guess(name, said))
    for said in _shorter(name):
        if thing := next((t for form in _forms(said) for t in named().get(form, ())), None):
            return ProductsMeant((), thing=thing.name)
    for said in _shorter(name):
        if begun := tuple(_with_these_words(said, known)):
            found = _narrowed(begun, kinds, "")
            only = found.products[0].name if len(found.products) == 1 else ""
            return replace(found, guess=f"'{name}' is taken as {only}" if only else "")
    return ProductsMeant(())


def alike(thing: str, known: KnownProducts) -> tuple[Product, ...]:
    """Products kept here that serve as what a thing serves as: what may be offered in its place."""
    wanted = catalogue().get(fold(thing))
    groups = frozenset(wanted.serves_as) if wanted else frozenset()
    return tuple(p for p in known.by_name.values() if (t := thing_of(p)) and groups & frozenset(t.serves_as))


def thing_of(product: Product) -> Thing | None:
    """The catalogue's entry of a product, where it has one."""
    return catalogue().get(fold(product.thing)) if product.thing else None


def _guess(name: str, said: str) -> str:
    left = [w for w in fold(name).split() if w not in said.split() and w not in _DROPPED]
    return f"'{name}' is taken as {said}" if left else ""


def _shorter(name: str) -> Iterator[str]:
    """The name, then without words that say how it is: from the front, then from the end."""
    words = fold(name).replace(" & ", " and ").split()
    yield " ".join(words)
    kept = [w for w in words if w not in _DROPPED]
    if kept and kept != words:
        yield " ".join(kept)
    bare = [w for w in kept if w not in _KIND_WORDS]
    if bare and bare != kept:
        yield " ".join(bare)


def _forms(name: str) -> Iterator[str]:
    """A name as it stands, of one and of many: 'onion', 'onions'; 'diced tomatoes' also as 'tomatoes, diced'."""
    yield name
    for word in (f"{name}s", f"{name}es", name.removesuffix("s"), name.removesuffix("es")):
        if word != name and len(word) > 2:
            yield word
    if name.endswith("y"):
        yield f"{name[:-1]}ies"
    if name.endswith("ies"):
        yield f"{name[:-3]}y"


def _as_things(said: str, known: KnownProducts) -> tuple[Product, ...]:
    things = {thing.name for form in _forms(said) for thing in named().get(form, ())}
    return tuple(p for p in known.by_name.values() if p.thing in things)


def _narrowed(products: tuple[Product, ...], kinds: tuple[Kind, ...], guess: str) -> ProductsMeant:
    """Those that are kept as the line says, where it says ('frozen', 'a can'); each once."""
    each = tuple({p.name: p for p in products}.values())
    fits = tuple(p for p in each if not kinds or p.kind in kinds)
    return ProductsMeant(fits or each, guess, doubtful=not fits)


def _with_these_words(said: str, known: KnownProducts) -> Iterator[Product]:
    """Products with every word said among the words of one of their names: 'stock' in 'Chicken stock'."""
    wanted = {stem(word) for word in re.findall(r"[^\W_]+", said)} - {"and", "of", "in"}
    if not wanted or max(map(len, wanted)) < 3:
        return
    for product in known.by_name.values():
        thing = thing_of(product)
        names = (product.name, *product.also_called, *((thing.name, *thing.also_called) if thing else ()))
        if any(wanted <= {stem(w) for w in re.findall(r"[^\W_]+", fold(n))} for n in names):
            yield product
