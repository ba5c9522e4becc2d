"""What ``why`` answers: one documented, versioned shape.  The text is made from it and from nothing else.

``format`` is always ``swapwright why``; ``version`` grows when a key changes its meaning or goes.  Numbers are in
SI beside the text a person reads.  Lists that do not belong to the question asked are empty.
"""

from __future__ import annotations

from typing import Any, Literal

from shared.explained import ConflictShown, Ledger, MendShown, RelaxationShown
from shared.plan import BuildShown
from shared.shown import Model, ReasonShown

from ..problem import Problem
from ..search.possible import Reply

Question = Literal["goal", "parts", "part", "all"]
Answer = Literal["yes", "yes if checked", "no", "not told"]
GOAL_NOT_MET = "The goal cannot be met by itself, so only the rules of the trade were asked."
GOAL_NOT_TOLD = (
    "Whether the goal can be met by itself could not be told in the steps allowed, "
    "so only the rules of the trade were asked."
)
NOT_ALL_CHANGES = "Looked for the smallest changes within the steps allowed; there may be others, or smaller ones."


class ViolatedShown(Model):
    """A relation that refuses the chosen parts with the rest as it is now.

    ``alone`` tells that it was proved to refuse them whatever else is fitted; ``ways_out_complete`` as in a conflict.
    """

    relation: str
    kind: str
    says: str
    source: str
    alone: bool
    reasons: tuple[ReasonShown, ...]
    mends: tuple[MendShown, ...] = ()
    ways_out_complete: bool = True


class DoubtShown(Model):
    """Something that would have to be measured or confirmed, and which answer is good enough."""

    relation: str
    reason: ReasonShown
    measure: tuple[str, ...]
    good_enough: str


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


class WhyDocument(Model):
    """The answer to a why.

    ``best`` is a build with the part asked for: the best if ``best_proved``, else the cheapest that was found.  Why no
    build can use a part is told by every rule near it that refuses it by itself, or else by one smallest reason;
    whether there are more was not looked for, so that ``conflicts_complete`` is never said of these.
    """

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
    best_proved: bool = True
    builds_with: int | None = None
    unusable: tuple[ReasonGroup, ...] = ()
    usable: tuple[CandidateShown, ...] = ()
    ledger: Ledger | None = None


def answered(
    question: Question, problem: Problem, goal_file: str, answer: Answer, headline: str, **more: Any
) -> WhyDocument:
    """The answer to a question about a goal; ``more`` is what else the document has."""
    return WhyDocument(
        question=question,
        goal=problem.goal.name,
        goal_file=goal_file,
        answer=answer,
        headline=headline,
        **{"parts": (), **more},
    )


def remark_on(goal_alone: Reply | None) -> tuple[str, ...]:
    """What is to be said where the goal by itself has no build, or it was not told whether it has."""
    if goal_alone is None:
        return (GOAL_NOT_TOLD,)
    return () if goal_alone.build is not None else (GOAL_NOT_MET,)
