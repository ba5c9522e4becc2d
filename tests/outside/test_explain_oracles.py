"""Explanations against other solvers: python-sat for minimal conflicts and corrections, CP-SAT for relaxations.

The relations of generated problems are tabulated as clauses over one variable for each candidate.  Corrections come
from LBX, conflicts as the minimal hitting sets of all of them (Reiter's duality) from Hitman, one conflict more from
a MUS extractor.  The nearest value of a limit is the optimum of a CP-SAT model over the same tables.
"""

from __future__ import annotations

from itertools import product

import pytest
from ortools.sat.python import cp_model
from pysat.examples.hitman import Hitman
from pysat.examples.lbx import LBX
from pysat.examples.musx import MUSX
from pysat.formula import WCNF

from shared.ranges import Range
from shared.verdict import Verdict
from solver.explain.questions import Line, Questions
from solver.explain.relaxing import Relaxing
from solver.problem import Problem
from solver.relations import Relation
from tests.solver.random_problems import random_problem


def refused(problem: Problem, relation: Relation, worst: Verdict = Verdict.CHECK) -> list[tuple[int, ...]]:
    """The tuples of candidate numbers on which a relation's verdict is worse than ``worst``."""
    domains, scope = problem.domains, relation.scope
    return [
        index
        for index in product(*(range(len(domains[p])) for p in scope))
        if relation.verdict({p: domains[p][i] for p, i in zip(scope, index, strict=True)}) > worst
    ]


def clauses(problem: Problem, questions: Questions, lines: tuple[Line, ...]) -> WCNF:
    """The rules of the trade as hard clauses, each line of the goal as one soft literal."""
    variable: dict[tuple[str, int], int] = {}
    for at, parts in problem.domains.items():
        for i in range(len(parts)):
            variable[at, i] = len(variable) + 1
    formula = WCNF()
    for at, parts in problem.domains.items():
        own = [variable[at, i] for i in range(len(parts))]
        formula.append(own)
        for i, one in enumerate(own):
            for two in own[i + 1 :]:
                formula.append([-one, -two])
    for relation in questions.trade:
        for index in refused(problem, relation):
            formula.append([-variable[p, i] for p, i in zip(relation.scope, index, strict=True)])
    for number, line in enumerate(lines):
        selector = len(variable) + 1 + number
        for relation in line.relations:
            for index in refused(problem, relation):
                formula.append([-selector, *(-variable[p, i] for p, i in zip(relation.scope, index, strict=True))])
        formula.append([selector], weight=1)
    return formula


def all_sets(formula: WCNF, count: int) -> tuple[set[tuple[int, ...]], set[tuple[int, ...]]]:
    """Every minimal correction and every minimal conflict, as numbers of lines."""
    corrections: set[tuple[int, ...]] = set()
    with LBX(formula, solver_name="g4") as finder:
        for found in finder.enumerate():
            corrections.add(tuple(sorted(i - 1 for i in found)))
            finder.block(found)
    if corrections == {()}:
        return set(), set()
    with Hitman(bootstrap_with=[list(c) for c in corrections], htype="lbx") as hitter:
        conflicts = {tuple(sorted(h)) for h in hitter.enumerate()}
    return corrections, conflicts


@pytest.mark.parametrize("seed", range(2000, 2200))
def test_conflicts_and_corrections(seed: int) -> None:
    problem = random_problem(seed)
    questions = Questions(problem)
    lines = questions.lines
    sets = questions.sets(lines, len(lines))
    if questions.with_lines(()).build is None:  # type: ignore[union-attr]
        assert sets.conflicts == ((),)
        return
    formula = clauses(problem, questions, lines)
    corrections, conflicts = all_sets(formula, len(lines))
    assert sets.complete
    assert set(sets.conflicts) == conflicts
    assert set(sets.corrections) == corrections
    if conflicts:
        with MUSX(formula, verbosity=0) as extractor:
            assert tuple(sorted(i - 1 for i in extractor.compute())) in conflicts


def nearest_by_cp_sat(
    problem: Problem, base: list[Relation], relation: Relation, lower: bool, certain: bool
) -> float | None:
    """The end of a quantity nearest to a limit that any build passing ``base`` reaches; ``None`` if none does."""
    worst = Verdict.FITS if certain else Verdict.CHECK
    domains = problem.domains
    model = cp_model.CpModel()
    variables = {at: model.new_int_var(0, len(parts) - 1, at) for at, parts in domains.items()}
    for other in base:
        model.add_forbidden_assignments([variables[p] for p in other.scope], refused(problem, other, worst))
    rows = []
    for index in product(*(range(len(domains[p])) for p in relation.scope)):
        build = {p: domains[p][i] for p, i in zip(relation.scope, index, strict=True)}
        found = problem.demands.sharp(relation.uses[0], build)
        value = found.value
        if isinstance(value, Range) and not (certain and found.evidence < problem.goal.trust):
            rows.append((*index, round(1000 * (value.hi if lower is not certain else value.lo))))
    if not rows:
        return None
    reached = model.new_int_var(min(r[-1] for r in rows), max(r[-1] for r in rows), "reached")
    model.add_allowed_assignments([*(variables[p] for p in relation.scope), reached], rows)
    if lower:
        model.maximize(reached)
    else:
        model.minimize(reached)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return solver.objective_value / 1000 if solver.solve(model) == cp_model.OPTIMAL else None


def has_unknown(problem: Problem, relation: Relation) -> bool:
    """Whether some build leaves the quantity of a limit unknown, which no limit refuses."""
    domains, scope = problem.domains, relation.scope
    return any(
        problem.demands.sharp(relation.uses[0], dict(zip(scope, parts, strict=True))).value is None
        for parts in product(*(domains[p] for p in scope))
    )


@pytest.mark.parametrize("certain", [False, True])
def test_nearest_values(certain: bool) -> None:
    """One limit relaxed alone: the number is the optimum, possibly or certainly reached, and a build has it."""
    compared = 0
    worst = Verdict.FITS if certain else Verdict.CHECK
    for seed in range(3000, 3460):
        problem = random_problem(seed)
        questions = Questions(problem, certain=certain)
        relaxing = Relaxing(questions, "metric")
        for line in questions.lines:
            limit = line.limit
            if limit is None or has_unknown(problem, line.relations[0]):
                continue
            others = [r for r in problem.hard if r not in line.relations]
            if questions.ask(problem.hard).build is not None:  # type: ignore[union-attr]
                continue
            for lower, end in ((True, limit.at_least), (False, limit.at_most)):
                if end is None or (limit.at_least is not None and limit.at_most is not None):
                    continue
                moved = relaxing.nearest(others, line, lower)
                expected = nearest_by_cp_sat(problem, others, line.relations[0], lower, certain)
                assert (moved is None) == (expected is None)
                if moved is None or expected is None:
                    continue
                compared += 1
                assert moved.proved
                assert moved.exact == pytest.approx(expected, abs=1e-3)
                assert (moved.value <= moved.exact + 1e-9) if lower else (moved.value >= moved.exact - 1e-9)
                relation = questions.problem.demands.limit(moved.limit)
                assert all(r.verdict(moved.build) <= worst for r in (*others, relation))
    assert compared >= 40
