"""The table of cautions, C1 to C30: the one place for their wording, whom to ask, and when each matters.

The wording is ours; the bodies named are those to ask. Nothing here gives a time, a pressure or an amount for putting
up, and nothing says that a jar is safe. Each figure is credited to the body that says it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from textwrap import wrap

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.errors import PantryError

NCHFP = "National Center for Home Food Preservation"


class Caution(Struct, frozen=True):
    """One caution of the table.

    words: the whole of it. short: after the first reading of a day. authority: whom to ask. when: its moment.
    figures: who says its figures; '' where it has none. always_whole: never shortened.
    """

    number: str
    when: str
    words: str
    short: str
    authority: str
    figures: str = ""
    always_whole: bool = False


class CautionShown(Struct, frozen=True):
    """A caution at its moment: its number ('C12'), its words there and then, and the authority to ask."""

    number: str
    words: str
    authority: str = ""


_TABLE = (
    Caution(
        "C1", "A lot is written down",
        "Which tested recipe did this come from? Write it down with the lot, and its year. A blank is allowed, "
        "and shows as 'source not recorded'.",
        "Source not recorded: which tested recipe was it?",
        f"USDA Complete Guide to Home Canning; {NCHFP}; Cooperative Extension",
    ),
    Caution(
        "C2", "Vegetables, meat, poultry, fish, stock, soup or dry beans are put up",
        "Low-acid food: pressure canning by a tested process is the only recommended way to can it at home. A "
        "boiling-water bath is not enough.",
        "Low-acid: only pressure canning by a tested process.",
        f"USDA; {NCHFP}; CDC",
    ),
    Caution(
        "C3", "Tomatoes, figs, elderberries or white-fleshed peaches are put up",
        "On the line between acid and low-acid. Follow a current tested recipe exactly, added acid included; some "
        "of these are now freeze-only.",
        "On the acid line: only by a current tested recipe, exactly.",
        f"USDA; {NCHFP}; University of Maine Extension",
    ),
    Caution(
        "C4", "Something mashed, creamed or thickened is entered as canned",
        "No tested home process for anything mashed, creamed or thickened, or with noodles, rice, flour, milk or "
        "butter. Freeze it instead. Jars already made: hold, do not eat.",
        "No tested home process for it: freeze it instead; hold the jars.",
        f"{NCHFP}; Clemson, Penn State, Kansas State and Utah State Extension",
    ),
    Caution(
        "C5", "A half-gallon jar is chosen",
        "Half-gallon jars: tested only for very acid juices such as apple and grape. Hold anything else.",
        "Half-gallons are tested for very acid juices only; hold anything else.",
        f"{NCHFP}; Michigan State Extension",
    ),
    Caution(
        "C6", "Another jar size than the recipe's is chosen",
        "You may go down a jar size from the one in the tested recipe and follow the larger jar's; never up. There "
        "is no sum for a larger jar.",
        "A smaller jar than the tested recipe's may be used, never a larger.",
        f"{NCHFP}; University of California Master Food Preservers",
    ),
    Caution(
        "C7", "The altitude is not written down, or is above 1,000 ft (about 300 m)",
        "Higher up, water boils cooler, so a tested recipe asks for more. Your altitude is kept here as a reminder; "
        "take the adjustment from the tested recipe.",
        "Adjust for your altitude, as the tested recipe says.",
        "USDA; Colorado State Extension", "1,000 ft: USDA Complete Guide to Home Canning",
    ),
    Caution(
        "C8", "The season starts",
        "Have the dial gauge checked, look at gaskets and vents, buy this year's lids. A lid is for one use; "
        "cracked or chipped jars are done.",
        "Gauge checked, gaskets and vents looked at, new lids bought.",
        f"{NCHFP}; local Extension; Utah State and Iowa State Extension",
    ),
    Caution(
        "C9", "Jars are shelved",
        "Check each seal after 12 to 24 hours. Rings off, jar wiped, label on: what, when, which load. Keep cool "
        "(about 50 to 70 F, 10 to 21 C), dark and dry. No stacking jar on jar.",
        "Seals checked after a night, rings off, wiped, labelled; cool, dark, dry.",
        f"{NCHFP}; University of Georgia; Michigan State Extension",
        f"12 to 24 hours, 50 to 70 F (10 to 21 C): {NCHFP}",
    ),
    Caution(
        "C10", "A jar failed to seal",
        "A jar that did not seal is not for the shelf. Into the fridge to eat soon, into the freezer, or put up "
        "again within a day by the tested recipe's rules. It is counted as failed, not as put up.",
        "Failed seals: fridge, freezer, or again within a day by the recipe; never the shelf.",
        NCHFP,
    ),
    Caution(
        "C11", "A jar is brought up, every time",
        "Before opening: the lid tight and dipped; no leak, streak, bulge, rising bubbles, cloud or mould. On "
        "opening: no spurt, foam or wrong smell. Any of these: do not taste it, hold the jar.",
        "Look every jar over before opening; in doubt, out, untasted.",
        f"USDA; {NCHFP}; CDC",
    ),
    Caution(
        "C12", "A jar is marked suspect or spoiled",
        "Treat low-acid food as if it held botulism toxin. Do not taste, do not feed to animals, do not pour out. "
        "Sealed: bag it and bin it out of reach. Open or leaking: follow your Extension office's disposal steps.",
        "Do not taste, feed or pour out; bag it and bin it out of reach.",
        "CDC; USDA; Oregon State Extension", always_whole=True,
    ),
    Caution(
        "C13", "Anyone may have eaten suspect food",
        "If anyone may have eaten it: blurred or double vision, drooping eyelids, slurred speech, trouble "
        "swallowing or breathing, weakness: emergency help now; take the jar.",
        "Blurred sight, drooping lids, slurred speech, trouble swallowing: emergency help now.",
        "CDC; poison centre", always_whole=True,
    ),
    Caution(
        "C14", "Low-acid jars have no recorded process, or boiling them is asked about",
        "Boiling before eating has long been advised as an extra precaution for rightly canned low-acid food. It "
        "does not rescue a suspect jar, nor one whose process is not known: CDC says discard.",
        "Boiling does not rescue a jar whose process is not known.",
        f"{NCHFP}; CDC",
    ),
    Caution(
        "C15", "A jar or pack is opened",
        "Once opened: into the fridge, the day written on it. Any home-canned food: 3 to 4 days. Acid fruit and "
        "tomatoes are often given about a week, pickles and jam longer, but the shorter is the one that counts.",
        "Opened: into the fridge; its clock has begun.",
        "USDA FSIS storage chart, for the 3 to 4 days",
        "3 to 4 days for any opened home-canned food: USDA FSIS storage chart; a month for jam: National Center for "
        "Home Food Preservation; about a week, and longer for pickles: common practice, no published source",
    ),
    Caution(
        "C16", "The power is cut, or a freezer is off",
        "Keep it shut. Fridge: about 4 hours. Full freezer: about 48 h; half full: about 24 h. Ice crystals still "
        "there, or 40 F (4 C) or below: may be refrozen. Meat, fish, milk, eggs, cooked dishes above 40 F for more "
        "than 2 hours: discard. Judge each pack; never by tasting.",
        "Keep it shut; judge each pack when it is cold again, never by tasting.",
        "FoodSafety.gov; USDA FSIS; FDA; University of Alaska Extension",
        "4, 24 and 48 hours, 40 F (4 C), 2 hours: FoodSafety.gov; USDA FSIS",
    ),
    Caution(
        "C17", "A menu needs something frozen",
        "Thaw in the fridge, never overnight on the counter: small packs one day, birds and joints two to three.",
        "Thaw in the fridge, never on the counter.",
        "USDA FSIS", "one day, two to three days: USDA FSIS",
    ),
    Caution(
        "C18", "Frozen food is old",
        "At 0 F (-18 C) frozen food stays wholesome; flavour goes. Ground meat 3-4 months, roasts and birds to "
        "about a year, home vegetables and fruit 8-12 months.",
        "Frozen food loses flavour first.",
        "USDA FSIS; Extension",
        "0 F (-18 C), 3-4 months, a year: USDA FSIS; 8-12 months: Extension",
    ),
    Caution(
        "C19", "A child under twelve months is in the household",
        "No honey, not a taste, nor anything made with it, before the first birthday.",
        "No honey before the first birthday.",
        "CDC; American Academy of Pediatrics; NHS", "first birthday: CDC; NHS",
    ),
    Caution(
        "C20", "Potatoes have been long in store",
        "Small sprouts on a firm potato: cut out eyes and sprouts, peel deep. Green, soft, shrivelled or bitter: "
        "throw out; cooking does not help. Keep them dark.",
        "Potatoes: peel deep, sprouts out; green, soft or bitter ones out.",
        "Poison centres; German BfR; Extension",
    ),
    Caution(
        "C21", "Apples, pears or ripe fruit share a place with roots, cabbage, carrots or onions",
        "Apples give off ethylene and spoil or bitter some neighbours. Usual advice: keep them apart.",
        "Keep apples apart from roots, cabbage and onions.",
        "Extension home-storage guides",
    ),
    Caution(
        "C22", "Roots, onions, squash or apples are in store",
        "Go over them weekly; one rotten one spoils the bin. Cut-away is fine for squash, not for a rotting potato.",
        "Go over them weekly; rotten ones out.",
        "Extension; growers' practice",
    ),
    Caution(
        "C23", "A dish holds what someone must not eat",
        "What someone must not have is named, and the dish stopped. Marks are what the household typed in: read the "
        "label of each lot, not only the dish.",
        "Named and stopped: read the label of each lot.",
        "National allergy bodies; FDA",
    ),
    Caution(
        "C24", "Someone is to have little salt or sugar",
        "Salt may be left out of canned vegetables, meat and plain tomatoes. Never change salt in kraut or "
        "fermented pickles.",
        "Never change the salt of kraut or fermented pickles.",
        f"{NCHFP}, special diets; Ohio State Extension (HYG-5358)",
    ),
    Caution(
        "C25", "Pickles or relish are put up",
        "Pickles and relish: vinegar of known strength, by a tested recipe. Home vinegar is for the table.",
        "Vinegar of known strength, by a tested recipe.",
        NCHFP,
    ),
    Caution(
        "C26", "Someone is ill, pregnant, very old or very young",
        "Extra care: no raw milk, no doubtful jars, no sprouted potatoes.",
        "No raw milk, doubtful jars or sprouted potatoes.",
        "CDC; FDA",
    ),
    Caution(
        "C27", "Something is given away or bartered",
        "Name, date and everything in it on the label. Only lots with a recorded tested process. Food banks "
        "generally cannot take home-canned food.",
        "To give away: label with name, date and all that is in it.",
        f"{NCHFP}; food banks' own rules",
    ),
    Caution(
        "C28", "Food is cooked for more people than usual, held warm, or carried to a field",
        "Hot food hot, cold food cold; 2 hours out at most (1 hour in great heat).",
        "Hot food hot, cold food cold.",
        "USDA FSIS", "2 hours, 1 hour in great heat: USDA FSIS",
    ),
    Caution(
        "C29", "Wild food, game, mushrooms, eggs in lime water, oil with garlic or herbs, dry canning",
        "Not recommended, or only with advice: ask first.",
        "Ask first.",
        f"{NCHFP}; Utah State Extension; CDC",
    ),
    Caution(
        "C30", "A recommendation has changed since a lot was made",
        "A recipe that was withdrawn or changed after a lot was made: hold the lot and ask.",
        "Recipe changed since: hold the lot and ask.",
        f"{NCHFP}; Extension notices",
    ),
)  # fmt: skip

CAUTIONS = {caution.number: caution for caution in _TABLE}

STANDING_LINE = (
    "Follow a tested recipe, process for your altitude, look over every jar before you open it. If in doubt, throw "
    "it out without tasting. Ask your Extension office or national food-safety body."
)
"""At the foot of every sheet and screen that speaks of jars."""

STANDING_SHORT = "Look every jar over before you open it; in doubt, throw it out without tasting."
"""The same after its first reading of a day, where something is entered."""

THAWED = CautionShown(
    "thawed",
    "What was frozen is canned only if it never passed 40 F (4 C), and by a tested recipe.",
    f"{NCHFP}; Extension; 40 F (4 C): FoodSafety.gov",
)
APART = CautionShown(
    "apart",
    "Onions want dry air, potatoes damp; each spoils the other.",
    "state Extension storage sheets (from memory)",
)
HEAT_FIRST = CautionShown(
    "heat first",
    "Home-canned low-acid food is heated through before anybody tastes it, spreads and cold dishes too; that rescues "
    "no doubtful jar.",
    f"{NCHFP}; CDC (from memory)",
)
BOIL_BEANS = CautionShown(
    "beans",
    "Dried beans of the kidney kind (brown, white, red): soak, pour off, and boil them hard in fresh water before they "
    "go into a low oven or a sour juice. Raw or half-cooked they make people ill.",
    "FDA (from memory)",
)
BACK_TO_THE_FREEZER = "What is left of an opened freezer bag goes straight back into the freezer, shut tight."
BATCH_DAY = CautionShown(
    "batch day",
    "Put up only by a tested process, adjusted for your altitude. What a batch makes here is your own figure, for "
    "the count.",
    f"USDA Complete Guide to Home Canning; {NCHFP}",
)
"""Five that stand beside the numbered ones."""

_FEW_WORDS = {
    HEAT_FIRST.words: "Home-canned low-acid food is heated through before anybody tastes it.",
    BOIL_BEANS.words: "Dried kidney beans: soak, pour off, boil hard in fresh water first.",
    **{caution.words: caution.short for caution in _TABLE if not caution.always_whole},
}
_OF_THE_KITCHEN = frozenset(CAUTIONS[number].words for number in ("C11", "C15", "C17", "C28"))
"""What is so of every jar and pack, and stands on every pull list."""


def in_few_words(words: str) -> str:
    """What stands for a caution where there is room for a line: its short words, or itself where it is never cut."""
    return _FEW_WORDS.get(words, words)


def grave(words: str) -> bool:
    """Whether a line of a pull list speaks of this menu's own food and people, and not of every jar and pack."""
    common = (said.removesuffix(".") for said in _OF_THE_KITCHEN)
    return words != BACK_TO_THE_FREEZER and not words.startswith(tuple(common))


