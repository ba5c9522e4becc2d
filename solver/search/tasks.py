"""Labour as tables: for every set of tasks that the same positions call for one variable, asked for or not.

Invariant: with what a build changes, the least of these tables is what its tasks come to.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

import numpy as np

from ..problem import Problem
from .factors import NEVER, Factor
from .members import Member

Classes = Sequence[Sequence[Member]]


def task_tables(problem: Problem, domains: Sequence[Classes], certain: bool) -> tuple[list[Factor], list[Factor]]:
    """What tasks cost and who calls for them, and for each new variable what it uses up of the goal's money.

    The variables come after those of the positions, whose values are the classes given.
    """
    layout = problem.garage.layout
    groups = _groups(problem, certain)
    touched: dict[str, Factor] = {}
    asked: list[Factor] = []
    used_up: list[Factor] = []
    for number, (positions, (cost, paid)) in enumerate(sorted(groups.items()), len(domains)):
        asked.append(Factor((number,), np.array([0, cost], dtype=np.int64)))
        used_up.append(Factor((number,), np.array([0, paid], dtype=np.int64)))
        for at in positions:
            if at not in touched:
                host = layout.positions[at].host
                touched[at] = _called(problem, domains, at, [at] if host is None else [at, host])
            called = touched[at]
            if called.table.any():
                table = np.stack([called.table * NEVER, np.zeros_like(called.table)], axis=-1)
                asked.append(Factor((*called.scope, number), table))
    return asked, used_up


def _groups(problem: Problem, certain: bool) -> dict[tuple[str, ...], tuple[int, int]]:
    """For positions that call for the same tasks what these cost, and what they use up [cents]."""
    groups: dict[tuple[str, ...], tuple[int, int]] = {}
    for name, calling in problem.effort.callers.items():
        task = problem.garage.layout.tasks[name]
        cost = problem.scoring.task_cents(task.hours, sum(c.high for c in task.consumables))
        if calling and cost:
            group = tuple(sorted(calling))
            before, paid = groups.get(group, (0, 0))
            used = sum(c.high if certain else c.low for c in task.consumables)
            groups[group] = before + cost, paid + floor(used * 100)
    return groups


def _called(problem: Problem, domains: Sequence[Classes], at: str, places: Sequence[str]) -> Factor:
    """One, where somebody has to work at a position."""
    names = list(problem.domains)
    scope = tuple(sorted(names.index(place) for place in places))
    table = np.zeros([len(domains[v]) for v in scope], dtype=np.int64)
    for index in np.ndindex(*table.shape):
        build = {names[v]: domains[v][i][0].part for v, i in zip(scope, index, strict=True)}
        table[index] = problem.effort.is_touched(at, build)
    return Factor(scope, table)
