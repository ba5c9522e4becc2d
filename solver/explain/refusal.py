"""Why is there no build?  Every minimal conflict of a goal's lines, and the smallest changes that unlock one.

The one mechanism behind the refusals of ``plan``, ``why`` and ``graph``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shared.explained import ConflictShown, MendShown, RelaxationShown
from shared.units import System

from ..problem import Problem
from ..relations import Relation
from .mending import relaxed
from .questions import Line, Questions
from .relaxing import Relaxing
from .showing import conflict_shown, relaxation_shown

MOST_SIZE = 4


@dataclass(frozen=True)
class Refusal:
    """Why no build meets a goal.

    ``conflicts`` are all minimal ones if ``complete``; each of ``relaxations`` was solved again.
    """

    conflicts: tuple[ConflictShown, ...]
    complete: bool
    relaxations: tuple[RelaxationShown, ...]
    remarks: tuple[str, ...]


def refusal(questions: Questions, units: System, thorough: bool = False) -> Refusal:
    """The refusal of a goal that no build meets; with ``thorough`` also the other rules its lines clash over."""
    lines = questions.lines
    sets = questions.sets(lines, MOST_SIZE)
    relaxing = Relaxing(questions, units)
    conflicts = []
    for members in sets.conflicts:
        involved = [lines[i] for i in members]
        conflict = questions.rules_behind(involved, thorough)
        mends: Sequence[MendShown] = ()
        moves = relaxing.singly(involved)
        mends = relaxed(questions.problem, moves, {}, units)
        conflicts.append(conflict_shown(questions, conflict, moves, units, mends))
    found = [
        relaxation_shown(questions.problem, made, units)
        for members in sets.corrections
        for made in relaxing.relax([lines[i] for i in members], lines)
    ]
    remarks = []
    if not sets.complete:
        remarks.append(
            f"Looked at every way out that changes up to {MOST_SIZE} lines, within the steps allowed; "
            "there may be more conflicts."
        )
    if any(all(m.kind == "rule" for m in c.members) for c in conflicts):
        remarks.append("The rules of the trade alone cannot be met with this catalogue and car, whatever the goal.")
    return Refusal(tuple(conflicts), sets.complete, _ordered(found), tuple(remarks))


def independent_conflicts(problem: Problem) -> list[list[Relation]]:
    """Minimal conflicts that share no line of the goal: each must be answered, whatever is done about the others.

    Empty where a build meets the goal, and where no conflict could be told.
    """
    questions = Questions(problem)
    lines = questions.lines
    found: list[list[Relation]] = []
    taken: set[Line] = set()
    for members in questions.sets(lines, MOST_SIZE).conflicts:
        involved = [lines[i] for i in members]
        if taken.isdisjoint(involved):
            taken.update(involved)
            conflict = questions.rules_behind(involved)
            found.append([*questions.needed(conflict), *conflict.rules])
    return found


def _ordered(relaxations: Sequence[RelaxationShown]) -> tuple[RelaxationShown, ...]:
    """Fewest changes first, then cheapest."""

    def key(r: RelaxationShown) -> tuple[int, float, str]:
        money = float("inf") if r.price.hi is None else r.price.hi
        return len(r.changes), money, "; ".join(c.new for c in r.changes)

    return tuple(sorted(relaxations, key=key))