HIGH_FT = 1000
"""Above this a tested recipe asks for an adjustment (USDA Complete Guide to Home Canning)."""


def shown(number: str, before: str = "", after: str = "") -> CautionShown:
    """A caution of the table at its moment: 'Green beans: Low-acid food ...' where ``before`` says what it is for."""
    caution = CAUTIONS[number]
    return CautionShown(number, f"{before}{caution.words}{after}", caution.authority)


_WARMTH = re.compile(r"(?P<f>\d+(?: to \d+)?) F(?: \((?P<c>-?\d+(?: to -?\d+)?) C\)|, (?P<also>-?\d+ to -?\d+) C)?")


def in_own_measures(words: str, *, metric: bool) -> str:
    """A caution's words, its temperatures in Celsius first where the household is metric: '4 C (40 F)'."""

    def celsius_first(found: re.Match[str]) -> str:
        f = found["f"]
        c = found["c"] or found["also"] or " to ".join(str(round((int(n) - 32) / 1.8)) for n in f.split(" to "))
        return f"{c} C, {f} F" if found["also"] else f"{c} C ({f} F)"

    return _WARMTH.sub(celsius_first, words) if metric else words


def shown_in(cautions: Iterable[CautionShown], *, metric: bool) -> tuple[CautionShown, ...]:
    """Cautions as a household of such measures reads them."""
    return tuple(
        replace(
            each,
            words=in_own_measures(each.words, metric=metric),
            authority=in_own_measures(each.authority, metric=metric),
        )
        for each in cautions
    )


