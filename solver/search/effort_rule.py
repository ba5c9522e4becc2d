"""Limits on money, labour, skill, donors and changes as rules that prune.

They look at every position of a build, so that listing is out of the question; what is certainly spent already is
added up instead.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate

from knowledge.layouts import EFFORT
from shared.goal import Limit
from shared.ranges import Range

from ..effort import fewest
from ..problem import Problem
from ..relations import Relation
from .rules import NOTHING, Candidates, Pruned, bits
from .touching import Touching

_ROUNDING = 1e-9
# More than anything costs, and still a number.
_UNKNOWN = 1e30


class EffortRule:
    """At most so much money, labour, skill, donors or changes, pruned by what is certainly spent already.

    With ``certain`` the dear end of every price and labour counts, and an unknown price is too much.
    """

    def __init__(
        self, problem: Problem, relation: Relation, limit: Limit, candidates: Candidates, certain: bool = False
    ) -> None:
        assert limit.at_most is not None
        self.certain = certain
        self.relation = relation
        self.name = limit.quantity
        self.most = limit.at_most + _ROUNDING * max(1.0, abs(limit.at_most))
        self.effort = problem.effort
        self.positions = tuple(problem.domains)
        self.candidates = candidates
        self.scope = tuple(range(len(self.positions)))
        self.width = len(self.scope) + 1
        self.dear = 4
        self.touching = Touching(problem, candidates)
        self.costs = [[self._own(v, i) for i in range(len(c))] for v, c in enumerate(candidates)]
        self.cheapest: list[dict[int, float]] = [{} for _ in candidates]
        self.least = [self._least(v, (1 << len(c)) - 1) for v, c in enumerate(candidates)]
        # What every position spends at the least, in all; of skill, the highest class.
        self.floor = max(self.least, default=0.0) if self.name == "skill" else sum(self.least)
        self.rising = [self._rising(row) for row in self.costs]
        self.memo: dict[tuple[int, ...], Pruned] = {}

    def _least(self, v: int, mask: int) -> float:
        """What the cheapest open candidate spends by itself."""
        known = self.cheapest[v]
        if mask not in known:
            known[mask] = min((self.costs[v][i] for i in bits(mask)), default=0.0)
        return known[mask]

    @staticmethod
    def _rising(costs: Sequence[float]) -> tuple[list[float], list[int]]:
        """Costs in order, and for each number of the cheapest candidates the bits of them."""
        ordered = sorted((cost, 1 << i) for i, cost in enumerate(costs))
        return [cost for cost, _ in ordered], [0, *accumulate(bit for _, bit in ordered)]

    def _affordable(self, v: int, room: float) -> int:
        """The candidates that spend no more than ``room`` by themselves."""
        costs, masks = self.rising[v]
        return masks[bisect_right(costs, room + _ROUNDING)]

    @staticmethod
    def handles(limit: Limit) -> bool:
        """Whether a limit is one of these."""
        return limit.quantity in EFFORT and limit.at_most is not None and limit.at_least is None

    def _own(self, v: int, i: int) -> float:
        """What a candidate certainly spends by itself."""
        part = self.candidates[v][i]
        if not self.touching.new[v][i]:
            return 0.0
        if self.name == "parts_changed":
            return 1.0
        if part is None or self.name == "donors":
            return 0.0
        if self.name == "price":
            unknown = _UNKNOWN if self.certain else 0.0
            return unknown if part.price is None else self._end(part.price)
        if self.name == "hours":
            return self._end(part.hours)
        return float(part.skill)

    def _end(self, value: Range) -> float:
        """The end of a range that counts."""
        return value.hi if self.certain else value.lo

    def _extra(self, touched: Iterable[int]) -> float:
        """What the tasks at these positions certainly spend."""
        if self.name == "parts_changed":
            return 0.0
        tasks = self.effort.tasks_for(self.positions[v] for v in touched)
        if self.name == "skill":
            return float(max((t.skill for t in tasks), default=0))
        if self.name == "hours":
            return sum(t.hours for t in tasks)
        return sum(c.high if self.certain else c.low for t in tasks for c in t.consumables)

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""
        key = tuple(masks)
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = self._donors(masks) if self.name == "donors" else self._prune(masks)
        return found

    def holds(self, chosen: Sequence[int], quickly: bool) -> bool:
        """Whether one candidate for each position passes."""
        return not self.prune([1 << i for i in chosen], False).kept

    def _prune(self, masks: Sequence[int]) -> Pruned:
        least = [self._least(v, mask) for v, mask in enumerate(masks)]
        touched = [] if self.name == "parts_changed" else self.touching.touched(masks)
        extra = self._extra(v for v, _ in touched)
        total = max([extra, *least]) if self.name == "skill" else extra + sum(least)
        if total > self.most:
            known = [v for v, low in enumerate(least) if low > self.least[v]]
            return Pruned(((min([*known, *(v for v, _ in touched)], default=0), 0),))
        kept = []
        for v, mask in enumerate(masks):
            room = self.most if self.name == "skill" else self.most - total + least[v]
            if room < self.rising[v][0][-1]:
                left = mask & self._affordable(v, room)
                if left != mask:
                    kept.append((v, left))
        return Pruned(tuple(kept)) if kept else NOTHING

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on.

        What is not needed for too much to be spent is left out, the least telling first.
        """
        if self.name == "donors":
            return {v: ((1 << len(c)) - 1) & ~masks[v] for v, c in enumerate(self.candidates)}
        opened = [gone if v == position else mask for v, mask in enumerate(masks)]
        spent = {v: low for v, mask in enumerate(opened) if (low := self._least(v, mask)) > self.least[v]}
        touched = [] if self.name == "parts_changed" else self.touching.touched(opened)
        extra = self._extra(v for v, _ in touched)
        for v in sorted(spent, key=lambda v: (spent[v] - self.least[v], v)):
            low = spent.pop(v)
            if not self._too_much(spent, extra):
                spent[v] = low
        for pair in list(touched):
            fewer_touched = [other for other in touched if other != pair]
            if self._too_much(spent, self._extra(v for v, _ in fewer_touched)):
                touched = fewer_touched
        needed = dict.fromkeys(range(len(masks)), 0)
        for v, low in spent.items():
            needed[v] |= sum(1 << i for i, cost in enumerate(self.costs[v]) if cost < low)
        self.touching.needed(touched, needed)
        return {v: left for v, mask in needed.items() if v != position and (left := mask & ~masks[v])}

    def like(self, position: int, gone: int) -> int:
        """The candidates of a position that would go with ``gone``, for the same reason: they spend no less."""
        if self.name == "donors":
            return gone
        low = self._least(position, gone)
        found = sum(1 << i for i, cost in enumerate(self.costs[position]) if cost >= low)
        return self.touching.like(position, gone, found)

    def _too_much(self, spent: Mapping[int, float], extra: float) -> bool:
        """Whether too much is spent by what is known of some positions, with ``extra`` and the least at all others."""
        if self.name == "skill":
            return max([extra, self.floor, *spent.values()]) > self.most
        return extra + self.floor + sum(low - self.least[v] for v, low in spent.items()) > self.most

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""
        most = [max(costs[i] for i in bits(mask)) for costs, mask in zip(self.costs, masks, strict=True)]
        if self.name == "donors":
            return sum(any(self.touching.new[v][i] for i in bits(mask)) for v, mask in enumerate(masks)) <= self.most
        extra = self._extra(self.touching.may(masks))
        return (max([extra, *most]) if self.name == "skill" else extra + sum(most)) <= self.most

    def _donors(self, masks: Sequence[int]) -> Pruned:
        """So many donors are certainly visited for the parts already settled."""
        choices, why = [], set()
        for v, mask in enumerate(masks):
            if mask & (mask - 1):
                continue
            i = mask.bit_length() - 1
            part = self.candidates[v][i]
            if part is not None and self.touching.new[v][i] and part.donors and part.buy != "new":
                choices.append(frozenset(d.key for d in part.donors))
                why.add(v)
        if len(fewest(choices)) > self.most:
            return Pruned(((min(why, default=0), 0),))
        return NOTHING
