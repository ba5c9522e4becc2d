"""The ledger: how many combinations there are, how many meet the goal, and what each rule rules out.

Every number is an exact count; where counting would take too long the ledger says so instead.
"""

from __future__ import annotations

from shared.explained import Ledger, RuledOut

from ..counting import combinations_of, removed_alone
from ..problem import Problem
from ..search.counts import Counter
from ..search.enumeration import LimitReached
from ..search.possible import Possible

MOST_NODES = 600
MOST_NODES_BEYOND = 3000
MOST_WORK = 4_000


def ledger(problem: Problem, possible: Possible | None = None) -> Ledger:
    """The ledger of a problem."""
    possible = possible or Possible(problem)
    meeting: int | None = None
    why = ""
    try:
        meeting = Counter(possible, MOST_NODES, MOST_WORK).count(problem.hard)
    except LimitReached:
        why = "too many rules look at too many parts at once"
    beyond: dict[str, int | None] = {}
    counter = Counter(possible, MOST_NODES_BEYOND, MOST_WORK)
    alone = removed_alone(possible)
    ordered = sorted(problem.hard, key=lambda r: ((n := alone[r.name]) is None, -(n or 0), r.name))
    telling = [r for r in ordered if alone[r.name] != 0]
    for relation in telling if meeting is not None else ():
        try:
            others = [r for r in problem.hard if r is not relation]
            beyond[relation.name] = counter.count(others) - (meeting or 0)
        except LimitReached:
            break
    rules = tuple(
        RuledOut(relation=r.name, kind=r.kind, says=r.says, alone=alone[r.name], beyond=beyond.get(r.name))
        for r in telling
    )
    return Ledger(combinations=combinations_of(problem), meeting=meeting, not_counted=why, rules=rules)
