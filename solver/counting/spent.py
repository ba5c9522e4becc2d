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
from math import prod

from shared.goal import Limit

from ..problem import Problem
from .sums import Sum, sum_of

MOST_STATES = 1_000
MOST_SUMS = 20_000


def kept_by(problem: Problem, limit: Limit) -> int | None:
    """How many builds an upper limit does not refuse; ``None`` where that cannot be counted this way.

    A build is refused when what it spends at the least is too much; a price nobody knows counts as nothing.
    """
    spent = sum_of(problem, limit)
    if spent is None or spent.most >= MOST_SUMS:
        return None
    return 0 if spent.most < 0 else _Counting(problem, spent).run()


class _Counting:
    """One count."""

    def __init__(self, problem: Problem, spent: Sum) -> None:
        self.problem = problem
        self.sum = spent
        self.effort = problem.effort
        self.positions = tuple(problem.domains)
        hosts = (problem.garage.layout.positions[at].host for at in self.positions)
        self.hosts = [None if host is None else self.positions.index(host) for host in hosts]

    def run(self) -> int | None:
        """The count."""
        ways = [
            Counter((cost, self.effort.handling(at, p)) for cost, p in zip(self.sum.parts[at], parts, strict=True))
            for at, parts in self.problem.domains.items()
        ]
        most = self.sum.most
        lane = prod(len(parts) for parts in self.problem.domains.values()).bit_length()
        whole = (1 << (most + 1) * lane) - 1
        groups = list(self.sum.jobs)
        costs = [self.sum.jobs[group] for group in groups]

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
                for (cost, handling), count in ways[v].items():
                    calling = called | calls if handling.touched(self.hosts[v] in new_hosts) else called
                    extra = sum(costs[g] for g in calling - called)
                    total = add(sums, cost + extra)
                    if count > 1:
                        total *= count
                    if total:
                        hosts = (new_hosts | {v} if handling.new else new_hosts) & needed
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
