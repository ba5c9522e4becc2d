"""Relations and costs as tables over variables.

The variables are the positions, the *states* (outcomes of groups of positions that many relations read, see
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
from .shared_values import State, states

MOST_CELLS = 5000
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class Model:
    """Tables over numbered variables; the first ``positions`` are the positions in order."""

    positions: tuple[str, ...]
    sizes: tuple[int, ...]
    factors: tuple[Factor, ...]
    states: tuple[State, ...]


def _refused(relation: Relation, certain: bool, build: Build, known: Known) -> int:
    """Never, where a relation says no or, with ``certain``, cannot come to certainly fit."""
    found = relation.outlook(build, known)
    if found.verdict is Verdict.NO:
        return NEVER
    return NEVER if certain and found.verdict is Verdict.CHECK and not found.open else 0


def _broken(relation: Relation, worth: int, build: Build, known: Known) -> int:
    """What a broken *should* costs."""
    return worth if relation.outlook(build, known).verdict is Verdict.NO else 0


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
        self.alive: list[list[int]] = [list(range(size)) for size in self.sizes]
        self.states: list[State] = []
        for state in states(problem, domains):
            self._add_state(state)

    def _add_state(self, state: State) -> None:
        """Make a state a variable and tie it to its positions."""
        own = len(self.sizes)
        self.sizes.append(len(state.values))
        self.alive.append(list(range(len(state.values))))
        self.states.append(state)
        inputs = tuple(self.number[p] for p in state.positions)
        variables = (*sorted(inputs), own)
        table = np.full([self.sizes[v] for v in variables], NEVER, dtype=np.int64)
        for index, value in state.table:
            at = dict(zip(inputs, index, strict=True)) | {own: value}
            table[tuple(at[v] for v in variables)] = 0
        self.factors.append(Factor(variables, table))

    def fill(self, variables: tuple[int, ...], cost: Callable[[Build, Known], int]) -> Factor:
        """A table filled by asking for every tuple of values that may still be in a build."""
        table = np.full([self.sizes[v] for v in variables], NEVER, dtype=np.int64)
        count = len(self.positions)
        for index in product(*(self.alive[v] for v in variables)):
            build: dict[str, Part | None] = {}
            known: dict[str, Result] = {}
            for v, i in zip(variables, index, strict=True):
                if v < count:
                    build[self.positions[v]] = self.domains[self.positions[v]][i]
                else:
                    known.update(self.states[v - count].values[i])
            table[index] = cost(build, known)
        return Factor(variables, table)

    def cells(self, variables: Sequence[int]) -> int:
        """How many tuples variables have."""
        cells = 1
        for v in variables:
            cells *= len(self.alive[v])
        return cells

    def add(self, factor: Factor) -> None:
        """Take a table in; values it leaves without any tuple are dead for every later one."""
        self.factors.append(factor)
        for axis, v in enumerate(factor.scope):
            others = tuple(i for i in range(len(factor.scope)) if i != axis)
            least = factor.table.min(axis=others) if others else factor.table
            self.alive[v] = [i for i in self.alive[v] if least[i] < NEVER]

    def _variables(self, parts: Sequence[str], uses: Sequence[str], chosen: Sequence[int]) -> tuple[int, ...]:
        """The variables of something that reads parts and quantities, when the chosen states are given."""
        count = len(self.positions)
        cuts = frozenset(q for v in chosen for q in self.states[v - count].quantities)
        positions, quantities = set(parts), set[str]()
        for name in uses:
            more = ((), (name,)) if name in cuts else self.problem.flow.cut_scope(name, cuts)
            positions.update(more[0])
            quantities.update(more[1])
        needed = (v for v in chosen if quantities & set(self.states[v - count].quantities))
        return tuple(sorted({*(self.number[p] for p in positions), *needed}))

    def reach(self, parts: Sequence[str], uses: Sequence[str]) -> tuple[int, ...] | None:
        """The variables of something that reads parts and quantities, by way of the states that make its table
        smallest; ``None`` if it would still be too large."""
        count = len(self.positions)
        best = self._variables(parts, uses, ())
        chosen: list[int] = []
        left = list(range(count, count + len(self.states)))
        while left:
            trials = [(self.cells(found := self._variables(parts, uses, [*chosen, v])), v, found) for v in left]
            cells, v, found = min(trials)
            if cells >= self.cells(best):
                break
            best = found
            chosen.append(v)
            left.remove(v)
        return best if self.cells(best) <= MOST_CELLS else None

    def uses(self, relation: Relation) -> list[str] | None:
        """The quantities a relation reads; ``None`` where some are not quantities of positions."""
        names = [item.name for item in relation.uses]
        return None if any(name not in self.problem.flow.scope for name in names) else names

    def add_relations(self) -> None:
        """Every hard relation that is narrow enough, as a table of zero or never; the narrowest first."""
        reached = []
        for number, relation in enumerate(self.problem.hard):
            uses = self.uses(relation)
            variables = None if uses is None else self.reach(relation.parts, uses)
            if variables:
                reached.append((self.cells(variables), number, relation, variables))
        for _, _, relation, variables in sorted(reached, key=lambda r: r[:2]):
            self.add(self.fill(variables, partial(_refused, relation, self.certain)))

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
            self.alive.append([0, 1])
            self.factors.append(Factor((number,), np.array([0, cost], dtype=np.int64)))
            for at in positions:
                host = layout.positions[at].host
                scope = [at] if host is None else [at, host]
                variables = tuple(sorted(self.number[p] for p in scope))
                asked = self.fill(variables, partial(_touched, effort, at))
                if not (asked.table % NEVER).any():
                    continue
                table = np.stack([np.minimum(asked.table, 1) * NEVER, asked.table // NEVER * NEVER], axis=-1)
                self.factors.append(Factor((*asked.scope, number), table))


def build_model(problem: Problem, domains: Domains, certain: bool, costs: bool = True) -> Model:
    """The tables of a problem on what the prefilter has left.

    With ``certain``, relations whose doubt the tables see truly must fit without a check.  Without ``costs`` the
    tables only tell what can be.
    """
    builder = _Builder(problem, domains, certain)
    builder.add_relations()
    if costs:
        builder.add_costs()
    return Model(builder.positions, tuple(builder.sizes), tuple(builder.factors), tuple(builder.states))
