"""Dishes as Recipes of schema.org in JSON-LD (https://schema.org/Recipe), for other programs and other kitchens."""

from __future__ import annotations

import json
from collections.abc import Iterable

from pantrymeals.records import Dish, Household, Option, Use
from pantrymeals.reports.words import amount_of
from pantrymeals.units import as_words


def recipes_json_ld(household: Household, dishes: Iterable[Dish]) -> str:
    """The dishes as one document: a Recipe alone, or a graph of several."""
    recipes = [_recipe(household, dish) for dish in dishes]
    body = recipes[0] if len(recipes) == 1 else {"@graph": recipes}
    return json.dumps({"@context": "https://schema.org", **body}, ensure_ascii=False, indent=2) + "\n"


def _recipe(household: Household, dish: Dish) -> dict[str, object]:
    lines = [_line(household, use, own=dish.book == "household") for use in dish.uses]
    if dish.needs_left:
        lines.insert(0, f"what is left: {dish.needs_left}")
    return {
        "@type": "Recipe",
        "name": dish.name,
        "recipeCategory": dish.role,
        "recipeYield": as_words(dish.serves),
        "prepTime": f"PT{dish.hands_on_minutes}M",
        "totalTime": f"PT{dish.minutes}M",
        "recipeIngredient": lines,
        "recipeInstructions": [{"@type": "HowToStep", "text": step} for step in dish.method],
        **({"keywords": ", ".join(sorted(dish.tags))} if dish.tags else {}),
        **({"description": dish.note} if dish.note else {}),
    }


def _line(household: Household, use: Use, *, own: bool) -> str:
    """'1 lb Bread flour or 3/4 lb Buckwheat flour'."""
    return " or ".join(_option(household, option, own=own) for option in use.options)


def _option(household: Household, option: Option, *, own: bool) -> str:
    """As the household's own file has it; else, and of a metric kitchen always, in words that any kitchen reads."""
    note = f", {option.note}" if option.note and not option.stand_in else ""
    product = household.products[option.product]
    if own and household.measures != "metric":
        return f"{option.as_written}{note}"
    if household.measures == "metric" and product.measure != "each":
        return f"{float(option.amount):g} {product.measure} {option.product}{note}"
    return f"{amount_of(product, option.amount)} {option.product}{note}"
