"""The demo's car and layout, and builds that touch any positions one likes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import pytest

from knowledge.garage import read_goal
from shared.part import Part
from solver.demo import demo_goal
from solver.problem import Problem, build_problem
from solver.relations import Build


@pytest.fixture(scope="session")
def problem() -> Problem:
    return build_problem(*read_goal(demo_goal("trail")))


@pytest.fixture(scope="session")
def touching(problem: Problem) -> Callable[[Iterable[str]], Build]:
    """A build with a new part, like the one fitted, at each position named."""

    def make(positions: Iterable[str]) -> Build:
        build: dict[str, Part | None] = dict(problem.stock)
        for at in positions:
            part = build[at] or next(p for p in problem.domains[at] if p is not None)
            build[at] = replace(part, id=f"{part.id}-other")
        return build

    return make
