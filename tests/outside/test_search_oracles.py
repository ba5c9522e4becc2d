"""The search against two others: plain enumeration of every combination, and OR-tools CP-SAT.

Random small catalogues in the real file format are read by the real readers; the relations are the real ones.
"""

from __future__ import annotations

import shutil
from itertools import product
from pathlib import Path
from random import Random

import constraint
import pytest
from ortools.sat.python import cp_model

from knowledge.garage import read_goal
from shared.part import Part
from shared.verdict import Verdict
from solver.explain.refusal import independent_conflicts
from solver.problem import Problem, build_problem
from solver.relations import Relation
from solver.search.best import best_builds

TRAILER = Path(__file__).parent.parent / "data" / "trailer"


def random_catalogue(random: Random) -> str:
    """Springs, axles, hubs and wheels whose figures often, but not always, agree; some in doubt."""

    def pick(*choices: str) -> str:
        return random.choice(choices)

    lines = ["format: swapwright catalogue", "version: 1", "parts:"]
    for i in range(random.randint(1, 4)):
        lines.append(
            f"  - {{id: rs{i}, name: s, kind: trailer_spring, evidence: measured, price: '{pick('10', '20 to 30', 'unknown')}', "
            f"properties: {{rate: {pick('18', '20', '30', '20 to 24')} N/mm, free_height: {pick('200', '220', '240', '210 to 250')} mm}}, "
            f"ports: {{axle: {{spacing: {pick('1000', '1002', '1100')} mm}}}}}}"
        )
    for i in range(random.randint(1, 3)):
        brings = pick("", f", brings: {{hub: rh{random.randint(0, 1)}}}")
        lines.append(
            f"  - {{id: ra{i}, name: a, kind: trailer_axle, evidence: measured, price: '{pick('0', '40', '90')}', "
            f"properties: {{rating: {pick('700', '800', '1200')} kg}}, ports: {{spring: {{spacing: {pick('1000', '1100', '1001 to 1005')} mm}}, "
            f"spindle: {{journal: {pick('25.00', '30.00', 'unknown')}}}}}{brings}}}".replace(
                "25.00}", "25.00 mm}"
            ).replace("30.00}", "30.00 mm}")
        )
    for i in range(random.randint(2, 4)):
        lines.append(
            f"  - {{id: rh{i}, name: h, kind: trailer_hub, evidence: measured, price: '{pick('5', '15', '50')}', "
            f"ports: {{journal: {{bearing: {pick('25.02', '30.02', '25.20')} mm}}, studs: {{lugs: '{pick('4', '5')}', circle: {pick('100', '114.3')} mm}}}}}}"
        )
    for i in range(random.randint(1, 4)):
        lines.append(
            f"  - {{id: rw{i}, name: w, kind: trailer_wheel, evidence: {pick('measured', 'guessed')}, price: '{pick('5', '15', '25')}', "
            f"properties: {{radius: {pick('280', '300', '290 to 310')} mm}}, ports: {{face: {{lugs: '{pick('4', '5')}', circle: {pick('100 mm', '4 1/2 in', '114 +/- 1 mm')}}}}}}}"
        )
    return "\n".join(lines) + "\n"


def random_problem(seed: int, folder: Path) -> Problem:
    random = Random(seed)
    shutil.copytree(TRAILER, folder / "t")
    (folder / "t" / "more.yaml").write_text(random_catalogue(random))
    low = random.choice([0, 15, 30])
    goal = f"format: swapwright goal\nversion: 1\nname: r\nwant: {{bed_lift: {low} mm to {low + random.choice([10, 30, 60])} mm"
    goal += random.choice(["", ", price: at most 60", ", skill: at most 2"]) + "}\n"
    (folder / "t" / "goal.yaml").write_text(goal)
    read, garage = read_goal(folder / "t" / "goal.yaml")
    return build_problem(read, garage)


def ids(build: dict[str, Part | None]) -> tuple[str, ...]:
    return tuple("" if p is None else p.id for p in build.values())


