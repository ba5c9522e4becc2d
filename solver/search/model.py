"""Relations and costs as tables over what is left of every position's candidates.

The variables are the positions and, for every set of tasks the same positions call for, one more (asked for or
not).  A relation or a cost becomes a table where its variables allow no more than a given number of tuples; as
candidates go, wider ones come within reach.  What never does is left to the enumeration, which knows every
relation whole.

Invariant: a build out of the candidates left that passes all hard relations has, on these tables, a cost no
higher than its score.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from shared.part import Part
from shared.verdict import Verdict

from ..effort import Effort
from ..problem import Problem
from ..relations import Build, Relation
from ..scoring import cents
from .elimination import NEVER, Bounds, Factor, bounds, expanded, projected
from .visits import visit_shares

Domains = Mapping[str, tuple[Part | None, ...]]
Cost = Callable[[Build], int]


@dataclass(frozen=True, eq=False)
class Source:
    """Something a table can be made of: the positions it looks at, what a choice there costs, whether it refuses."""

    name: str
    scope: tuple[int, ...]
    cost: Cost
    refuses: bool


def _refused(relation: Relation, certain: bool, build: Build) -> int:
    """Never, where a relation says no or, with ``certain``, cannot come to certainly fit."""
    found = relation.outlook(build, {})
    if found.verdict is Verdict.NO:
        return NEVER
    return NEVER if certain and found.verdict is Verdict.CHECK and not found.open else 0


def _broken(relation: Relation, worth: int, build: Build) -> int:
    """What a broken *should* costs."""
    return worth if relation.outlook(build, {}).verdict is Verdict.NO else 0


def _touched(effort: Effort, position: str, build: Build) -> int:
    """One, where somebody has to work at a position."""
    return int(effort.is_touched(position, build))


def sources_of(problem: Problem, certain: bool) -> tuple[Source, ...]:
    """Every hard relation, preference and advice of a problem."""
    number = {at: i for i, at in enumerate(problem.domains)}
    scoring, scope_of = problem.scoring, problem.flow.scope

    def numbers(positions: Sequence[str]) -> tuple[int, ...]:
        return tuple(sorted(number[p] for p in positions))

    found = [Source(r.name, numbers(r.scope), partial(_refused, r, certain), True) for r in problem.hard]
    for term in scoring.terms:
        cost = partial(scoring.term, term, known={})
        found.append(Source(f"prefer {term.quantity}", numbers(scope_of.get(term.quantity, ())), cost, False))
    worth = cents(scoring.worth("advice"))
    for relation in problem.advice if worth else ():
        found.append(Source(relation.name, numbers(relation.scope), partial(_broken, relation, worth), False))
    return tuple(s for s in found if s.scope)


class Tables:
    """The tables of a problem; candidates can be dropped, and wider sources taken in when enough have gone.

    With ``certain``, relations whose doubt is seen truly must fit without a check.
    """

    def __init__(self, problem: Problem, domains: Domains, certain: bool) -> None:
        self.problem = problem
        self.positions = tuple(problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.domains = [tuple(domains[at]) for at in self.positions]
        self.sizes = [len(parts) for parts in self.domains]
        self.waiting = list(sources_of(problem, certain))
        self.factors: list[Factor] = []
        self.answers: dict[str, dict[tuple[Part | None, ...], int]] = {s.name: {} for s in self.waiting}
        self._add_prices()
        self._add_tasks()
        self._count_visits()

    def copy(self) -> Tables:
        """The same tables, to drop other candidates from; answers already had are shared."""
        other = object.__new__(Tables)
        other.__dict__.update(self.__dict__)
        other.domains, other.sizes = list(self.domains), list(self.sizes)
        other.waiting, other.factors = list(self.waiting), list(self.factors)
        return other

    @property
    def left(self) -> dict[str, tuple[Part | None, ...]]:
        """The candidates left at every position."""
        return dict(zip(self.positions, self.domains, strict=True))

    @property
    def builds(self) -> int:
        """How many builds the candidates left make, whatever the relations say."""
        return self.cells(range(len(self.positions)))

    def cells(self, variables: Sequence[int]) -> int:
        """How many tuples variables have."""
        cells = 1
        for v in variables:
            cells *= self.sizes[v]
        return cells

    def take(self, most_cells: int) -> None:
        """Make tables of everything that has come within ``most_cells``; the narrowest first, so that what they
        refuse need not be asked of the wider ones."""
        sized = sorted(((self.cells(s.scope), i) for i, s in enumerate(self.waiting)))
        taken = [i for cells, i in sized if cells <= most_cells]
        for i in taken:
            source = self.waiting[i]
            self._add(self._filled(source.scope, source.cost, self.answers[source.name]))
        gone = set(taken)
        self.waiting = [s for i, s in enumerate(self.waiting) if i not in gone]

    def bounds(self, most_cells: int) -> Bounds:
        """The least score of any build out of the candidates left, and of any through each candidate."""
        return bounds(self.sizes, [*self.factors, *self.visits], most_cells)

    def keep(self, low: Bounds, limit: int) -> Bounds:
        """Drop the values that no assignment within the limit can have; the bounds of those that stay.

        Where that would leave some variable no value at all, nothing is within the limit: the tables stay as they
        are and the bound says so.
        """
        kept = [np.flatnonzero(costs <= limit) for costs in low.through]
        if not all(len(k) for k in kept):
            return Bounds(max(low.total, limit + 1), low.through)
        if low.total > limit or all(len(k) == size for k, size in zip(kept, self.sizes, strict=True)):
            return low
        self.factors = [Factor(f.scope, f.table[np.ix_(*(kept[v] for v in f.scope))]) for f in self.factors]
        self.sizes = [len(k) for k in kept]
        for v, parts in enumerate(self.domains):
            self.domains[v] = tuple(parts[i] for i in kept[v])
        self._count_visits()
        return Bounds(low.total, tuple(costs[k] for costs, k in zip(low.through, kept, strict=True)))

    # -- filling

    def _add(self, factor: Factor) -> None:
        """Take a table in; tables over the same variables become one."""
        for i, other in enumerate(self.factors):
            if other.scope == factor.scope:
                self.factors[i] = Factor(factor.scope, np.minimum(other.table + factor.table, NEVER))
                return
        self.factors.append(factor)

    def _possible(self, variables: tuple[int, ...]) -> NDArray[np.bool_]:
        """Which tuples of values no table so far refuses."""
        left = np.ones([self.sizes[v] for v in variables], dtype=bool)
        wanted = frozenset(variables)
        for factor in self.factors:
            shared = [v for v in factor.scope if v in wanted]
            if shared and (len(shared) > 1 or len(factor.scope) == 1):
                left &= expanded(projected(factor, shared), variables) < NEVER
        return left

    def _filled(
        self, variables: tuple[int, ...], cost: Cost, answers: dict[tuple[Part | None, ...], int] | None = None
    ) -> Factor:
        """A table filled by asking for every tuple that may still be in a build."""
        table = np.full([self.sizes[v] for v in variables], NEVER, dtype=np.int64)
        names = [self.positions[v] for v in variables]
        domains = [self.domains[v] for v in variables]
        seen = {} if answers is None else answers
        for index in map(tuple, np.argwhere(self._possible(variables)).tolist()):
            parts = tuple([domain[i] for domain, i in zip(domains, index, strict=True)])
            answer = seen.get(parts)
            if answer is None:
                answer = seen[parts] = cost(dict(zip(names, parts, strict=True)))
            table[index] = answer
        return Factor(variables, table)

    # -- costs

    def _count_visits(self) -> None:
        """What a used part costs at the least for the way to its donor: see :func:`visit_shares`."""
        worth = cents(self.problem.scoring.worth("donors"))
        shares = visit_shares(self.problem.effort, self.left, worth) if worth else {}
        self.visits = [
            Factor((self.number[at],), np.array(share, dtype=np.int64)) for at, share in shares.items() if any(share)
        ]

    def _add_prices(self) -> None:
        scoring = self.problem.scoring
        dearest = scoring.dearest_known(self.problem.domains)
        for v, at in enumerate(self.positions):
            table = np.array([scoring.part_cents(at, p, dearest) for p in self.domains[v]], dtype=np.int64)
            self._add(Factor((v,), table))

    def _add_tasks(self) -> None:
        """One yes-or-no variable for each set of tasks that the same positions call for."""
        effort, layout = self.problem.effort, self.problem.garage.layout
        callers: dict[str, set[str]] = {name: set() for name in layout.tasks}
        for at in self.positions:
            for first in effort.triggers[at]:
                for name in effort.pulled[first]:
                    callers[name].add(at)
        for name in effort.always:
            callers[name].update(self.positions)
        groups: dict[tuple[str, ...], int] = {}
        for name, calling in callers.items():
            task = layout.tasks[name]
            cost = self.problem.scoring.task_cents(task.hours, sum(c.high for c in task.consumables))
            if calling and cost:
                group = tuple(sorted(calling))
                groups[group] = groups.get(group, 0) + cost
        touched: dict[str, Factor] = {}
        for positions, cost in sorted(groups.items()):
            number = len(self.sizes)
            self.sizes.append(2)
            self._add(Factor((number,), np.array([0, cost], dtype=np.int64)))
            for at in positions:
                if at not in touched:
                    host = layout.positions[at].host
                    scope = tuple(sorted(self.number[p] for p in ([at] if host is None else [at, host])))
                    touched[at] = self._filled(scope, partial(_touched, effort, at))
                asked = touched[at]
                if not (asked.table % NEVER).any():
                    continue
                table = np.stack([np.minimum(asked.table, 1) * NEVER, asked.table // NEVER * NEVER], axis=-1)
                self._add(Factor((*asked.scope, number), table))
