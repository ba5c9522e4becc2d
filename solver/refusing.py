"""Why there is no build: minimal sets of relations that cannot all hold.

Goal lines are blamed first: the smallest set of them that fails with all the rules of the trade in force is
found, then the rules are reduced to those that set really clashes with.  Dropping any member makes the rest
satisfiable.
"""

from __future__ import annotations

from collections.abc import Sequence

from shared.plan import ReasonShown
from shared.units import System
from shared.verdict import Verdict

from .explain.minimal import shrink
from .explain.questions import GOAL, Questions
from .problem import Problem
from .relations import Relation
from .words import shown


def satisfiable(problem: Problem, relations: Sequence[Relation]) -> bool:
    """Whether some build passes these relations, whatever the others say; what cannot be told counts as yes.

    A set that is called a conflict is therefore always one; it may be larger than need be only where the search
    was cut short.
    """
    reply = Questions(problem).ask(relations)
    return reply is None or reply.build is not None


def conflict(
    problem: Problem, relations: Sequence[Relation] | None = None, questions: Questions | None = None
) -> list[Relation]:
    """A minimal set of these relations (all hard ones, unless given) that cannot all hold; empty if all can."""
    questions = questions or Questions(problem)
    everything = list(problem.hard if relations is None else relations)
    trade = [r for r in everything if r.source != GOAL]
    reply = questions.ask(everything)
    if reply is None or reply.build is not None:
        return []
    lines = _minimal(questions, trade, [r for r in reply.core if r.source == GOAL])
    reply = questions.ask([*trade, *lines])
    core = trade if reply is None else [r for r in reply.core if r.source != GOAL]
    return [*lines, *_minimal(questions, lines, sorted(core, key=lambda r: (len(r.scope), r.name)))]


def _minimal(questions: Questions, fixed: Sequence[Relation], pool: Sequence[Relation]) -> list[Relation]:
    """A minimal subset of ``pool`` that cannot hold together with ``fixed``; earlier members are kept longest."""

    def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
        answer = questions.ask([*fixed, *(pool[g] for g in sorted(groups))])
        if answer is None:
            return None
        return True if answer.build is not None else frozenset(i for i, r in enumerate(pool) if r in answer.core)

    return [pool[g] for g in shrink(range(len(pool)), held)[0]]


def independent_conflicts(problem: Problem, questions: Questions | None = None) -> list[list[Relation]]:
    """Minimal conflicts that share no line of the goal: each has to be answered, whatever is done about the others."""
    questions = questions or Questions(problem)
    left = list(problem.hard)
    found = []
    while members := conflict(problem, left, questions):
        found.append(members)
        lines = [r for r in members if r.source == GOAL]
        if not lines:
            break
        left = [r for r in left if r not in lines]
    return found


def refusal(problem: Problem, units: System) -> tuple[tuple[ReasonShown, ...], ...]:
    """Every independent conflict, each member with the reason it gives against a build that meets the others."""
    questions = Questions(problem)
    conflicts = []
    for members in independent_conflicts(problem, questions):
        rows: list[ReasonShown] = []
        for member in members:
            build = questions.witness(members, member)
            for reason in member.explain(build) if build is not None else ():
                if reason.verdict is Verdict.NO:
                    rows.append(shown(reason, member.severity, units))
        conflicts.append(tuple(dict.fromkeys(rows)))
    return tuple(conflicts)