def by_enumeration(problem: Problem) -> list[tuple[bool, int, tuple[str, ...]]]:
    dearest = problem.dearest
    found = []
    for parts in product(*problem.domains.values()):
        build = dict(zip(problem.domains, parts, strict=True))
        worst = max(r.verdict(build) for r in problem.hard)
        if worst is not Verdict.NO:
            found.append((worst is Verdict.CHECK, problem.scoring.score(build, dearest), ids(build)))
    return sorted(found)


class Collect(cp_model.CpSolverSolutionCallback):
    def __init__(self, variables: list[cp_model.IntVar]) -> None:
        super().__init__()
        self.variables = variables
        self.found: set[tuple[int, ...]] = set()

    def on_solution_callback(self) -> None:
        self.found.add(tuple(self.value(v) for v in self.variables))


def by_cp_sat(problem: Problem) -> set[tuple[str, ...]]:
    """Every build that no hard relation refuses, from one table of allowed tuples for each relation."""
    model = cp_model.CpModel()
    domains = problem.domains
    variables = {at: model.new_int_var(0, len(parts) - 1, at) for at, parts in domains.items()}
    for relation in problem.hard:
        scope = relation.scope
        allowed = [
            index
            for index in product(*(range(len(domains[p])) for p in scope))
            if relation.verdict({p: domains[p][i] for p, i in zip(scope, index, strict=True)}) is not Verdict.NO
        ]
        model.add_allowed_assignments([variables[p] for p in scope], allowed)
    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    collect = Collect(list(variables.values()))
    solver.solve(model, collect)
    return {ids({at: domains[at][i] for at, i in zip(domains, index, strict=True)}) for index in collect.found}


@pytest.mark.parametrize("seed", range(80))
def test_same_builds_same_order(seed: int, tmp_path: Path) -> None:
    problem = random_problem(seed, tmp_path)
    expected = by_enumeration(problem)
    answer = best_builds(problem, len(expected) + 5)
    assert [f.rank for f in answer.builds] == expected
    assert answer.complete
    for most in (1, 3):
        assert [f.rank for f in best_builds(problem, most).builds] == expected[:most]
    assert by_cp_sat(problem) == {rank[2] for rank in expected}


@pytest.mark.parametrize("seed", range(80))
def test_conflicts_are_conflicts_and_minimal(seed: int, tmp_path: Path) -> None:
    problem = random_problem(seed, tmp_path)
    builds = [dict(zip(problem.domains, parts, strict=True)) for parts in product(*problem.domains.values())]

    def held(relations: list[Relation]) -> bool:
        return any(all(r.verdict(build) is not Verdict.NO for r in relations) for build in builds)

    conflicts = [members for members, _ in independent_conflicts(problem)]
    assert bool(conflicts) == (not by_enumeration(problem))
    for members in conflicts:
        assert not held(members)
        assert all(held([r for r in members if r is not member]) for member in members)


def test_the_catalogues_are_varied_enough(tmp_path: Path) -> None:
    """Some goals can be met and some cannot, some only in doubt: one seed of each kind out of those above."""
    kinds = set()
    for seed in (0, 6, 61):
        folder = tmp_path / str(seed)
        folder.mkdir()
        found = by_enumeration(random_problem(seed, folder))
        kinds.add("none" if not found else "certain" if not found[0][0] else "doubtful")
    assert kinds == {"none", "certain", "doubtful"}


class _Apart(constraint.Constraint):  # type: ignore[misc]
    """Two queens that do not threaten one another, as a constraint object of the kind the search uses."""

    def __init__(self, columns: int) -> None:
        self.columns = columns

    def __call__(self, variables, domains, assignments, forwardcheck=False, _unassigned=None) -> bool:  # type: ignore[no-untyped-def]
        one, two = (assignments.get(v) for v in variables)
        return one is None or two is None or (one != two and abs(one - two) != self.columns)


def test_eight_queens_has_92_solutions() -> None:
    """92, Bezzel's problem of 1848 as solved by Nauck in 1850: the library and our kind of constraint lose none."""
    csp = constraint.Problem(constraint.OptimizedBacktrackingSolver(forwardcheck=False))
    for column in range(8):
        csp.addVariable(column, list(range(8)))
    for one in range(8):
        for two in range(one + 1, 8):
            csp.addConstraint(_Apart(two - one), [one, two])
    assert sum(1 for _ in csp.getSolutionIter()) == 92
