"""Marks that a product's name tells: what butter, bread or bacon has in it, wherever it is cooked, marked or not.

The kinds are the nine major allergens of United States law (milk, egg, fish, shellfish, tree nut, peanut, wheat, soy,
sesame), of the European Union's fourteen also celery, mustard and lupin (Regulation 1169/2011, Annex II; both from
memory), and honey, pork and salt. Which names tell of which is common practice, no published source; what a household
writes under 'contents' is added to it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pantrymeals.jar_doubts import FRUIT, NUT


@dataclass(frozen=True, slots=True)
class MarkTold:
    """One mark. words: names that tell of it; not_meant: what looks like it; free: said where it is left out."""

    mark: str
    words: re.Pattern[str]
    not_meant: re.Pattern[str]
    free: re.Pattern[str]


_VEGAN, _NO_FLESH, _UNSALTED = r"\bvegan\b", r"\b(vegan|vegetarian|meatless)\b", r"\bunsalted\b|\blow[- ]sodium\b"


def _row(mark: str, words: str, free: str, not_meant: str = "(?!)", also_free: str = "(?!)") -> MarkTold:
    flags = re.IGNORECASE
    without = rf"\b({free})[- ]?(free|less)\b|\b(no|non|without|never|low|less)[- ](added )?({free})\b|{also_free}"
    return MarkTold(mark, re.compile(words, flags), re.compile(not_meant, flags), re.compile(without, flags))


_GRAIN = (
    r"(buckwheat|rice|corn|maize|rye|oat|oaten|potato|almond|chestnut|chick ?pea|gram|tapioca|millet|glass|fish|salt)"
)
_NO_CREAM = r"(coconut|almond|oat|rice|soya?|cashew|hazelnut|hemp)"

TABLE: tuple[MarkTold, ...] = (
    _row(
        "salty",
        r"\b(sausages?|bacon|ham|hams|salami|chorizo|jerky|anchov(y|ies)|capers?|olives?|feta|soy sauce|miso|"
        r"fish sauce|sauerkraut|kraut|kimchi|dill (cucumbers?|pickles?)|dills|dilly beans|corned (beef|pork)|salted|"
        r"in brine|salt (pork|fish|cod|beef))\b", "salt",
        r"\bolive oil\b|\boil, olive\b", _UNSALTED,
    ),
    _row(
        "milk",
        r"\b(milk|buttermilk|butter|ghee|cream(y|ed|s)?|cheeses?|cheddar|mozzarella|parmesan|feta|ricotta|yogh?urts?|"
        r"whey|curds?|quark|kefir|skyr|custards?)\b", "milk|dairy",
        rf"\b(({FRUIT}|{NUT}|pumpkin|squash|chestnut)\w*|mango|persimmon|pawpaw|date)[\w\s,&-]{{0,12}}\bbutters?\b|"
        rf"\bbutters?\W+({FRUIT}|{NUT})\w*|\bbutters? ?(beans?|peas?|lettuce)\b|\bbread[- ](and|&|n)[- ]butter\b|"
        r"\bcream(ed)?[- ](style )?(corn|peas|cowpeas|sweet ?corn)\b|\b(sweet ?)?corn, cream(ed)?([- ]style)?\b|"
        rf"\bcreamed honey\b|\bhoney, creamed\b|\bcream of tartar\b|\b{_NO_CREAM}[- ](milk|cream|yogh?urt|cheese)\b|"
        rf"\bmilk thistle\b|\b({FRUIT})\w* cheese\b|\bcheese,? (pumpkins?|squash)\b|\bbean curd\b|\bhead cheese\b",
        _VEGAN,
    ),
    _row(
        "egg", r"\b(eggs?|mayonnaise|mayo|meringues?|custards?|quiches?|(lemon|lime) (curds?|cheese))\b", "eggs?",
        r"\begg ?(plants?|fruits?)\b|\begg tomato(es)?\b", _VEGAN,
    ),
    _row(
        "wheat",
        r"\b(wheat|flour|breads?|breadcrumbs?|loaf|loaves|buns?|noodles?|pasta|macaroni|spaghetti|vermicelli|ravioli|"
        r"couscous|bulgh?ur|semolina|spelt|farro|seitan|dumplings?|crackers?|biscuits?|rusks?|cakes?|pancakes?|"
        r"cookies?|pastry|pie ?crusts?|tortillas?|soy sauce)\b", "gluten|wheat",
        rf"\b{_GRAIN}[- ](flour|noodles?|pasta|crackers?|cakes?|tortillas?)\b|\bflour,? (of )?{_GRAIN}\b|"
        r"\bbread[- ](and|&|n)[- ]butter\b|\b(pasta|spaghetti|noodle)[- ](sauce|squash)\b|"
        r"\bsauce for (pasta|spaghetti|noodles)\b|\bsquash,? spaghetti\b",
    ),
    _row(
        "tree nut",
        r"\b(walnuts?|almonds?|hazelnuts?|filberts?|pecans?|cashews?|pistachios?|macadamias?|brazil nuts?|chestnuts?|"
        r"hickory nuts?|marzipan|praline|nuts)\b", "nuts?",
        r"\bwater chestnuts?\b|\b(coco|pea|ground|pine|tiger)[- ]nuts\b",
    ),
    _row("peanut", r"\b(peanuts?|ground[- ]?nuts?)\b", "peanuts?|nuts?"),
    _row(
        "fish",
        r"\b(fish|trout|salmon|tuna|cod|herrings?|anchov(y|ies)|sardines?|mackerel|haddock|pike|perch|eels?|carp|"
        r"catfish|whitefish|halibut|kippers?|worcester(shire)?)\b", "fish", r"\bfish peppers?\b", _NO_FLESH,
    ),
    _row(
        "shellfish",
        r"\b(shellfish|shrimps?|prawns?|crabs?|lobsters?|crayfish|crawfish|clams?|oysters?|mussels?|scallops?)\b",
        "shellfish", r"\bcrab[- ]?apples?\b|\boyster (mushrooms?|plants?)\b", _NO_FLESH,
    ),
    _row("soy", r"\b(soya?|soy ?beans?|tofu|bean curd|miso|tempeh|edamame|tamari)\b", "soya?"),
    _row("sesame", r"\b(sesame|tahini|humm?us|houmous|halva)\b", "sesame"),
    _row("celery", r"\b(celery|celeriac)\b", "celery"),
    _row("mustard", r"\bmustard\b", "mustard"),
    _row("lupin", r"\blupins?\b", "lupins?"),
    _row("honey", r"\b(honey|mead)\b", "honey", r"\bhoney ?(dew|crisp|nut|berr)\w*", _VEGAN),
    _row(
        "pork", r"\b(pork|bacon|hams?|gammon|lard|pancetta|prosciutto|brawn|head cheese)\b", "pork|lard",
        r"\b(turkey|beef|chicken|veal|lamb|mutton|venison)[- ](bacon|hams?)\b", _NO_FLESH,
    ),
)  # fmt: skip


def told_by(*names: str) -> frozenset[str]:
    """The marks that any of a product's names tells of; not one that this name, or the first, says is left out."""
    return frozenset(
        row.mark
        for row in TABLE
        if not row.free.search(names[0])
        and any(row.words.search(row.not_meant.sub(" ", name)) and not row.free.search(name) for name in names)
    )


def said_to_be_without(words: str) -> frozenset[str]:
    """The marks that a dish's name or tags say it is without: milk for 'dairy-free pancakes'."""
    return frozenset(row.mark for row in TABLE if row.free.search(words))
