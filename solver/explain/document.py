"""What ``why`` answers: one documented, versioned shape.  The text is made from it and from nothing else.

``format`` is always ``swapwright why``; ``version`` grows when a key changes its meaning or goes.  Numbers are in
SI beside the text a person reads.  Lists that do not belong to the question asked are empty.
"""

from __future__ import annotations

from typing import Literal

from shared.plan import BuildShown, Model, Number, ReasonShown

Question = Literal["goal", "parts", "part", "all"]
Answer = Literal["yes", "yes if checked", "no", "not told"]
MemberKind = Literal["limit", "choice", "part", "rule"]
MendKind = Literal[
    "another part", "adapter", "alteration", "what is fitted now", "nothing there", "relaxed limit", "dropped line"
]


class MemberShown(Model):
    """One member of a conflict: a line of the goal, a chosen part, or a rule of the trade, with its reasons.

    The reasons are those it gives against a build that meets every other member.
    """

    name: str
    kind: MemberKind
    text: str
    source: str
    reasons: tuple[ReasonShown, ...]


class MendShown(Model):
    """One change that was tried and lets the rest go together.

    ``price`` is what the change itself costs, ``total`` the cheapest build with it (``None`` where that was not
    worked out); ``also`` names what else that build changes.
    """

    kind: MendKind
    text: str
    position: str | None = None
    part: str | None = None
    price: Number | None = None
    total: Number | None = None
    also: tuple[str, ...] = ()


class ConflictShown(Model):
    """A set that cannot all hold.

    ``minimal`` tells that dropping any member was proved to let the rest hold.  Mends are cheapest first.
    """

    members: tuple[MemberShown, ...]
    minimal: bool
    mends: tuple[MendShown, ...] = ()


class ViolatedShown(Model):
    """A relation that refuses the chosen parts with the rest as it is now.

    ``alone`` tells that it refuses them whatever else is fitted.
    """

    relation: str
    kind: str
    says: str
    source: str
    alone: bool
    reasons: tuple[ReasonShown, ...]
    mends: tuple[MendShown, ...] = ()


class DoubtShown(Model):
    """Something that would have to be measured or confirmed, and which answer is good enough."""

    relation: str
    reason: ReasonShown
    measure: tuple[str, ...]
    good_enough: str


class ChangeShown(Model):
    """One line of the goal changed: a limit moved to ``new``, or a choice given up.

    ``nearest`` tells that no value nearer to the old one can be met, proved by solving again.
    """

    line: str
    old: str
    new: str
    value: float | None
    exact: float | None
    nearest: bool


class RelaxationShown(Model):
    """Changes that together let the goal be met; ``price`` is that of the cheapest build found with them.

    ``cheapest`` tells that no cheaper one exists.  None of the changes is enough without the others.
    """

    changes: tuple[ChangeShown, ...]
    price: Number
    hours: Number
    skill: int
    new_parts: tuple[str, ...]
    verdict: str
    cheapest: bool


class CandidateShown(Model):
    """Whether a candidate is in any build; ``None`` where that could not be told in the steps allowed."""

    position: str
    part: str | None
    name: str
    usable: bool | None
    says: str = ""


class ReasonGroup(Model):
    """Candidates that fail for the same relations, which no build with any of them can meet together.

    ``minimal`` tells that every relation was proved to be needed; without it a smaller set might already fail.
    """

    relations: tuple[str, ...]
    minimal: bool
    says: str
    source: str
    candidates: tuple[CandidateShown, ...]


class RuledOut(Model):
    """How many combinations one rule rules out: by itself, and beyond all the others (``None``: not counted)."""

    relation: str
    kind: str
    says: str
    alone: int | None
    beyond: int | None


class Ledger(Model):
    """Exact counts; ``None`` and a reason where something was not counted."""

    combinations: int
    meeting: int | None
    not_counted: str
    rules: tuple[RuledOut, ...]


class WhyDocument(Model):
    """The answer to a why."""

    format: Literal["swapwright why"] = "swapwright why"
    version: Literal[1] = 1
    question: Question
    goal: str
    goal_file: str
    parts: tuple[str, ...]
    answer: Answer
    headline: str
    remarks: tuple[str, ...] = ()
    conflicts: tuple[ConflictShown, ...] = ()
    conflicts_complete: bool = True
    relaxations: tuple[RelaxationShown, ...] = ()
    violated: tuple[ViolatedShown, ...] = ()
    doubtful: tuple[DoubtShown, ...] = ()
    together: MendShown | None = None
    best: BuildShown | None = None
    builds_with: int | None = None
    unusable: tuple[ReasonGroup, ...] = ()
    usable: tuple[CandidateShown, ...] = ()
    ledger: Ledger | None = None
