"""What clashes and what would mend it, in the shape that is written out; and read back."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from pantrymeals.plans.menu import Clash, Mending, MendingStep, WhatClashes

EXACT = r"^-?\d+(/\d+)?$"


class ClashBase(BaseModel):
    """Shared by all parts: nothing unknown is let in."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class ClashPart(ClashBase):
    """House rules that cannot all be kept."""

    rules: tuple[str, ...]
    said: str
    fewest: bool = Field(description="True when it is proven that no fewer of them clash.")


class StepPart(ClashBase):
    """One rule relaxed, or one purchase."""

    kind: Literal["rule", "purchase"]
    said: str
    product: str = Field(description="Of a purchase; empty for a rule.")
    amount: str = Field(pattern=EXACT, description="Of a purchase, in the product's base measure, exact.")
    day: date | None = Field(description="The day by which it must be there.")


class MendingPart(ClashBase):
    """What would mend it."""

    steps: tuple[StepPart, ...]
    said: str
    verified: bool = Field(description="Solved again with it: a whole menu exists.")


class WhatClashesPart(ClashBase):
    """Why the menu cannot be whole."""

    said: str
    clashing: bool | None = Field(description="null: not known within the time.")
    clashes: tuple[ClashPart, ...]
    mendings: tuple[MendingPart, ...]


def clash_part(told: WhatClashes) -> WhatClashesPart:
    """What was found out, in the shape that is written."""
    return WhatClashesPart(
        said=told.said,
        clashing=told.clashing,
        clashes=tuple(ClashPart(rules=c.rules, said=c.said, fewest=c.fewest) for c in told.clashes),
        mendings=tuple(
            MendingPart(steps=tuple(_step(s) for s in m.steps), said=m.said, verified=m.verified) for m in told.mendings
        ),
    )


def _step(step: MendingStep) -> StepPart:
    return StepPart(kind=step.kind, said=step.said, product=step.product, amount=str(step.amount), day=step.day)


def clash_in(part: WhatClashesPart) -> WhatClashes:
    """What was written, read back exactly."""
    return WhatClashes(
        part.said,
        part.clashing,
        tuple(Clash(c.rules, c.said, c.fewest) for c in part.clashes),
        tuple(
            Mending(
                tuple(MendingStep(s.kind, s.said, s.product, Fraction(s.amount), s.day) for s in m.steps),
                m.said,
                m.verified,
            )
            for m in part.mendings
        ),
    )
