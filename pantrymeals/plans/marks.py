"""The marks that say how a product stands."""

from __future__ import annotations

from typing import Literal

Mark = Literal["short", "tight", "reaches", "glut", "sitter", "held", "eat first", "not on menus"]
