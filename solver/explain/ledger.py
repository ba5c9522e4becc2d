"""The ledger: how many combinations there are, how many meet the goal, and what each rule rules out.

Every number is an exact count; where counting would take too long the ledger says so instead.
"""

from __future__ import annotations

from ..counting import removed_alone
from ..problem import Problem
from ..search.counts import Counter
from ..search.enumeration import LimitReached
from ..search.possible import Possible
from .document import Ledger, RuledOut

MOST_NODES = 600
MOST_NODES_BEYOND = 3000


def combinations_of(problem: Problem) -> int:
    """How many ways there are to fill every position."""
    total = 1
    for parts in problem.domains.values():
        total *= len(parts)
    return total


def ledger(problem: Problem, possible: Possible | None = None) -> Ledger:
    """The ledger of a problem."""
    possible = possible or Possible(problem)
    total = combinations_of(problem)
    meeting: int | None = None
    why = ""
    try:
        meeting = Counter(possible, MOST_NODES).count(problem.hard)
    except LimitReached:
        why = "too many rules look at too many parts at once"
    beyond: dict[str, int | None] = {}
    counter = Counter(possible, MOST_NODES_BEYOND)
    alone = removed_alone(problem, total)
    for row in alone if meeting is not None else ():
        try:
            others = [r for r in problem.hard if r.name != row.relation]
            beyond[row.relation] = counter.count(others) - (meeting or 0)
        except LimitReached:
            break
    rules = tuple(
        RuledOut(
            relation=row.relation,
            kind=row.kind,
            says=row.says,
            alone=row.combinations,
            beyond=beyond.get(row.relation),
        )
        for row in alone
    )
    return Ledger(combinations=total, meeting=meeting, not_counted=why, rules=rules)
