"""What speaks against a jar: food that no process is tested for (C4), its size (C5), a withdrawn recipe (C30).

The food is told by what it is: each row has how a household may have written it, and what looks like it and is not
meant. Looked at are the name, the family and the marks of a product, and the note of a lot. Only jars put up at home
are spoken of: frozen, cellared or dry goods and bought tins have no part in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.records import Lot, Product, Size

NCHFP = "National Center for Home Food Preservation"


class NoTestedProcess(Struct, frozen=True):
    """One kind of food. words: how it is written; not_meant: what is taken out before looking; marks: contents.

    acid_too: also where the product is marked high or on the line (pumpkin is low-acid whatever was written).
    The patterns are for small letters, and are compiled when a jar is first looked at.
    """

    what: str
    words: str
    not_meant: str
    source: str
    marks: frozenset[str] = frozenset()
    acid_too: bool = True


_GOURD = r"\b(pumpkins?|squash(es)?|marrows?|butternuts?|buttercups?)\b"
_CRUSHED = r"\b(mash(ed)?|pur[eé]e[ds]?|pur[eé]ed|butter|spread|pie filling)\b"
FRUIT = (
    r"apple|apricot|blackberry|blackberrie|blueberry|cherry|cherrie|cranberry|currant|blackcurrant|redcurrant|crab-apple|berries|berry|damson|elderberry|fig|fruit|gooseberry|grape|medlar|"
    r"nectarine|peach|pear|plum|prune|quince|raspberry|rhubarb|strawberry|strawberrie|raspberrie|tomato"
)
NUT = "peanut|almond|cashew|hazelnut|nut|walnut|seed|sunflower|cocoa|shea"

TABLE: tuple[NoTestedProcess, ...] = (
    NoTestedProcess(
        "mashed or puréed squash or pumpkin",
        rf"{_GOURD}.*{_CRUSHED}|{_CRUSHED}.*{_GOURD}", r"\bspaghetti squash|\bbutter beans?\b",
        f"{NCHFP}, Using and Preserving Pumpkins (from memory)",
    ),
    NoTestedProcess(
        "mashed or puréed low-acid food",
        r"\b(mash(ed)?|pur[eé]e[ds]?|pur[eé]ed|refried|hummus|houmous)\b",
        rf"\b\w*({FRUIT})\w*\W+(pur[eé]ed?|mash(ed)?)\b|\b(pur[eé]ed?|mashed)\W+(of )?({FRUIT})\w*",
        f"{NCHFP}, vegetables and soups (from memory)", acid_too=False,
    ),
    NoTestedProcess(
        "butter",
        r"\b(butter|ghee|buttered|buttercream)\b",
        rf"\b(({FRUIT}|{NUT})\w*|persimmon|mango|date|may ?haw|pawpaw)[\w\s,&-]{{0,12}}\bbutters?\b|\bbutters? ?"
        rf"(beans?|peas?|lettuce)\b|\bbread[- ](and|&|n)[- ]butter\b|\bbutters?\W+({FRUIT}|{NUT})\w*",
        f"{NCHFP}, canning butter (from memory)",
    ),
    NoTestedProcess(
        "cream, or a thickened or creamed soup or sauce",
        r"\b(cream(y|ed|s)?|thickened|chowders?|bisques?|gravy|gravies|roux|white sauce|alfredo|b[eé]chamel|custards?|"
        r"puddings?|flour|corn ?starch)\b",
        r"\bcream(ed)?[- ](style )?(corn|peas|cowpeas|sweet ?corn)\b|\b(sweet ?)?corn, cream(ed)?([- ]style)?\b|"
        r"\bcreamed honey\b|\bhoney, creamed\b|\bcream of tartar\b|\bcream style\b|\bfor (the )?gravy\b",
        f"{NCHFP}, Soups: no noodles, rice, flour, cream or milk in home-canned soup (from memory)",
    ),
    NoTestedProcess(
        "noodles, rice, dumplings, bread or cake in the jar",
        r"\b(noodles?|pasta|macaroni|spaghetti|ravioli|vermicelli|orzo|couscous|rice|barley|dumplings?|breads?|"
        r"stuffing|\w*cakes?|biscuits?|tortillas?)\b",
        r"\b(pasta|spaghetti|noodle|macaroni)[- ](sauce|squash)\b|\bsauce for (pasta|spaghetti|noodles)\b|"
        r"\bspaghetti squash\b|\brice[- ](wine )?vinegar\b|\bbread[- ](and|&|n)[- ]butter\b",
        f"{NCHFP}, Soups; Canning Breads and Cakes (from memory)", marks=frozenset({"wheat"}),
    ),
    NoTestedProcess(
        "eggs in the jar", r"\beggs?\b", r"\b(lemon|lime) curd\b|\begg ?(plants?|fruits?)\b|\begg tomato(es)?\b",
        f"{NCHFP}, Pickled eggs: no home canning (from memory)", marks=frozenset({"egg"}),
    ),
    NoTestedProcess(
        "garlic, herbs or vegetables in oil",
        r"\b(in|under|with)\W+(\w+\W+){0,2}oil\b|\b(garlic|herb(ed|s)?|basil|rosemary|thyme|oregano|sage|chill?i)\b.*"
        r"\boils?\b|\boils?\b.*\b(garlic|herbs?|basil|rosemary|thyme|oregano|sage)\b|\bpesto\b",
        r"\bmarinated peppers\b|\b(tuna|salmon|trout|fish|sardines?|mackerel|herrings?)\b[\w\s,]*\boil\b",
        f"{NCHFP}, Garlic in oil; Herbs and vegetables in oil (from memory)",
    ),
    NoTestedProcess(
        "milk or cheese",
        r"\b(milk|buttermilk|cheeses?|yogh?urt|whey|feta|ricotta|curds)\b",
        rf"\b({FRUIT}|lemon)\w* cheese\b|\bcheese,? (pumpkins?|squash)\b|\bcoconut milk\b|\bmilk thistle\b|"
        r"\b(lemon|lime) (curds?|cheese)\b|\bmac(aroni)? cheese\b",
        f"{NCHFP}, dairy (from memory)", marks=frozenset({"milk"}),
    ),
)  # fmt: skip

_NOT_IN_IT = r"\b(no|without|never|free of|not)\s+(added\s+)?[\w-]+|\b\w+[- ]free\b"
_BESIDE_IT = r"\b(serve|eat|eaten|good|nice|goes|go|for|over|on|makes?)\b"
_BOUGHT = r"\b(bought|tins?|tinned|store|shop)\b"
_TIN = r"\b(tins?|cans?)\b"
_NO_CUSTARD = r"\b(lemon|lime) (curd|cheese)\b|\bsoy sauce\b"
"""What has egg, milk or wheat in it, and is none of the jars that those marks tell of."""


def why_untested(product: Product, note: str = "") -> str:
    """What is in the jar that no process is tested for; '' for all else, for bought tins, and for what is no jar.

    note: what a lot's label says besides.
    """
    if product.kind != "jar" or bought(product.name, f"{product.note}; {note}", product.sizes):
        return ""
    names = [_plain(f"{name}; {product.family}") for name in (product.name, *product.also_called)]
    if note and not re.search(_BESIDE_IT, note.lower()):
        names.append(_plain(f"{product.name}; {note}"))
    sour = product.acid in ("high", "acidified", "borderline")
    marks = frozenset[str]() if re.search(_NO_CUSTARD, product.name.lower()) else product.contents
    for row in TABLE:
        written = any(
            re.search(row.words, name) and re.search(row.words, re.sub(row.not_meant, " ", name)) for name in names
        )
        if (written and (row.acid_too or not sour)) or row.marks & {mark.casefold() for mark in marks}:
            return row.what
    return ""


def _plain(words: str) -> str:
    return re.sub(_NOT_IN_IT, " ", words.lower())


def bought(name: str, note: str, sizes: Iterable[Size]) -> bool:
    """Whether a product was not put up at home: its name or note says so, or it comes in tins."""
    return bool(re.search(_BOUGHT, f"{name}; {note}".lower())) or all(re.search(_TIN, s.name.lower()) for s in sizes)


def untested_are_held(lots: Iterable[Lot], products: Mapping[str, Product]) -> tuple[Lot, ...]:
    """The lots, with those on the shelf that no process is tested for held back: no menu or list counts them."""
    return tuple(
        replace(lot, state="held") if lot.state == "" and why_untested(products[lot.product], lot.note) else lot
        for lot in lots
    )


_WITHDRAWN = r"\b(withdrawn|old recipe|no longer)\b"
_ACID_JUICE = r"\b(apple|grape)\b.*\bjuice\b|\bcider\b(?! vinegar)"
_HALF_GALLON_ML = 1800
"""A jar that holds this much is called half a gallon (1,893 ml), or two litres."""


def is_half_gallon(product: Product, size: str) -> bool:
    """A jar of half a gallon or more, whatever it is called."""
    return size == "half-gal" or (product.measure == "ml" and product.content(size) >= _HALF_GALLON_ML)


def half_gallon_wrong(product: Product, size: str) -> bool:
    """A half-gallon of anything but apple or grape juice."""
    return product.kind == "jar" and is_half_gallon(product, size) and not re.search(_ACID_JUICE, product.name.lower())


def says_withdrawn(words: str) -> bool:
    """Whether a lot's source or note says that its recipe has been withdrawn."""
    return bool(re.search(_WITHDRAWN, words.lower()))


_WILD = r"\b(venison|game|wild|mushrooms?|lime[- ]water|oven[- ]canned|dry[- ]canned)\b"
_IN_OIL = r"\b(in|with)\W+(\w+\W+){0,2}oil\b|\bpesto\b|\b(garlic|basil|herb)\w* (paste|oil)\b"


def needs_advice(product: Product) -> bool:
    """C29: game, wild food and mushrooms, eggs in lime water, herbs or garlic in oil, dry canning."""
    name = product.name.lower()
    return bool(re.search(_WILD, f"{product.family.lower()} {name}") or re.search(_IN_OIL, name))


def low_acid_jar(product: Product) -> bool:
    """A jar that goes neither to hens nor on the heap: low-acid, or nobody knows (C12: out of reach of animals)."""
    return product.kind == "jar" and product.acid in ("low", "")
