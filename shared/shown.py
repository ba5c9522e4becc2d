"""The pieces every answer is made of: numbers, and reasons with both sides."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

VerdictWord = Literal["fits", "fits if checked", "does not fit"]


class Model(BaseModel):
    """Base of everything that comes out: closed and unchanging."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Number(Model):
    """A range in SI (``None`` when unknown), its measure, and the text a person reads."""

    lo: float | None
    hi: float | None
    measure: str
    text: str


class SideShown(Model):
    """One side of a reason."""

    voice: str
    who: str
    what: str
    value: str
    evidence: str | None = None


class ReasonShown(Model):
    """Why a relation answered as it did: both sides, by how much, the source, what to measure.

    ``gap`` is the difference of the sides as they are told, and what ``beside`` says the rule asks for or allows.
    """

    relation: str
    severity: Literal["must", "should", "check"]
    verdict: VerdictWord
    says: str
    left: SideShown
    right: SideShown
    gap: str | None
    beside: str = ""
    source: str
    needs: tuple[str, ...] = ()
    trouble: str = ""
