"""Limits on money, labour, skill, donors and changes as rules that prune.

They look at every position of a build, so that listing is out of the question; what is certainly spent already is
added up instead.
"""

from __future__ import annotations

from collections.abc import Sequence

from knowledge.layouts import EFFORT
from shared.goal import Limit

from ..effort import fewest
from ..problem import Problem
from ..relations import Relation
from .rules import NOTHING, Candidates, Pruned, bits

_ROUNDING = 1e-9


class EffortRule:
    """At most so much money, labour, skill, donors or changes, pruned by what is certainly spent already."""

    def __init__(self, problem: Problem, relation: Relation, limit: Limit, candidates: Candidates) -> None:
        assert limit.at_most is not None
        self.relation = relation
        self.name = limit.quantity
        self.most = limit.at_most + _ROUNDING * max(1.0, abs(limit.at_most))
        self.effort = problem.effort
        self.layout = problem.garage.layout
        self.positions = tuple(problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.candidates = candidates
        self.scope = tuple(range(len(self.positions)))
        self.width = len(self.scope) + 1
        self.new = [[self.effort.is_new(at, p) for p in c] for at, c in zip(self.positions, candidates, strict=True)]
        self.costs = [[self._own(v, i) for i in range(len(c))] for v, c in enumerate(candidates)]
        self.old = [sum(1 << i for i, new in enumerate(row) if not new) for row in self.new]
        self.mounted = [
            sum(1 << i for i, p in enumerate(c) if p is not None and p.host is not None) for c in candidates
        ]
        self.bare = [sum(1 << i for i, p in enumerate(c) if p is None) for c in candidates]
        hosts = (self.layout.positions[at].host for at in self.positions)
        self.hosts = [None if host is None else self.number[host] for host in hosts]
        self.cheapest: list[dict[int, float]] = [{} for _ in candidates]
        self.least = [self._least(v, (1 << len(c)) - 1) for v, c in enumerate(candidates)]

    def _least(self, v: int, mask: int) -> float:
        """What the cheapest open candidate spends by itself."""
        known = self.cheapest[v]
        if mask not in known:
            known[mask] = min((self.costs[v][i] for i in bits(mask)), default=0.0)
        return known[mask]

    @staticmethod
    def handles(limit: Limit) -> bool:
        """Whether a limit is one of these."""
        return limit.quantity in EFFORT and limit.at_most is not None and limit.at_least is None

    def _own(self, v: int, i: int) -> float:
        """What a candidate certainly spends by itself."""
        part = self.candidates[v][i]
        if not self.new[v][i]:
            return 0.0
        if self.name == "parts_changed":
            return 1.0
        if part is None or self.name == "donors":
            return 0.0
        if self.name == "price":
            return 0.0 if part.price is None else part.price.lo
        if self.name == "hours":
            return part.hours.lo
        return float(part.skill)

    def _touched(self, masks: Sequence[int]) -> tuple[list[str], set[int]]:
        """Positions where somebody certainly has to work, and the positions that is known from."""
        found: list[str] = []
        why: set[int] = set()
        for v, mask in enumerate(masks):
            if mask & self.mounted[v]:
                continue
            if not mask & self.old[v]:
                found.append(self.positions[v])
                why.add(v)
                continue
            host = self.hosts[v]
            if host is not None and not masks[host] & self.old[host] and not mask & self.old[v] & self.bare[v]:
                found.append(self.positions[v])
                why.update((v, host))
        return found, why

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""
        if self.name == "donors":
            return self._donors(masks)
        least = [self._least(v, mask) for v, mask in enumerate(masks)]
        why = {v for v, low in enumerate(least) if low > self.least[v]}
        extra = 0.0
        if self.name != "parts_changed":
            touched, known_from = self._touched(masks)
            tasks = self.effort.tasks_for(touched)
            why |= known_from
            if self.name == "skill":
                extra = float(max((t.skill for t in tasks), default=0))
            elif self.name == "hours":
                extra = sum(t.hours for t in tasks)
            else:
                extra = sum(c.low for t in tasks for c in t.consumables)
        total = max([extra, *least]) if self.name == "skill" else extra + sum(least)
        kept = []
        for v, mask in enumerate(masks):
            if total > self.most:
                return Pruned(((min(why, default=0), 0),))
            room = self.most if self.name == "skill" else self.most - total + least[v]
            left = sum(1 << i for i in bits(mask) if self.costs[v][i] <= room + _ROUNDING)
            if left != mask:
                kept.append((v, left))
        return Pruned(tuple(kept)) if kept else NOTHING

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on."""
        if self.name == "donors":
            return {v: ((1 << len(c)) - 1) & ~masks[v] for v, c in enumerate(self.candidates)}
        needed: dict[int, int] = {}
        for v, mask in enumerate(masks):
            least = self._least(v, mask)
            if least == self.least[v]:
                continue
            cheaper = sum(1 << i for i, cost in enumerate(self.costs[v]) if cost < least)
            if cheaper & ~mask:
                needed[v] = cheaper & ~mask
        if self.name != "parts_changed":
            for v in self._touched(masks)[1]:
                needed[v] = ((1 << len(self.candidates[v])) - 1) & ~masks[v]
        return needed

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""
        most = [max(costs[i] for i in bits(mask)) for costs, mask in zip(self.costs, masks, strict=True)]
        tasks = self.layout.tasks.values()
        if self.name == "donors":
            return sum(any(self.new[v][i] for i in bits(mask)) for v, mask in enumerate(masks)) <= self.most
        if self.name == "skill":
            return max([*most, *(float(t.skill) for t in tasks)], default=0.0) <= self.most
        extra = 0.0
        if self.name == "hours":
            extra = sum(t.hours for t in tasks)
        elif self.name == "price":
            extra = sum(c.low for t in tasks for c in t.consumables)
        return extra + sum(most) <= self.most

    def _donors(self, masks: Sequence[int]) -> Pruned:
        """So many donors are certainly visited for the parts already settled."""
        choices, why = [], set()
        for v, mask in enumerate(masks):
            if mask & (mask - 1):
                continue
            i = mask.bit_length() - 1
            part = self.candidates[v][i]
            if part is not None and self.new[v][i] and part.donors and part.buy != "new":
                choices.append(frozenset(d.key for d in part.donors))
                why.add(v)
        if len(fewest(choices)) > self.most:
            return Pruned(((min(why, default=0), 0),))
        return NOTHING
