"""Marks that a product's name tells: what butter, bread or bacon has in it, wherever it is cooked, marked or not.

The kinds are the nine major allergens of United States law (milk, egg, fish, shellfish, tree nut, peanut, wheat, soy,
sesame), of the European Union's fourteen also celery, mustard and lupin (Regulation 1169/2011, Annex II; both from
memory), and honey, pork and salt. Which names tell of which is common practice, no published source; what a household
writes under 'contents' is added to it.
"""

from __future__ import annotations

import re

from msgspec import Struct

from pantrymeals.jar_doubts import FRUIT, NUT


class MarkTold(Struct, frozen=True):
    """One mark. words: names that tell of it; not_meant: what looks like it; free: said where it is left out.

    All but ``alone`` are patterns for small letters, compiled when they are needed and not before: a stroke in the
    tally waits for them. alone: words that tell of it as they stand; words: the others; starts: the first three
    letters of each, one of which begins a word of any name that tells of it.
    """

    mark: str
    alone: frozenset[str]
    words: str
    not_meant: str
    free: str
    starts: frozenset[str]

    def stands_in(self, name: str) -> bool:
        """Whether a name tells of it, whatever else it says."""
        written = _WORD.findall(name)
        return not self.alone.isdisjoint(written) or (
            not self.starts.isdisjoint(word[:3] for word in written) and bool(re.search(self.words, name))
        )


_VEGAN, _NO_FLESH, _UNSALTED = r"\bvegan\b", r"\b(vegan|vegetarian|meatless)\b", r"\bunsalted\b|\blow[- ]sodium\b"
_LEFT_OUT = ("free", "less", "vegan", "vegetarian", "unsalted")
_LEFT_OUT_BEFORE = frozenset({"no", "non", "without", "never", "low"})
"""One of these stands in whatever says that a mark is left out, the latter as words of their own."""
_WORD = re.compile(r"\w+")


def _row(mark: str, words: str, free: str, not_meant: str = "(?!)", also_free: str = "(?!)") -> MarkTold:
    without = rf"\b({free})[- ]?(free|less)\b|\b(no|non|without|never|low|less)[- ](added )?({free})\b|{also_free}"
    alternatives = re.split(r"\|(?![^()]*\))", words)
    alone = [each for each in alternatives if each.removesuffix("?").isalpha()]
    others = [each for each in alternatives if each not in alone]
    as_written = {each.rstrip("?") for each in alone} | {each[:-2] for each in alone if each.endswith("?")}
    starts = frozenset(found.group() for each in others if (found := re.match(r"[a-z]{3}|[a-z]{1,2}(?= )", each)))
    return MarkTold(mark, frozenset(as_written), rf"\b({'|'.join(others)})\b", not_meant, without, starts)


_GRAIN = (
    r"(buckwheat|rice|corn|maize|rye|oat|oaten|potato|almond|chestnut|chick ?pea|gram|tapioca|millet|glass|fish|salt)"
)
_NO_CREAM = r"(coconut|almond|oat|rice|soya?|cashew|hazelnut|hemp)"

