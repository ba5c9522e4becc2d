"""Counting what limits on money, labour, skill and changes let pass, against plain enumeration and by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shared.goal import Limit
from shared.ranges import Range
from shared.verdict import Verdict
from shared.work import Task
from solver.counting import combinations_of
from solver.counting.spent import kept_by
from solver.problem import Problem, build_problem
from solver.relations import Build
from tests.solver.random_problems import builds_of, plain_problem, random_problem

LIMITS = [("price", 0.0), ("price", 25.0), ("price", 61.0), ("hours", 0.0), ("hours", 3600.0), ("hours", 5400.0)]
LIMITS += [("skill", float(n)) for n in range(5)] + [("parts_changed", float(n)) for n in range(4)]


def spent(problem: Problem, name: str, build: Build) -> float:
    """The least a build spends, in the words of the effort itself."""
    effort = problem.effort
    if name == "price":
        return effort.known_price(build)
    if name == "hours":
        return effort.hours(build).lo
    return float(effort.skill(build) if name == "skill" else effort.parts_changed(build))


@pytest.mark.parametrize("seed", range(6000, 6150))
def test_what_a_limit_keeps(seed: int) -> None:
    problem = random_problem(seed, most_positions=5)
    builds = builds_of(problem)
    for name, most in LIMITS:
        limit = Limit(name, None, most, "drawn")
        relation = problem.demands.limit(limit)
        kept = kept_by(problem, limit)
        assert kept == sum(spent(problem, name, build) <= most + 1e-9 for build in builds), (name, most)
        assert kept == sum(relation.verdict(build) is not Verdict.NO for build in builds), (name, most)


def test_numbers_too_large_to_list() -> None:
    """Forty positions, one part fitted and two others each: with at most two changed 1 + 40 * 2 + C(40, 2) * 4."""
    problem = plain_problem([f"p{i}" for i in range(40)], 3)
    assert combinations_of(problem) == 3**40
    assert kept_by(problem, Limit("parts_changed", None, 2.0, "two")) == 1 + 80 + 780 * 4


def test_a_task_of_every_job_and_hours_in_doubt() -> None:
    """An hour of washing whatever is changed, and half an hour or two of one part's own: the least counts."""
    plain = plain_problem(["one", "two"], 2)
    wash = Task("wash", "wash", 3600.0, 1, (), always=True)
    slow = replace(plain.garage.parts["one-1"], hours=Range(1800.0, 7200.0))
    layout = replace(plain.garage.layout, tasks={"wash": wash})
    garage = replace(plain.garage, layout=layout, parts={**plain.garage.parts, "one-1": slow})
    problem = build_problem(plain.goal, garage)
    kept = [kept_by(problem, Limit("hours", None, most, "drawn")) for most in (0.0, 3599.0, 3600.0, 5399.0, 5400.0)]
    assert kept == [1, 1, 2, 2, 4]


def test_what_it_does_not_count_it_says() -> None:
    problem = plain_problem(["one", "two"], 2)
    assert kept_by(problem, Limit("donors", None, 1.0, "it is no sum")) is None
    assert kept_by(problem, Limit("price", 1.0, 2.0, "two ends")) is None
    part = next(p for p in problem.domains["one"] if p is not problem.stock["one"] and p is not None)
    object.__setattr__(part, "price", Range.exactly(1.0 / 3.0))
    assert kept_by(problem, Limit("price", None, 2.0, "no whole cents")) is None
