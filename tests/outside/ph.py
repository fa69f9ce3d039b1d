"""How sour foods are, as published: the second source of the catalogue's acid classes."""

from __future__ import annotations

# Approximate pH of Foods and Food Products, US FDA/CFSAN list of October 2003 (read in two web reproductions), except
# those marked H: Handbook of Food Preparation, American Home Economics Association, 9th edition 1993, as given by the
# University of Idaho (read). The line between low acid and acid is 4.6 (AIB 539, Guide 1).
PH = {
    "Green beans": (5.6, 5.6), "Wax beans": (5.3, 5.7), "Lima beans": (6.5, 6.5), "Beets, plain": (5.3, 6.6),
    "Carrots, sliced": (5.88, 6.4), "Sweet corn": (5.9, 7.5), "Asparagus, canned": (6.0, 6.7),
    "Mushrooms, canned": (6.0, 6.7), "Potatoes, diced": (5.4, 5.9), "Winter squash, cubed": (4.99, 5.5),
    "Black beans, canned": (5.78, 6.02), "Kidney beans, canned": (5.4, 6.0), "Baked beans": (5.1, 5.8),
    "Applesauce": (3.1, 3.6), "Apple juice": (3.35, 4.0), "Apricots, canned": (3.4, 3.78),
    "Blackberries, canned": (3.85, 4.5), "Blueberries, canned": (3.12, 3.33), "Sour cherries": (3.25, 3.82),
    "Sweet cherries": (3.8, 3.83), "Fruit cocktail": (3.6, 4.0), "Grape juice": (2.8, 3.27),
    "Dill cucumbers": (3.2, 3.7), "Ketchup": (3.89, 3.92), "Raspberry jam": (3.5, 4.5), "Crab-apple jelly": (3.0, 3.5),
    "Mint jelly": (3.01, 3.01),
    # H
    "Pears in syrup": (3.9, 3.9), "Peaches in syrup": (3.5, 3.5), "Plums in syrup": (2.8, 4.6),
    "Rhubarb, stewed": (3.2, 3.2), "Gooseberries, canned": (3.0, 3.0), "Raspberries, canned": (3.6, 3.6),
    "Sauerkraut": (3.6, 3.6), "Peas, canned": (6.2, 6.2), "Spinach, canned": (5.5, 5.5), "Turnips, canned": (5.2, 5.2),
    "Sweet potatoes, canned": (5.4, 5.4), "Peppers, canned": (5.1, 5.1), "Tuna, canned": (6.0, 6.0),
    "Beef chunks": (5.8, 7.0), "Venison chunks": (5.8, 7.0), "Pork in broth": (5.8, 7.0), "Lamb chunks": (5.8, 7.0),
}  # fmt: skip
BORDERLINE = {"Tomatoes, whole": (4.0, 4.6), "Figs, canned": (4.6, 5.98)}
"""H for tomatoes; FDA and H for figs: about the line, so that acid is added."""
