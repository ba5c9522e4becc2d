"""Whether a relation holds, quickly: the same as its verdict says."""

from __future__ import annotations

from random import Random

import pytest

from knowledge.garage import read_goal
from shared.ranges import Range
from shared.verdict import Verdict
from solver import demo_goal
from solver.problem import build_problem
from tests.solver.random_problems import builds_of, random_problem


@pytest.mark.parametrize("seed", range(8200, 8240))
def test_a_relation_holds_where_its_verdict_is_not_no(seed: int) -> None:
    problem = random_problem(seed, most_positions=4)
    for relation in problem.hard:
        for build in builds_of(problem):
            quick = relation.holds(build)
            assert quick == (relation.judge(build) is not Verdict.NO), relation.name


@pytest.mark.parametrize("goal", ["trail", "yard"])
def test_of_the_demo_too_and_what_is_seen_in_the_middle_is_within_the_bounds(goal: str) -> None:
    random = Random(goal)
    problem = build_problem(*read_goal(demo_goal(goal)))
    seen = 0
    for _ in range(150):
        build = {at: random.choice(parts) for at, parts in problem.domains.items()}
        for relation in problem.hard:
            assert relation.holds(build) == (relation.verdict(build) is not Verdict.NO), relation.name
        for name in problem.flow.scope:
            value = problem.flow.value(name, build).value
            middle = problem.flow.in_the_middle(name, build) if isinstance(value, Range) and not value.exact else None
            if middle is not None and isinstance(value, Range):
                seen += 1
                assert value.lo - 1e-9 * abs(value.lo) <= middle <= value.hi + 1e-9 * abs(value.hi), name
    assert seen > 100
