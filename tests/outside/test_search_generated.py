"""The search against enumeration and CP-SAT on 200 generated problems, and on two published puzzles.

Eight queens has 92 solutions (Bezzel's problem of 1848, solved by Nauck in 1850).  The seven regions of Australia
can be coloured with three colours in 18 ways and with two in none (Russell and Norvig, Artificial Intelligence: A
Modern Approach, chapter on constraint satisfaction; the count by hand: South Australia 3, the coast round it 2
ways of going on, Tasmania 3).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product

import pytest
from ortools.sat.python import cp_model

from shared.verdict import Verdict
from solver.problem import Problem
from solver.relations import Build, Relation
from solver.search.best import best_builds
from solver.search.counts import Counter
from solver.search.enumeration import enumerate_builds
from solver.search.factors import NEVER
from solver.search.possible import Possible
from tests.solver.random_problems import Verdicts, number_of, plain_problem, random_problem

# More than any score here: a doubtful build comes after every certain one.
DOUBT = 10**6


def pair(one: str, two: str, allowed: Callable[[int, int], bool]) -> Relation:
    """A relation between the numbers of two candidates."""

    def judge(build: Build) -> Verdict:
        return Verdict.FITS if allowed(number_of(build[one]), number_of(build[two])) else Verdict.NO

    scope = tuple(sorted((one, two)))
    return Relation(f"{one} and {two}", "requirement", scope, judge, lambda build: (), parts=scope)


def differing(one: str, two: str) -> Relation:
    """Two candidates of unlike number."""
    return pair(one, two, lambda a, b: a != b)


def solve(problem: Problem, score: dict[int, int], builds: list[Build]) -> tuple[set[int], int | None]:
    """By CP-SAT, every build no relation refuses, and the least of ``score`` among them."""
    domains = problem.domains
    names = list(domains)
    numbers = {tuple(domains[at].index(b[at]) for at in names): i for i, b in enumerate(builds)}
    model = cp_model.CpModel()
    variables = {at: model.new_int_var(0, len(parts) - 1, at) for at, parts in domains.items()}
    for relation in problem.hard:
        scope = relation.scope
        allowed = [
            index
            for index in product(*(range(len(domains[p])) for p in scope))
            if relation.verdict({p: domains[p][i] for p, i in zip(scope, index, strict=True)}) is not Verdict.NO
        ]
        model.add_allowed_assignments([variables[p] for p in scope], allowed)
    found: set[int] = set()

    class Collect(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            found.add(numbers[tuple(self.value(variables[at]) for at in names)])

    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    solver.solve(model, Collect())
    cost = model.new_int_var(0, max(score.values()), "score")
    rows = [(*index, score[i]) for index, i in numbers.items()]
    model.add_allowed_assignments([*(variables[at] for at in names), cost], rows)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    best = solver.solve(model) == cp_model.OPTIMAL
    return found, round(solver.objective_value) if best else None


@pytest.mark.parametrize("seed", range(1000, 1200))
def test_same_builds_same_optimum(seed: int) -> None:
    problem = random_problem(seed)
    verdicts = Verdicts(problem)
    builds = verdicts.builds
    meeting = verdicts.meeting(problem.hard)
    dearest = problem.dearest
    ranks = {}
    for i, build in enumerate(builds):
        doubt = any(r.verdict(build) is Verdict.CHECK for r in problem.hard)
        ids = tuple("" if p is None else p.id for p in build.values())
        ranks[i] = (doubt, problem.scoring.score(build, dearest), ids)
    expected = sorted(ranks[i] for i in meeting)
    answer = best_builds(problem, len(expected) + 1)
    assert [f.rank for f in answer.builds] == expected
    assert answer.complete
    if seed % 4 == 0:
        found, least = solve(problem, {i: rank[1] + DOUBT * rank[0] for i, rank in ranks.items()}, builds)
        assert found == set(meeting)
        if expected:
            assert least == expected[0][1] + DOUBT * expected[0][0]


def test_eight_queens() -> None:
    names = [f"row{i}" for i in range(8)]
    board = plain_problem(names, 8)
    apart = [
        pair(names[i], names[j], lambda a, b, d=j - i: a != b and abs(a - b) != d)  # type: ignore[misc]
        for i in range(8)
        for j in range(i + 1, 8)
    ]
    queens = replace(board, relations=tuple(apart))
    assert Counter(Possible(queens)).count(apart) == 92
    assert len(enumerate_builds(queens, queens.domains, NEVER, True, 500)) == 92
    answer = best_builds(queens, 100)
    assert len(answer.builds) == 92 and answer.complete


@pytest.mark.parametrize(("colours", "ways"), [(2, 0), (3, 18)])
def test_the_map_of_australia(colours: int, ways: int) -> None:
    borders = ["WA NT", "WA SA", "NT SA", "NT Q", "SA Q", "SA NSW", "SA V", "Q NSW", "NSW V"]
    regions = plain_problem(["NSW", "NT", "Q", "SA", "T", "V", "WA"], colours)
    unlike = [differing(*border.split()) for border in borders]
    coloured = replace(regions, relations=tuple(unlike))
    assert Counter(Possible(coloured)).count(unlike) == ways
    assert len(enumerate_builds(coloured, coloured.domains, NEVER, True, 500)) == ways
    assert (Possible(coloured).ask(unlike).build is not None) == (ways > 0)
