"""Relations and costs as tables over variables.

The variables are the positions, the *shared values* (quantities that several relations read, see
``shared_values``) and the tasks (asked for or not).  A relation becomes a table where its variables allow no
more than :data:`MOST_CELLS` tuples; a wider one is left to the enumeration, which knows every relation whole.

Invariant: a build that passes all hard relations has, on these tables, a cost no higher than its score.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product

import numpy as np

from knowledge.dataflow import Result
from shared.part import Part
from shared.verdict import Verdict

from ..effort import Effort
from ..problem import Problem
from ..relations import Build, Known, Relation
from ..scoring import cents
from .elimination import NEVER, Factor
from .shared_values import SharedValue, shared_values

MOST_CELLS = 4000
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class Model:
    """Tables over numbered variables; the first ``positions`` are the positions in order."""

    positions: tuple[str, ...]
    sizes: tuple[int, ...]
    factors: tuple[Factor, ...]
    shared: tuple[SharedValue, ...]


def _refused(relation: Relation, worst: Verdict, build: Build, known: Known) -> int:
    """Never, where a relation answers worse than ``worst``."""
    return NEVER if relation.judge(build, known) > worst else 0


def _broken(relation: Relation, worth: int, build: Build, known: Known) -> int:
    """What a broken *should* costs."""
    return worth if relation.judge(build, known) is Verdict.NO else 0


def _touched(effort: Effort, position: str, build: Build, known: Known) -> int:
    """One, where somebody has to work at a position."""
    return int(effort.is_touched(position, build))


class _Builder:
    def __init__(self, problem: Problem, domains: Domains, certain: bool) -> None:
        self.problem = problem
        self.domains = domains
        self.certain = certain
        self.positions = tuple(problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.sizes = [len(domains[at]) for at in self.positions]
        self.factors: list[Factor] = []
        self.shared = shared_values(problem, domains)
        for value in self.shared:
            self.number[f"={value.quantity}"] = len(self.sizes)
            self.sizes.append(len(value.results))

    def variables(self, positions: Sequence[str], quantities: Sequence[str]) -> tuple[int, ...]:
        return tuple(sorted({*(self.number[p] for p in positions), *(self.number[f"={q}"] for q in quantities)}))

    def fill(self, variables: tuple[int, ...], cost: Callable[[Build, Known], int]) -> Factor:
        """A table filled by asking for every tuple."""
        table = np.zeros([self.sizes[v] for v in variables], dtype=np.int64)
        count = len(self.positions)
        for index in product(*(range(self.sizes[v]) for v in variables)):
            build: dict[str, Part | None] = {}
            known: dict[str, Result] = {}
            for v, i in zip(variables, index, strict=True):
                if v < count:
                    build[self.positions[v]] = self.domains[self.positions[v]][i]
                else:
                    value = self.shared[v - count]
                    known[value.quantity] = value.results[i]
            table[index] = cost(build, known)
        return Factor(variables, table)

    def reach(self, relation_parts: Sequence[str], uses: Sequence[str]) -> tuple[int, ...] | None:
        """The variables of something that reads parts and quantities; ``None`` if its table would be too large."""
        cuts = frozenset(v.quantity for v in self.shared)
        positions, quantities = set(relation_parts), set()
        for name in uses:
            if name in cuts:
                quantities.add(name)
            else:
                more = self.problem.flow.cut_scope(name, cuts)
                positions.update(more[0])
                quantities.update(more[1])
        variables = self.variables(sorted(positions), sorted(quantities))
        cells = 1
        for v in variables:
            cells *= self.sizes[v]
        return variables if cells <= MOST_CELLS else None

    def uses(self, relation: Relation) -> list[str] | None:
        names = [item.name for item in relation.uses]
        return None if any(name not in self.problem.flow.scope for name in names) else names

    def add_shared(self) -> None:
        """Ties every shared value to what it is computed from."""
        for value in self.shared:
            own = self.number[f"={value.quantity}"]
            inputs = self.variables(value.positions, value.quantities)
            variables = tuple(sorted((*inputs, own)))
            table = np.full([self.sizes[v] for v in variables], NEVER, dtype=np.int64)
            for index, result in value.table:
                at = dict(zip((*self.variables_in_order(value),), index, strict=True))
                at[own] = result
                table[tuple(at[v] for v in variables)] = 0
            self.factors.append(Factor(variables, table))

    def variables_in_order(self, value: SharedValue) -> tuple[int, ...]:
        """The input variables of a shared value in the order its table's index has them."""
        return (*(self.number[p] for p in value.positions), *(self.number[f"={q}"] for q in value.quantities))

    def add_relations(self) -> None:
        """Every hard relation that is narrow enough, as a table of zero or never."""
        for relation in self.problem.hard:
            uses = self.uses(relation)
            variables = None if uses is None else self.reach(relation.parts, uses)
            if variables is None or not variables:
                continue
            worst = Verdict.FITS if self.certain and relation.sharp else Verdict.CHECK
            self.factors.append(self.fill(variables, partial(_refused, relation, worst)))

    def add_costs(self) -> None:
        """Prices, preferences, advice and tasks."""
        scoring, problem = self.problem.scoring, self.problem
        dearest = scoring.dearest_known(problem.domains)
        for at in self.positions:
            table = np.array([scoring.part_cents(at, p, dearest) for p in self.domains[at]], dtype=np.int64)
            self.factors.append(Factor((self.number[at],), table))
        for term in scoring.terms:
            variables = self.reach((), [term.quantity])
            if variables:
                self.factors.append(self.fill(variables, partial(scoring.term, term)))
        worth = cents(scoring.worth("advice"))
        for relation in problem.advice if worth else ():
            uses = self.uses(relation)
            variables = None if uses is None else self.reach(relation.parts, uses)
            if variables:
                self.factors.append(self.fill(variables, partial(_broken, relation, worth)))
        self._add_tasks()

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
        for positions, cost in sorted(groups.items()):
            number = len(self.sizes)
            self.sizes.append(2)
            self.factors.append(Factor((number,), np.array([0, cost], dtype=np.int64)))
            for at in positions:
                host = layout.positions[at].host
                scope = [at] if host is None else [at, host]
                variables = tuple(sorted(self.number[p] for p in scope))
                asked = self.fill(variables, partial(_touched, effort, at))
                if not asked.table.any():
                    continue
                table = np.stack([asked.table * NEVER, np.zeros_like(asked.table)], axis=-1)
                self.factors.append(Factor((*asked.scope, number), table))


def build_model(problem: Problem, domains: Domains, certain: bool) -> Model:
    """The tables of a problem on what the prefilter has left.

    With ``certain``, relations whose doubt the tables see truly must fit without a check.
    """
    builder = _Builder(problem, domains, certain)
    builder.add_shared()
    builder.add_relations()
    builder.add_costs()
    return Model(builder.positions, tuple(builder.sizes), tuple(builder.factors), tuple(builder.shared))
