"""Exact counts of the combinations each rule rules out by itself."""

from __future__ import annotations

from itertools import product

from shared.plan import Removed
from shared.verdict import Verdict

from .problem import Problem
from .relations import Relation

MOST_TUPLES = 3000


def tuples_of(problem: Problem, relation: Relation) -> int:
    """How many combinations of candidates the scope of a relation has."""
    count = 1
    for position in relation.scope:
        count *= len(problem.domains[position])
    return count


def refused_tuples(problem: Problem, relation: Relation) -> int:
    """How many combinations of the scope's candidates a relation refuses."""
    scope = relation.scope
    refused = 0
    for parts in product(*(problem.domains[p] for p in scope)):
        if relation.verdict(dict(zip(scope, parts, strict=True))) is Verdict.NO:
            refused += 1
    return refused


def removed_alone(problem: Problem, total: int, most_tuples: int = MOST_TUPLES) -> tuple[Removed, ...]:
    """For every hard relation the combinations it alone rules out, out of ``total``; largest first.

    A relation whose scope has more than ``most_tuples`` combinations is not counted rather than guessed.
    """
    rows = []
    for relation in problem.hard:
        size = tuples_of(problem, relation)
        count = refused_tuples(problem, relation) * (total // size) if size and size <= most_tuples else None
        if count != 0:
            rows.append(Removed(relation=relation.name, kind=relation.kind, says=relation.says, combinations=count))
    return tuple(sorted(rows, key=lambda r: (r.combinations is None, -(r.combinations or 0), r.relation)))
