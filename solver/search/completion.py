"""What any completion of some choices costs at the least, and whether it is within the goal's money.

Prices with their shares of the ways to donors, labour, the fewest donors of what is chosen, and what tables say of
several positions together; and of the money, what parts and tasks take of it.

Invariant: a build that passes every hard relation costs no less than is said of any choices it completes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import floor

from shared.part import Part

from ..problem import Problem
from ..scoring import cents
from .factors import NEVER, Table
from .spending import allowed, taken
from .visits import Ways

Domains = Mapping[str, Sequence[Part | None]]


@dataclass
class Charge:
    """What some positions cost together: a table with an axis for each, over their candidates in order."""

    positions: tuple[str, ...]
    table: Table
    _memo: dict[tuple[int | None, ...], int] = field(default_factory=dict)

    def least(self, assignments: Mapping[str, int]) -> int:
        """The least of any completion of some choices; positions of which nothing is said are open."""
        key = tuple([assignments.get(at) for at in self.positions])
        found = self._memo.get(key)
        if found is None:
            index = tuple(slice(None) if i is None else i for i in key)
            found = self._memo[key] = int(self.table[index].min())
        return found


class _Sums:
    """Amounts of candidates above the least of their position, and what the least of all come to."""

    def __init__(self, amounts: Mapping[str, Sequence[int]]) -> None:
        least = {at: min(own) for at, own in amounts.items()}
        self.base = sum(least.values())
        self.above = {at: [amount - least[at] for amount in own] for at, own in amounts.items()}


class Completion:
    """The completions of choices at the positions with more than one candidate; those with one are settled."""

    def __init__(self, problem: Problem, domains: Domains, certain: bool, charges: Sequence[Charge] = ()) -> None:
        effort, scoring = problem.effort, problem.scoring
        self.problem, self.certain, self.charges = problem, certain, charges
        self.dearest = problem.dearest
        carriers = {at: [effort.carriers(at, p) for p in parts] for at, parts in domains.items()}
        prices = {at: [scoring.part_cents(at, p, self.dearest) for p in parts] for at, parts in domains.items()}
        self.ways = Ways(prices, carriers, cents(scoring.worth("donors")))
        self.costs = self.ways.costs
        self.money = allowed(problem)
        spent = {at: [taken(problem, at, part, certain) for part in parts] for at, parts in domains.items()}
        self.cost, self.spent = _Sums(self.costs), _Sums(spent)
        self.new = {
            at: [p is not None and p.host is None and effort.is_new(at, p) for p in parts]
            for at, parts in domains.items()
        }
        self.always_touched = frozenset(at for at, new in self.new.items() if all(new))
        self._labours: dict[frozenset[str], tuple[int, int]] = {}

    def least(self, assignments: Mapping[str, int], limit: int) -> int:
        """The least any completion costs, as far as it has to be known to tell that it is beyond a limit;
        :data:`NEVER` where none is within the money.

        >>> from knowledge.garage import read_goal
        >>> from solver import demo_goal
        >>> from solver.problem import build_problem
        >>> problem = build_problem(*read_goal(demo_goal("trail")))
        >>> Completion(problem, {at: (part,) for at, part in problem.stock.items()}, certain=True).least({}, 100)
        0
        """
        total, spent = self.cost.base, self.spent.base
        touched = []
        for at, value in assignments.items():
            total += self.cost.above[at][value]
            spent += self.spent.above[at][value]
            if self.new[at][value]:
                touched.append(at)
        labour, used = self._labour(self.always_touched.union(touched))
        total += labour
        if self.money is not None and spent + used > self.money:
            return NEVER
        if total <= limit:
            total += self.ways.beyond(assignments)
        for charge in self.charges:
            if total > limit:
                break
            total += charge.least(assignments)
        return total

    def _labour(self, touched: frozenset[str]) -> tuple[int, int]:
        """What the tasks that work at these positions calls for cost, and what they use up of the money [cents]."""
        labour = self._labours.get(touched)
        if labour is None:
            tasks = self.problem.effort.tasks_for(touched)
            cents_of = self.problem.scoring.task_cents
            cost = sum(cents_of(t.hours, sum(c.high for c in t.consumables)) for t in tasks)
            used = sum(c.high if self.certain else c.low for t in tasks for c in t.consumables)
            labour = self._labours[touched] = cost, floor(used * 100)
        return labour