TABLE: tuple[MarkTold, ...] = (
    _row(
        "salty",
        r"sausages?|bacon|ham|hams|salami|chorizo|jerky|anchov(y|ies)|capers?|olives?|feta|soy sauce|miso|"
        r"fish sauce|sauerkraut|kraut|kimchi|dill (cucumbers?|pickles?)|dills|dilly beans|corned (beef|pork)|salted|"
        r"in brine|salt (pork|fish|cod|beef)", "salt",
        r"\bolive oil\b|\boil, olive\b", _UNSALTED,
    ),
    _row(
        "milk",
        r"milk|buttermilk|butter|ghee|cream(y|ed|s)?|cheeses?|cheddar|mozzarella|parmesan|feta|ricotta|yogh?urts?|"
        r"whey|curds?|quark|kefir|skyr|custards?", "milk|dairy",
        rf"\b(({FRUIT}|{NUT}|pumpkin|squash|chestnut)\w*|mango|persimmon|pawpaw|date)[\w\s,&-]{{0,12}}\bbutters?\b|"
        rf"\bbutters?\W+({FRUIT}|{NUT})\w*|\bbutters? ?(beans?|peas?|lettuce)\b|\bbread[- ](and|&|n)[- ]butter\b|"
        r"\bcream(ed)?[- ](style )?(corn|peas|cowpeas|sweet ?corn)\b|\b(sweet ?)?corn, cream(ed)?([- ]style)?\b|"
        rf"\bcreamed honey\b|\bhoney, creamed\b|\bcream of tartar\b|\b{_NO_CREAM}[- ](milk|cream|yogh?urt|cheese)\b|"
        rf"\bmilk thistle\b|\b({FRUIT})\w* cheese\b|\bcheese,? (pumpkins?|squash)\b|\bbean curd\b|\bhead cheese\b",
        _VEGAN,
    ),
    _row(
        "egg", r"eggs?|mayonnaise|mayo|meringues?|custards?|quiches?|lemon (curds?|cheese)|lime (curds?|cheese)",
        "eggs?", r"\begg ?(plants?|fruits?)\b|\begg tomato(es)?\b", _VEGAN,
    ),
    _row(
        "wheat",
        r"wheat|flour|breads?|breadcrumbs?|loaf|loaves|buns?|noodles?|pasta|macaroni|spaghetti|vermicelli|ravioli|"
        r"couscous|bulgh?ur|semolina|spelt|farro|seitan|dumplings?|crackers?|biscuits?|rusks?|cakes?|pancakes?|"
        r"cookies?|pastry|pie ?crusts?|tortillas?|soy sauce", "gluten|wheat",
        rf"\b{_GRAIN}[- ](flour|noodles?|pasta|crackers?|cakes?|tortillas?)\b|\bflour,? (of )?{_GRAIN}\b|"
        r"\bbread[- ](and|&|n)[- ]butter\b|\b(pasta|spaghetti|noodle)[- ](sauce|squash)\b|"
        r"\bsauce for (pasta|spaghetti|noodles)\b|\bsquash,? spaghetti\b",
    ),
    _row(
        "tree nut",
        r"walnuts?|almonds?|hazelnuts?|filberts?|pecans?|cashews?|pistachios?|macadamias?|brazil nuts?|chestnuts?|"
        r"hickory nuts?|marzipan|praline|nuts", "nuts?",
        r"\bwater chestnuts?\b|\b(coco|pea|ground|pine|tiger)[- ]nuts\b",
    ),
    _row("peanut", r"peanuts?|ground[- ]?nuts?", "peanuts?|nuts?"),
    _row(
        "fish",
        r"fish|trout|salmon|tuna|cod|herrings?|anchov(y|ies)|sardines?|mackerel|haddock|pike|perch|eels?|carp|"
        r"catfish|whitefish|halibut|kippers?|worcester(shire)?", "fish", r"\bfish peppers?\b", _NO_FLESH,
    ),
    _row(
        "shellfish",
        r"shellfish|shrimps?|prawns?|crabs?|lobsters?|crayfish|crawfish|clams?|oysters?|mussels?|scallops?",
        "shellfish", r"\bcrab[- ]?apples?\b|\boyster (mushrooms?|plants?)\b", _NO_FLESH,
    ),
    _row("soy", r"soya?|soy ?beans?|tofu|bean curd|miso|tempeh|edamame|tamari", "soya?"),
    _row("sesame", r"sesame|tahini|humm?us|houmous|halva", "sesame"),
    _row("celery", r"celery|celeriac", "celery"),
    _row("mustard", "mustard", "mustard"),
    _row("lupin", "lupins?", "lupins?"),
    _row("honey", r"honey|mead", "honey", r"\bhoney ?(dew|crisp|nut|berr)\w*", _VEGAN),
    _row(
        "pork", r"pork|bacon|hams?|gammon|lard|pancetta|prosciutto|brawn|head cheese", "pork|lard",
        r"\b(turkey|beef|chicken|veal|lamb|mutton|venison)[- ](bacon|hams?)\b", _NO_FLESH,
    ),
)  # fmt: skip


_SIGNS = {row.mark: row.alone | row.starts for row in TABLE}
"""Of each mark, words and beginnings of words one of which stands in any name that tells of it."""


def told_by(*names: str) -> frozenset[str]:
    """The marks that any of a product's names tells of; not one that this name, or the first, says is left out."""
    small = [name.lower() for name in names]
    written = {word for name in small for word in _WORD.findall(name)}
    said = written.union(word[:3] for word in written)
    return frozenset(row.mark for row in TABLE if not said.isdisjoint(_SIGNS[row.mark]) and _tells(row, small))


def _tells(row: MarkTold, names: list[str]) -> bool:
    """Likewise, of one mark; what looks like its words is looked for where one stands there."""
    return (
        any(map(row.stands_in, names))
        and not _without(row, names[0])
        and any(row.stands_in(re.sub(row.not_meant, " ", name)) and not _without(row, name) for name in names)
    )


def _without(row: MarkTold, words: str) -> bool:
    may_say = any(map(words.__contains__, _LEFT_OUT)) or not _LEFT_OUT_BEFORE.isdisjoint(_WORD.findall(words))
    return may_say and bool(re.search(row.free, words))


def said_to_be_without(words: str) -> frozenset[str]:
    """The marks that a dish's name or tags say it is without: milk for 'dairy-free pancakes'."""
    return frozenset(row.mark for row in TABLE if _without(row, words.lower()))
