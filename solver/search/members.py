"""Candidates that no relation, preference or task can tell apart: one value of a position to the tables.

They differ in what they cost by themselves; the cheapest stands for all of them, and the others go when their
difference is beyond the limit.

Invariant: in any build a member can be put in place of another, and nothing changes but money, labour of its own and
the way to its donor.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace

from shared.part import Part

from ..problem import Problem
from .sources import Source
from .spending import taken


@dataclass(frozen=True, slots=True)
class Member:
    """A candidate: its price with the worth of its own labour, what it costs by itself at the least, and what of the
    money a goal allows it takes at the least, all in cents; and the donors that carry it."""

    part: Part | None
    price: int
    cost: int
    taken: int
    donors: frozenset[str]

    def at(self, cost: int) -> Member:
        """The same candidate, costing so much by itself."""
        return self if cost == self.cost else replace(self, cost=cost)


def alike_members(
    problem: Problem,
    sources: Sequence[Source],
    number: int,
    at: str,
    parts: tuple[Part | None, ...],
    dearest: Mapping[str, int],
    certain: bool,
) -> tuple[tuple[Member, ...], ...]:
    """The candidates of a position in classes that no source and no task can tell apart."""
    alone = [s for s in sources if s.scope == (number,)]
    among = [s for s in sources if len(s.scope) > 1 and number in s.scope]
    found: dict[Hashable, list[Part | None]] = {}
    for lookalikes in problem.lookalikes.groups(at, parts):
        part = lookalikes[0]
        touched = problem.effort.is_new(at, part), part is not None and part.host is not None
        key = (*touched, *(s.cost({at: part}) for s in alone), *(s.alike(at, part) for s in among))
        found.setdefault(key, []).extend(lookalikes)
    return tuple(
        tuple(_member(problem, at, part, problem.scoring.part_cents(at, part, dearest), certain) for part in own)
        for own in found.values()
    )


def _member(problem: Problem, at: str, part: Part | None, price: int, certain: bool) -> Member:
    return Member(part, price, price, taken(problem, at, part, certain), problem.effort.carriers(at, part))
