"""Exact counts of the combinations each rule rules out by itself."""

from __future__ import annotations

from math import prod

from .problem import Problem
from .relations import Relation
from .search.counts import Counter
from .search.enumeration import LimitReached
from .search.possible import Possible
from .search.rules import RelationRule

MOST_TUPLES = 3000
MOST_NODES = 400


def combinations_of(problem: Problem) -> int:
    """How many ways there are to fill every position."""
    return prod(len(parts) for parts in problem.domains.values())


def removed_alone(possible: Possible, most_tuples: int = MOST_TUPLES) -> dict[str, int | None]:
    """For every hard relation how many combinations of all candidates it alone rules out.

    ``None`` where the scope has more than ``most_tuples`` combinations of candidates that the relation can tell
    apart, and a few branchings do not count it either: such a relation is not counted rather than guessed.
    """
    problem = possible.problem
    total = combinations_of(problem)
    found: dict[str, int | None] = {}
    for relation in problem.hard:
        rule = possible.rule(relation)
        if isinstance(rule, RelationRule) and prod(rule.full) <= most_tuples:
            size = prod(len(problem.domains[p]) for p in relation.scope)
            found[relation.name] = rule.refused() * (total // size) if size else 0
        else:
            found[relation.name] = _by_branching(possible, relation, total)
    return found


def _by_branching(possible: Possible, relation: Relation, total: int) -> int | None:
    """The same for a limit on the whole build (money, labour, skill); ``None`` where that would take too long."""
    if isinstance(possible.rule(relation), RelationRule):
        return None
    try:
        return total - Counter(possible, MOST_NODES).count([relation])
    except LimitReached:
        return None
