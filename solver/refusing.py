"""Why there is no build: minimal sets of relations that cannot all hold.

Goal lines are blamed first: the smallest set of them that fails with all the rules of the trade in force is
found, then the rules are reduced to those that set really clashes with.  Dropping any member makes the rest
satisfiable.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shared.plan import ReasonShown
from shared.units import System
from shared.verdict import Verdict

from .problem import Problem
from .relations import Build, Relation
from .search.enumeration import LimitReached
from .search.satisfy import satisfying_build
from .words import shown

GOAL = "the goal"
Oracle = Callable[[Sequence[Relation]], bool]


def satisfiable(problem: Problem, relations: Sequence[Relation]) -> bool:
    """Whether some build passes these relations, whatever the others say; what cannot be told counts as yes.

    A set that is called a conflict is therefore always one; it may be larger than need be only where the search
    was cut short.
    """
    try:
        return satisfying_build(problem, relations) is not None
    except LimitReached:
        return True


def quickxplain(fixed: list[Relation], blamed: list[Relation], holds: Oracle) -> list[Relation]:
    """A minimal subset of ``blamed`` that cannot hold together with ``fixed``; earlier members are kept longest.

    Reference: Junker, "QuickXplain: preferred explanations and relaxations", AAAI 2004 (from memory).
    """

    def search(base: list[Relation], new: bool, rest: list[Relation]) -> list[Relation]:
        if new and not holds(base):
            return []
        if len(rest) == 1:
            return rest
        half = len(rest) // 2
        left, right = rest[:half], rest[half:]
        second = search([*base, *left], bool(left), right)
        first = search([*base, *second], bool(second), left)
        return [*first, *second]

    if not blamed or not holds(fixed):
        return []
    return search(fixed, False, blamed)


def conflict(problem: Problem, relations: Sequence[Relation] | None = None) -> list[Relation]:
    """A minimal set of these relations (all hard ones, unless given) that cannot all hold; empty if all can."""

    def holds(some: Sequence[Relation]) -> bool:
        return satisfiable(problem, some)

    everything = list(problem.hard if relations is None else relations)
    asked = [r for r in everything if r.source == GOAL]
    trade = [r for r in everything if r.source != GOAL]
    if holds(everything):
        return []
    lines = quickxplain(trade, asked, holds) if holds(trade) else []
    return [*lines, *quickxplain(lines, trade, holds)]


def independent_conflicts(problem: Problem) -> list[list[Relation]]:
    """Minimal conflicts that share no line of the goal: each has to be answered, whatever is done about the others."""
    left = list(problem.hard)
    found = []
    while members := conflict(problem, left):
        found.append(members)
        lines = [r for r in members if r.source == GOAL]
        if not lines:
            break
        left = [r for r in left if r not in lines]
    return found


def _build_without(problem: Problem, members: Sequence[Relation], member: Relation) -> Build | None:
    """A build that meets all members of a conflict but one."""
    try:
        return satisfying_build(problem, [r for r in members if r is not member])
    except LimitReached:
        return None


def refusal(problem: Problem, units: System) -> tuple[tuple[ReasonShown, ...], ...]:
    """Every independent conflict, each member with the reason it gives against a build that meets the others."""
    conflicts = []
    for members in independent_conflicts(problem):
        rows: list[ReasonShown] = []
        for member in members:
            build = _build_without(problem, members, member)
            for reason in member.explain(build) if build is not None else ():
                if reason.verdict is Verdict.NO:
                    rows.append(shown(reason, member.severity, units))
        conflicts.append(tuple(dict.fromkeys(rows)))
    return tuple(conflicts)
