"""What comes out: plans, as one documented and versioned shape that every later command reads back.

The same models make the JSON, and the text is made from them.  Numbers are in SI with their measure named, and
carry the text a person reads.

``version`` counts what a reader has to know: it grows when a field goes, is renamed or means something else, not when
one is added that may be left unread.  2: ``removed`` and ``refusal`` went, for ``conflicts``, ``conflicts_complete``,
``relaxations`` and ``remarks``; ``ledger`` came.
"""

from __future__ import annotations

from typing import Literal

from .explained import ConflictShown, Ledger, RelaxationShown
from .shown import Model, Number, ReasonShown, SideShown, VerdictWord

__all__ = [
    "PLAN_FORMAT",
    "PLAN_VERSION",
    "BuildShown",
    "Model",
    "Number",
    "PartShown",
    "PlanDocument",
    "QuantityShown",
    "ReasonShown",
    "SideShown",
    "Status",
    "VerdictWord",
]

PLAN_FORMAT = "swapwright plan"
PLAN_VERSION = 2

Status = Literal["kept", "moved", "new", "removed", "empty"]


class SamePart(Model):
    """The same part from elsewhere: no rule, figure or mate tells it from the one chosen, only money and the donor."""

    id: str
    name: str
    donors: tuple[str, ...]
    buy: str
    price: Number


class PartShown(Model):
    """What a build has at one position.

    ``own`` tells that it is the part now there, altered; ``same`` are the candidates that carry the same part, the
    cheapest first.
    """

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
    same: tuple[SamePart, ...] = ()


class QuantityShown(Model):
    """A consequence: before, after, the limits it is held to, and the room left to the nearest one.

    ``caution`` tells how its number is not to be taken; empty for most.
    """

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
    caution: str = ""


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


class PlanDocument(Model):
    """The answer to a goal: builds, or why there is none.

    ``preference`` is what the goal says something is worth, ``usual`` what counts where it says nothing.  ``ledger``
    counts exactly what each rule rules out.  Without builds ``conflicts`` are all minimal ones, if
    ``conflicts_complete``, and ``relaxations`` the smallest changes of the goal that were proved to unlock a build.
    """

    format: Literal["swapwright plan"] = "swapwright plan"
    version: Literal[2] = 2
    goal: str
    goal_file: str
    vehicle: str
    layout: str
    preference: tuple[str, ...]
    usual: tuple[str, ...] = ()
    combinations: int
    builds: tuple[BuildShown, ...]
    complete: bool
    ledger: Ledger | None = None
    conflicts: tuple[ConflictShown, ...] = ()
    conflicts_complete: bool = True
    relaxations: tuple[RelaxationShown, ...] = ()
    remarks: tuple[str, ...] = ()
