"""Why there is no build: a minimal set of relations that cannot all hold.

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
from .relations import Relation
from .search.satisfy import satisfying_build
from .words import shown

Oracle = Callable[[Sequence[Relation]], bool]


def satisfiable(problem: Problem, relations: Sequence[Relation]) -> bool:
    """Whether some build passes these relations, whatever the others say."""
    return satisfying_build(problem, relations) is not None


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


def conflict(problem: Problem) -> list[Relation]:
    """A minimal set of relations that cannot all hold; empty if there is a build."""

    def holds(relations: Sequence[Relation]) -> bool:
        return satisfiable(problem, relations)

    asked = [r for r in problem.hard if r.source == "the goal"]
    trade = [r for r in problem.hard if r.source != "the goal"]
    if holds([*asked, *trade]):
        return []
    lines = quickxplain(trade, asked, holds) if holds(trade) else []
    return [*lines, *quickxplain(lines, trade, holds)]


def refusal(problem: Problem, units: System) -> tuple[ReasonShown, ...]:
    """The members of one minimal conflict, each with the reason it gives against the nearest build."""
    members = conflict(problem)
    if not members:
        return ()
    rows: list[ReasonShown] = []
    for member in members:
        build = satisfying_build(problem, [r for r in members if r is not member])
        for reason in member.explain(build) if build is not None else ():
            if reason.verdict is Verdict.NO:
                rows.append(shown(reason, member.severity, units))
    return tuple(dict.fromkeys(rows))
