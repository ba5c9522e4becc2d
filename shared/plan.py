"""What comes out: plans, as one documented and versioned shape that every later command reads back.

The same models make the JSON, and the text is made from them.  Numbers are in SI with their measure named, and
carry the text a person reads.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

PLAN_FORMAT = "swapwright plan"
PLAN_VERSION = 1

Status = Literal["kept", "moved", "new", "removed", "empty"]
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
    """Why a relation answered as it did: both sides, by how much, the source, what to measure."""

    relation: str
    severity: Literal["must", "should", "check"]
    verdict: VerdictWord
    says: str
    left: SideShown
    right: SideShown
    gap: str | None
    source: str
    needs: tuple[str, ...] = ()
    trouble: str = ""


class PartShown(Model):
    """What a build has at one position; ``own`` tells that it is the part now there, altered."""

    position: str
    id: str | None
    name: str
    status: Status
    count: int
    comes_with: str | None = None
    altered: tuple[str, ...] = ()
    own: bool = False
    donors: tuple[str, ...] = ()
    buy: str = "either"
    price: Number
    evidence: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()


class QuantityShown(Model):
    """A consequence: before, after, the limits it is held to, and the room left to the nearest one."""

    name: str
    about: str
    group: str
    measure: str
    stock: Number
    new: Number
    limits: str
    margin: Number | None
    basis: str
    verdict: VerdictWord


class BuildShown(Model):
    """One build, whole enough to be read back by every later command."""

    rank: int
    score: float
    verdict: VerdictWord
    parts: tuple[PartShown, ...]
    quantities: tuple[QuantityShown, ...]
    checks: tuple[ReasonShown, ...]
    advice: tuple[ReasonShown, ...]
    looks: tuple[ReasonShown, ...]
    price: Number
    hours: Number
    skill: int
    donors: tuple[str, ...]
    tasks: tuple[str, ...]
    cautions: tuple[str, ...]


class Removed(Model):
    """How many combinations one rule alone rules out; ``None`` where that was not counted."""

    relation: str
    kind: str
    says: str
    combinations: int | None


class PlanDocument(Model):
    """The answer to a goal."""

    format: Literal["swapwright plan"] = "swapwright plan"
    version: Literal[1] = 1
    goal: str
    goal_file: str
    vehicle: str
    layout: str
    preference: tuple[str, ...]
    combinations: int
    builds: tuple[BuildShown, ...]
    complete: bool
    removed: tuple[Removed, ...]
    refusal: tuple[tuple[ReasonShown, ...], ...] = ()