def lines_for(numbers: Iterable[str], *, read_before: bool, metric: bool = False) -> list[str]:
    """A command's cautions, in 80 columns: whole on the first reading of a day, then short (spoilage always whole)."""
    lines = []
    for caution in (CAUTIONS[number] for number in numbers):
        words = caution.short if read_before and not caution.always_whole else caution.words
        words = in_own_measures(words, metric=metric)
        lines += wrap(f"{caution.number} {words}", 80, subsequent_indent="    ")
    return lines


def caution_text(wanted: str = "") -> str:
    """One caution ('12', 'C12') whole, with its moment and whom to ask; all of them where none is named.

    Raises PantryError where there is no such caution.
    """
    number = "C" + wanted.strip().upper().removeprefix("C")
    if wanted and number not in CAUTIONS:
        raise PantryError(f"there is no caution {wanted}; they run from {_TABLE[0].number} to {_TABLE[-1].number}")
    lines = []
    for caution in (CAUTIONS[number],) if wanted else _TABLE:
        said = [f"When: {caution.when}.", f"Ask: {caution.authority}."]
        said += [f"Figures: {caution.figures}."] if caution.figures else []
        lines += lines_for([caution.number], read_before=False)
        lines += [line for text in said for line in wrap(text, 80, initial_indent=" " * 4, subsequent_indent=" " * 6)]
    return "\n".join(lines)
