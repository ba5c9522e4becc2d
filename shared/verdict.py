"""Verdicts and their reasons."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import Literal

from .evidence import Evidence
from .ranges import Range


class Verdict(IntEnum):
    """Three answers; the larger is the worse."""

    FITS = 0
    CHECK = 1
    NO = 2

    @property
    def word(self) -> str:
        """The answer in the trade's words."""
        return ("fits", "fits if checked", "does not fit")[self]


Voice = Literal["you asked", "the part has", "the rule demands", "the car has", "the build gives"]


@dataclass(frozen=True)
class Side:
    """One side of a comparison: who says it, of what, and how much."""

    voice: Voice
    who: str
    what: str
    value: Range | str | None
    measure: str
    evidence: Evidence | None = None


@dataclass(frozen=True)
class Reason:
    """Why a relation answered as it did.

    ``gap`` is by how much the two sides miss one another, in the SI unit of ``measure`` (``None`` for
    words, and where nothing can be computed), ``beside`` what of it the rule asks for on top of the distance of the two
    (a clearance; negative: a difference it allows).  ``needs`` names what has to be known or measured when the
    verdict is *fits if checked*.
    """

    relation: str
    verdict: Verdict
    says: str
    left: Side
    right: Side
    gap: float | None
    measure: str
    source: str
    needs: tuple[str, ...] = field(default=())
    trouble: str = ""
    beside: float = 0.0
