"""How many builds keep a limit on money, labour, skill or changes: exact, however many builds there are.

Such a limit looks at every position, so that neither listing nor branching gets anywhere.  But what is spent is a sum:
what each part spends, and what each task spends once if work at any of its positions calls for it.  Positions are
taken one after another; for every sum so far it is kept how many ways lead to it, apart for every set of tasks that
later positions may still call for.

Reference: Dechter, "Bucket elimination", Artificial Intelligence 113 (1999), for taking variables one after another
and keeping only what later ones can see (from memory).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import floor, gcd, prod

from shared.goal import Limit
from shared.part import Part
from shared.work import Task

from ..problem import Problem

# Whole numbers of these are what is added up: cents, seconds, single parts.
UNITS = {"price": 100.0, "hours": 1.0, "skill": 1.0, "parts_changed": 1.0}
MOST_STATES = 1_000
MOST_SUMS = 20_000
_NEAR = 1e-6


def kept_by(problem: Problem, limit: Limit) -> int | None:
    """How many builds an upper limit does not refuse; ``None`` where that cannot be counted this way.

    A build is refused when what it spends at the least is too much; a price nobody knows counts as nothing.
    """
    if limit.quantity not in UNITS or limit.at_most is None or limit.at_least is not None:
        return None
    return _Counting(problem, limit.quantity, limit.at_most).run()


class _Counting:
    """One count.  ``spends[v]`` has for each way to fill a position how often it is there."""

    def __init__(self, problem: Problem, name: str, most: float) -> None:
        self.problem = problem
        self.name = name
        self.effort = problem.effort
        self.limit = most
        self.positions = tuple(problem.domains)
        hosts = (problem.garage.layout.positions[at].host for at in self.positions)
        self.hosts = [None if host is None else self.positions.index(host) for host in hosts]

    def _part(self, at: str, part: Part | None) -> float:
        """What a candidate spends by itself."""
        if not self.effort.is_new(at, part):
            return 0.0
        if self.name == "parts_changed":
            return 1.0
        if part is None:
            return 0.0
        if self.name == "price":
            return 0.0 if part.price is None else part.price.lo
        return part.hours.lo if self.name == "hours" else float(part.skill > self.limit)

    def _task(self, task: Task) -> float:
        """What a task spends once."""
        if self.name == "price":
            return sum(item.low for item in task.consumables)
        if self.name == "hours":
            return task.hours
        return float(task.skill > self.limit) if self.name == "skill" else 0.0

    def _callers(self) -> dict[frozenset[int], float]:
        """What tasks spend, by the positions of which work at any calls for them."""
        effort = self.effort
        found: dict[frozenset[int], float] = {}
        for name, task in self.problem.garage.layout.tasks.items():
            calling = frozenset(
                v
                for v, at in enumerate(self.positions)
                if name in effort.always or any(name in effort.pulled[first] for first in effort.triggers[at])
            )
            if calling and self._task(task):
                found[calling] = found.get(calling, 0.0) + self._task(task)
        return found

    def run(self) -> int | None:
        """The count."""
        unit = UNITS[self.name]
        tasks = self._callers()
        ways = [
            Counter(
                (self._part(at, p), self.effort.is_new(at, p), p is not None and p.host is not None, p is None)
                for p in parts
            )
            for at, parts in self.problem.domains.items()
        ]
        spent = [cost * unit for way in ways for cost, *_ in way] + [cost * unit for cost in tasks.values()]
        if any(abs(cost - round(cost)) > _NEAR for cost in spent):
            return None
        step = gcd(*(round(cost) for cost in spent)) or 1
        most = floor((0.0 if self.name == "skill" else self.limit * unit) / step + _NEAR)
        if most < 0:
            return 0
        lane = prod(len(parts) for parts in self.problem.domains.values()).bit_length()
        if most >= MOST_SUMS:
            return None
        whole = (1 << (most + 1) * lane) - 1
        groups = list(tasks)
        costs = [round(tasks[group] * unit) // step for group in groups]

        def add(sums: int, cost: int) -> int:
            return sums << cost * lane & whole if cost <= most else 0

        # By what later positions can see (which tasks are called for, which hosts are new): ways by sum, in lanes.
        states: dict[tuple[frozenset[int], frozenset[int]], int] = {(frozenset(), frozenset()): 1}
        done: set[int] = set()
        for v in self._order(groups):
            done.add(v)
            calls = frozenset(g for g, group in enumerate(groups) if v in group)
            over = frozenset(g for g, group in enumerate(groups) if group <= done)
            needed = frozenset(h for u, h in enumerate(self.hosts) if h is not None and u not in done)
            after: dict[tuple[frozenset[int], frozenset[int]], int] = {}
            for (called, new_hosts), sums in states.items():
                for (cost, new, mounted, bare), count in ways[v].items():
                    touched = not mounted and (new or (not bare and self.hosts[v] in new_hosts))
                    calling = called | calls if touched else called
                    extra = sum(costs[g] for g in calling - called)
                    total = add(sums, round(cost * unit) // step + extra) * count
                    if total:
                        hosts = (new_hosts | {v} if new else new_hosts) & needed
                        key = calling - over, hosts
                        after[key] = after.get(key, 0) + total
            if len(after) > MOST_STATES:
                return None
            states = after
        lanes = (1 << lane) - 1
        return sum(sums >> i * lane & lanes for sums in states.values() for i in range(most + 1))

    def _order(self, groups: Sequence[frozenset[int]]) -> list[int]:
        """The positions, hosts before what they carry, so that as few tasks as can be are begun and not done with."""
        done: set[int] = set()
        order: list[int] = []

        def opened(v: int) -> tuple[int, int]:
            after = done | {v}
            begun = sum(1 for group in groups if group & after and not group <= after)
            return begun + len({h for u, h in enumerate(self.hosts) if h in after and u not in after}), v

        while len(order) < len(self.positions):
            ready = [v for v, h in enumerate(self.hosts) if v not in done and (h is None or h in done)]
            order.append(min(ready, key=opened))
            done.add(order[-1])
        return order
