"""Cautions that belong to stored, frozen and opened food, each with the authority to ask."""

from __future__ import annotations

from pantrymeals.plans.outlook import Caution

POWER_CUT = Caution(
    "C16",
    "Keep it shut. Fridge: about 4 hours. Full freezer: about 48 h; half full: about 24 h. Ice crystals "
    "still there, or 40 F (4 C) or below: may be refrozen. Meat, fish, milk, eggs, cooked dishes above 40 F "
    "for more than 2 hours: discard. Judge each pack; never by tasting.",
    "FoodSafety.gov; USDA FSIS; FDA; University of Alaska Extension",
)
OPENED = Caution(
    "C15",
    "Opened: refrigerate. Home-canned low-acid food: 3 to 4 days; acid fruit and tomatoes about a week; "
    "pickles and jam longer.",
    "USDA FSIS storage chart",
)
OLD_FROZEN = Caution(
    "C18",
    "At 0 F (-18 C) frozen food stays wholesome; flavour goes. Ground meat 3-4 months, roasts and birds to "
    "about a year, home vegetables and fruit 8-12 months.",
    "USDA FSIS; Extension",
)
POTATOES = Caution(
    "C20",
    "Small sprouts on a firm potato: cut out eyes and sprouts, peel deep. Green, soft, shrivelled or bitter: "
    "throw out; cooking does not help. Keep them dark.",
    "Poison centres; German BfR; Extension",
)
APPLES = Caution(
    "C21",
    "Apples give off ethylene and spoil or bitter some neighbours. Usual advice: keep them apart.",
    "Extension home-storage guides",
)
ROUND = Caution(
    "C22",
    "Go over them weekly; one rotten one spoils the bin. Cut-away is fine for squash, not for a rotting potato.",
    "Extension; growers' practice",
)
BEFORE_OPENING = Caution(
    "C11",
    "Before opening: lid tight and dipped; no leak, streak, bulge, rising bubbles, cloudiness or mould. On "
    "opening: no spurt, foam or wrong smell. Any of these: do not taste.",
    "USDA / NCHFP; CDC",
)
THAWED = Caution(
    "thawed",
    "Thawed food is put up later only if it never passed 40 F, and by a tested recipe.",
    "NCHFP; Extension",
)
